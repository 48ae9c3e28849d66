"""The sloped bed of a shower or wet room, from the setter's measures: outline, drain, fall, thickness at the drain."""

from planning.quantities.mortar import LEAST_BED_M
from planning.quantities.outline import Outline, Point, outline, rectangle
from planning.quantities.si import INCH_M
from planning.quantities.slope import LEAST_SLOPE, Pan, Run, linear_pan, point_pan, rise_left_m, wall_drain_pan
from planning.trade.measures_of_room import Measured
from planning.trade.places import Where

USUAL_AT_DRAIN_M = 1.25 * INCH_M
"""Bed at the drain when nothing is said (common practice, no source)."""

_TOWARDS = {"left": (-1, 0), "right": (1, 0), "far": (0, -1), "near": (0, 1)}
"""Where each wall lies, seen from the middle: x from the left wall, y from the far wall."""


def pan_of(measured: Measured, where: Where, at_drain_m: float | None = None) -> Pan:
    """The pan that the measures describe. A floor of unknown sides is taken as a square of its area.

    `at_drain_m`: thickness at the drain instead of the measure's (a pre-slope). With a recess the rise is what the
    recess leaves. Raises ValueError for a drain outside the floor, an outline that is none, or a recess too shallow;
    `why_no_pan` says it in words.
    """
    shape = shape_of(measured, where)
    said = measured.number("mud_at_drain") if at_drain_m is None else at_drain_m
    at_drain = USUAL_AT_DRAIN_M if said is None else said
    fall = measured.number("slope") or LEAST_SLOPE
    if measured.number("linear_drain"):
        wall = measured.values.get("drain_wall", "far")
        if wall == "middle":
            return linear_pan(shape, shape.middle, (1.0, 0.0), at_drain, fall)
        return wall_drain_pan(shape, _wall(shape, str(wall)), at_drain, fall)
    return point_pan(shape, drain_of(measured, shape), at_drain, fall, run_of(measured), rise_of(measured, at_drain))


def run_of(measured: Measured) -> Run:
    """Which run the fall is kept on."""
    return "wall" if measured.values.get("run") == "wall" else "corner"


def rise_of(measured: Measured, at_drain: float) -> float | None:
    """The rise that a recess leaves from the drain to the walls, in meters; None without a recess."""
    recess = measured.number("recess")
    if recess is None:
        return None
    finish = measured.number("floor_finish")
    rise = rise_left_m(recess, at_drain, _finish(measured, "shower_tile"), finish or _finish(measured, "tile"))
    if rise <= 0:
        raise ValueError(
            f"the recess is {-rise / INCH_M:.2f} in too shallow for the mud at the drain; deepen it, or thin the mud"
        )
    return rise


def _finish(measured: Measured, key: str) -> float:
    """Tile and the least bed under it."""
    tile = measured.tile(key) or measured.tile()
    return (tile[2] if tile else 0.0) + LEAST_BED_M


def why_no_pan(measured: Measured) -> str | None:
    """What is wrong with the measures of the bed, or None."""
    for row in measured.method.row:
        if any(part.per == "mud_volume" for parts in row.amounts.values() for part in parts):
            try:
                pan_of(measured, measured.places[row.place])
            except ValueError as wrong:
                return str(wrong)
    return None


def shape_of(measured: Measured, where: Where) -> Outline:
    """The floor's outline: as measured, else a rectangle."""
    corners = _points(measured.values.get("outline"))
    if corners:
        return outline(corners)
    length, width = where.sides_m or (where.area_m2**0.5, where.area_m2**0.5)
    return rectangle(length, width)


def _points(value: object) -> list[Point]:
    if not isinstance(value, tuple):
        return []
    return [(float(each[0]), float(each[1])) for each in value if isinstance(each, tuple) and len(each) == 2]


def drain_of(measured: Measured, shape: Outline) -> Point:
    """Where the drain is: from the left and the far wall, else in the middle."""
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
