"""What a job file leaves to be guessed, said so that nobody is surprised: sizes without a unit."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from planning.job.problem import Problem
from planning.quantities.show import show_size
from planning.quantities.units import UnitProblem, size_m
from planning.records.toml_lines import Lines
from planning.records.toml_lines import Path as Place

_UNIT = re.compile(r"[a-wyz'\"′″²]", re.IGNORECASE)
"""Anything that is a unit: letters but the x between two sides, and marks of feet and inches."""


def bare_sizes(path: Path) -> tuple[Problem, ...]:
    """A note for each size of a room or a part that has no unit: it was taken as feet.

    For a file that read without problems; any other gives no notes.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
        raw = tomllib.loads(text)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError):
        return ()
    bare = list(_bare(raw))
    if not bare:
        return ()
    lines = Lines(text)
    return tuple(
        Problem(str(path), lines.of(place), f'{name}: size "{said}" has no unit, taken as feet', _how(said))
        for place, name, said in bare
    )


def _bare(raw: Mapping[str, Any]) -> Iterator[tuple[Place, object, str]]:
    """Each size without a unit: where it stands, the id of its room or part, what it says."""
    for n, room in enumerate(raw.get("room", [])):
        for place, table in [((), room), *((("part", m), part) for m, part in enumerate(room.get("part", [])))]:
            said = table.get("size")
            if isinstance(said, str) and not _UNIT.search(said):
                yield ("room", n, *place, "size"), table.get("id"), said


def _how(said: str) -> str:
    try:
        length, width = size_m(said)
    except UnitProblem:
        return 'write it as "10 x 6 ft" or "3 x 1.8 m"'
    return f'that is {show_size(length, width, "metric")}; write "{said} ft", or m for meters'
