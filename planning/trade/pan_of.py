"""The sloped bed of a shower or wet room, from the setter's measures: outline, drain, fall, thickness at the drain."""

from planning.quantities.outline import Outline, Point, outline, rectangle
from planning.quantities.slope import LEAST_SLOPE, Pan, linear_pan, point_pan, wall_drain_pan
from planning.trade.measures_of_room import Measured
from planning.trade.places import Where

USUAL_AT_DRAIN_M = 1.25 * 0.0254
"""Bed at the drain when nothing is said (common practice, no source)."""

_TOWARDS = {"left": (-1, 0), "right": (1, 0), "far": (0, -1), "near": (0, 1)}
"""Where each wall lies, seen from the middle: x from the left wall, y from the far wall."""


def pan_of(measured: Measured, where: Where, at_drain_m: float | None = None) -> Pan:
    """The pan that the measures describe. A floor of unknown sides is taken as a square of its area.

    `at_drain_m`: thickness at the drain instead of the measure's (a pre-slope).

    Raises ValueError for a drain outside the floor or an outline that is none; `why_no_pan` says it in words.
    """
    shape = _shape(measured, where)
    said = measured.number("mud_at_drain") if at_drain_m is None else at_drain_m
    at_drain = USUAL_AT_DRAIN_M if said is None else said
    fall = measured.number("slope") or LEAST_SLOPE
    if measured.number("linear_drain"):
        wall = measured.values.get("drain_wall", "far")
        if wall == "middle":
            return linear_pan(shape, shape.middle, (1.0, 0.0), at_drain, fall)
        return wall_drain_pan(shape, _wall(shape, str(wall)), at_drain, fall)
    to_wall = measured.values.get("run") == "wall"
    return point_pan(shape, _drain(measured, shape), at_drain, fall, "wall" if to_wall else "corner")


def why_no_pan(measured: Measured) -> str | None:
    """What is wrong with the measures of the bed, or None."""
    for row in measured.method.row:
        if any(part.per == "mud_volume" for parts in row.amounts.values() for part in parts):
            try:
                pan_of(measured, measured.places[row.place])
            except ValueError as wrong:
                return str(wrong)
    return None


def _shape(measured: Measured, where: Where) -> Outline:
    corners = _points(measured.values.get("outline"))
    if corners:
        return outline(corners)
    length, width = where.sides_m or (where.area_m2**0.5, where.area_m2**0.5)
    return rectangle(length, width)


def _points(value: object) -> list[Point]:
    if not isinstance(value, tuple):
        return []
    return [(float(each[0]), float(each[1])) for each in value if isinstance(each, tuple) and len(each) == 2]


def _drain(measured: Measured, shape: Outline) -> Point:
    drain = measured.values.get("drain")
    if isinstance(drain, tuple) and len(drain) == 2:
        x, y = drain
        if isinstance(x, int | float) and isinstance(y, int | float):
            return float(x), float(y)
    return shape.middle


def _wall(shape: Outline, name: str) -> int:
    """The wall that lies farthest towards that side."""
    x, y = _TOWARDS.get(name, _TOWARDS["far"])

    def reach(n: int) -> float:
        (ax, ay), (bx, by) = shape.edges[n]
        return (ax + bx) * x + (ay + by) * y

    return max(range(len(shape.edges)), key=reach)
