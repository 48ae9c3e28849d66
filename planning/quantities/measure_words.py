"""The measurements of a room's work read from people's words into SI, by the kind their key has in the table."""

import re
from collections.abc import Callable, Mapping
from typing import Any

from planning.job.measures import MEASUREMENTS, Measurement, every_key
from planning.job.problem import UnreadableError
from planning.job.scope import Measure
from planning.quantities import units
from planning.quantities.number_words import shown
from planning.quantities.plain_words import count, one_of, simple_id

TILE_THICKNESS_M = 0.009525
"""Taken for a tile written without one: 3/8 in (common practice, no source)."""

MOST_GRID = 400
_PIPE = re.compile(r"(pvc|abs|cpvc|cast-iron|copper|steel) (\S.*)")


def read_measure(key: str, value: object) -> dict[str, Measure]:
    """One measurement in SI under its key; a grid also gives the spacing of its points under `KEY_every`.

    Raises UnreadableError, and KeyError for a key that is not in the table.
    """
    measurement = MEASUREMENTS[key]
    how = f"write {key} = {measurement.example}"
    try:
        if measurement.kind == "grid":
            return _grid(key, value, how)
        return {key: _READERS[measurement.kind](value, measurement, how)}
    except UnreadableError as wrong:
        raise UnreadableError(f"{key}: {wrong.what}", how) from wrong


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
    return simple_id(value, how)


def _word(value: Any, measurement: Measurement, _: str) -> Measure:
    return one_of(*measurement.words)(value)


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
    "count": lambda value, _, how: count(value),
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
