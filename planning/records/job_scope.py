"""The `[[room.do]]` tables of a job file turned into scopes: measurements read by their kind, changes, references."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from planning.job.measures import MEASUREMENTS, Measurement, every_key
from planning.job.problem import UnreadableError
from planning.job.scope import Measure, Scope, StepChange
from planning.quantities import units
from planning.quantities.number_words import shown
from planning.records import job_names
from planning.records.job_problems import Findings, keys_of
from planning.records.job_schema import ChangeTable, DoTable
from planning.records.toml_lines import Path

KnownMethods = Mapping[str, frozenset[str]]
"""Method -> the measures it takes."""

TILE_THICKNESS_M = 0.009525
"""Taken for a tile written without one: 3/8 in (common practice, no source)."""

MOST_GRID = 400
_PIPE = re.compile(r"(pvc|abs|cpvc|cast-iron|copper|steel) (\S.*)")


def read_scope(
    do: DoTable, path: Path, findings: Findings, known: KnownMethods | None, own: frozenset[str] = frozenset()
) -> Scope:
    """One scope; what cannot be read of its measurements is reported and left out.

    `known` None: methods and their measures are not checked. `own` are methods the file brings along.
    """
    takes = None
    if known is not None and do.method not in own:
        takes = known.get(do.method)
        if takes is None:
            how = job_names.instead(do.method, [*known, *own], "methods")
            findings.add((*path, "method"), f"there is no method {shown(do.method)}", how)
    measures: dict[str, Measure] = {}
    for key, value in (do.__pydantic_extra__ or {}).items():
        if _may_stand(do.method, key, takes, (*path, key), findings):
            measures.update(_read(key, value, (*path, key), findings))
    return Scope(
        method=do.method,
        on=do.on,
        measures=measures,
        skip=tuple(do.skip),
        change=tuple(
            _change(change, findings.lines.of((*path, "change", n)))
            for n, change in enumerate(do.change)
            if change is not None
        ),
        add=tuple(row for row in do.add if row is not None),
        after=tuple(do.after),
        line=findings.lines.of(path),
    )


def _change(change: ChangeTable, line: int) -> StepChange:
    crew = tuple(change.crew) if change.crew is not None else None
    return StepChange(change.step, change.labor, change.wait, change.within, crew, change.title, line)


def _may_stand(method: str, key: str, takes: frozenset[str] | None, path: Path, findings: Findings) -> bool:
    if key in MEASUREMENTS and (takes is None or key in takes):
        return True
    right = keys_of(DoTable)
    if key in MEASUREMENTS and takes is not None:
        there = f"it takes {job_names.listed(sorted(takes))}" if takes else "it takes no measurements"
        findings.add(path, f"{method} has no use for {shown(key)}", f"take it out; {there}")
        return False
    right += sorted(takes) if takes is not None else list(MEASUREMENTS)
    close = job_names.nearest(key, right) or job_names.nearest(key, MEASUREMENTS)
    there = f"the keys here are {job_names.listed(right, 60)}"
    findings.add(path, f"{method}: unknown key {shown(key)}", f"write {close}; {there}" if close else there)
    return False


def _read(key: str, value: Any, path: Path, findings: Findings) -> dict[str, Measure]:
    measurement = MEASUREMENTS[key]
    how = f"write {key} = {measurement.example}"
    try:
        if measurement.kind == "grid":
            return _grid(key, value, how)
        return {key: _READERS[measurement.kind](value, measurement, how)}
    except UnreadableError as wrong:
        findings.add(path, f"{key}: {wrong.what}", how)
        return {}


def _tile(value: Any, _: Measurement, how: str) -> Measure:
    sides = units.sides_m(value, None, how)
    if len(sides) not in (2, 3):
        raise UnreadableError(f"{shown(value)} is not length, width and thickness", how)
    length, width, thickness = (*sides, TILE_THICKNESS_M)[:3]
    if max(length, width) > 4 or thickness > 0.1 or min(length, width) < 0.003:
        raise UnreadableError(f"{shown(value)} is no tile's size", how)
    return length, width, thickness


def _size(value: Any, _: Measurement, how: str) -> Measure:
    sides = units.sides_m(value, None, how)
    if len(sides) > 2:
        raise UnreadableError(f"{shown(value)} has more than two sides", how)
    return sides[0], sides[-1]


def _point(value: Any, _: Measurement, how: str) -> Measure:
    return "center" if value == "center" else units.point_m(value, how)


def _outline(value: Any, _: Measurement, how: str) -> Measure:
    if not isinstance(value, list) or not 3 <= len(value) <= 40:
        raise UnreadableError(f"{shown(value)} is not a list of 3 to 40 corners", how)
    return tuple(units.point_m(corner, how) for corner in value)


def _class(value: Any, _: Measurement, how: str) -> Measure:
    return job_names.simple_id(value, how)


def _word(value: Any, measurement: Measurement, _: str) -> Measure:
    return job_names.one_of(*measurement.words)(value)


def _pipe(value: Any, _: Measurement, how: str) -> Measure:
    words = " ".join(str(value).lower().split())
    matched = _PIPE.fullmatch(words)
    if not isinstance(value, str) or not matched:
        raise UnreadableError(f"{shown(value)} is not a pipe's material and size", how)
    units.length_m(matched[2], None, how)
    return words


def _grid(key: str, value: Any, how: str) -> dict[str, Measure]:
    """Rows of depths, and the spacing of the points under the key `KEY_every`."""
    if not isinstance(value, dict) or set(value) != {"every", "depth"} or not isinstance(value["depth"], list):
        raise UnreadableError("it is not a spacing and rows of depths", how)
    spacing = units.sides_m(value["every"], None, how)
    rows = tuple(units.depths_m(row, how) for row in value["depth"])
    if len({len(row) for row in rows}) != 1:
        raise UnreadableError("its rows are not all as long as each other", how)
    if len(rows) < 2 or len(rows[0]) < 2 or len(rows) * len(rows[0]) > MOST_GRID or len(spacing) > 2:
        raise UnreadableError(f"it is not a grid of 2 x 2 to {MOST_GRID} points", how)
    return {key: rows, every_key(key): (spacing[0], spacing[-1])}


_READERS: Mapping[str, Callable[[Any, Measurement, str], Measure]] = {
    "length": lambda value, _, how: units.length_m(value, None, how),
    "area": lambda value, _, how: units.area_m2(value, how),
    "count": lambda value, _, how: job_names.count(value),
    "share": lambda value, _, how: units.share(value, how),
    "slope": lambda value, _, how: units.slope(value, how),
    "tile": _tile,
    "size": _size,
    "point": _point,
    "outline": _outline,
    "class": _class,
    "word": _word,
    "pipe": _pipe,
}
