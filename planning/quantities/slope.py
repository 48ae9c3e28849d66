"""Sloped floors: how much mud, how high at the walls, how steep and how flat, with a point drain or a linear one.

A point drain with level walls makes one plane from each wall to the drain. Whatever the outline and wherever the drain
sees the whole floor, the mud lies h0 + 2/3 of the rise deep in the mean, so the volume is exact. A linear drain makes
one plane on each of its sides. Meters, cubic meters; a slope is rise over run (1/4 in per ft is 1/48).
"""

from dataclasses import dataclass
from math import dist
from typing import Literal

from planning.quantities.outline import Outline, Point, area_and_middle, side_of
from planning.quantities.si import FALL_PER_INCH_IN_FOOT

LEAST_SLOPE = 0.25 * FALL_PER_INCH_IN_FOOT
MOST_SLOPE = 0.5 * FALL_PER_INCH_IN_FOOT
"""1/4 to 1/2 in per ft for a shower floor (IRC P2709.1 as quoted; other codes alike). Local code comes first."""

Run = Literal["corner", "wall"]
"""Which run the slope is kept on: to the farthest corner (the safe one), or to the farthest wall (flatter corners)."""

_HAIR = 1e-6
_NO_WALL_M = 1e-4
"""A drain closer to a wall than this lies at it: there is no plane between them."""


@dataclass(frozen=True, slots=True)
class Pan:
    """A sloped floor: its mud and its slopes."""

    area_m2: float
    volume_m3: float
    at_drain_m: float
    rise_m: float
    """From the drain to the level walls (for a linear drain, to the wall farthest from it)."""
    longest_run_m: float
    steepest: float
    flattest: float
    """The flattest straight run from a wall or corner to the drain."""
    exact: bool = True
    """False: the drain does not see the whole floor, so the volume is an estimate."""

    @property
    def perimeter_height_m(self) -> float:
        """Height of the mud at the walls."""
        return self.at_drain_m + self.rise_m

    @property
    def mean_m(self) -> float:
        """Mean thickness of the mud."""
        return self.volume_m3 / self.area_m2


def point_pan(
    shape: Outline, drain: Point, at_drain_m: float, slope: float = LEAST_SLOPE, run: Run = "corner",
    rise_m: float | None = None, hole_m2: float = 0.0,
) -> Pan:  # fmt: skip
    """The pan of a point drain with level walls.

    `rise_m` sets the height of the walls over the drain instead of the slope (a recess that is already there).
    `hole_m2` is the drain's own hole. Raises ValueError when the drain lies outside the floor.
    """
    if not shape.holds(drain):
        raise ValueError("the drain lies outside the floor; measure its center from the left and the far wall")
    if at_drain_m < 0 or slope < 0:
        raise ValueError(f"mud at the drain {at_drain_m} and slope {slope} must be 0 or more")
    sees_all = shape.sees_all(drain)
    corners = [shape.way_m(drain, corner) for corner in shape.corners]
    walls = _wall_runs(shape, drain, sees_all)
    longest = max(corners) if run == "corner" else max(walls)
    rise = slope * longest if rise_m is None else rise_m
    volume = shape.area_m2 * (at_drain_m + 2 * rise / 3) - hole_m2 * at_drain_m
    return Pan(
        shape.area_m2, volume, at_drain_m, rise, longest, rise / min(walls), rise / max(corners), exact=sees_all
    )  # fmt: skip


def _wall_runs(shape: Outline, drain: Point, sees_all: bool) -> list[float]:
    """The run of each wall's plane down to the drain; a wall round a corner counts from its nearer end."""
    runs = []
    for n, (a, b) in enumerate(shape.edges):
        straight = shape.wall_distance_m(n, drain)
        hidden = not sees_all and any(shape.way_m(drain, end) > dist(drain, end) + _HAIR for end in (a, b))
        runs.append(min(shape.way_m(drain, a), shape.way_m(drain, b)) if hidden else straight)
    return [each for each in runs if each > _NO_WALL_M]


def linear_pan(
    shape: Outline, through: Point, along: Point, at_drain_m: float, slope: float = LEAST_SLOPE,
) -> Pan:  # fmt: skip
    """The pan of a linear drain on the line through a point along a direction: one plane on each side of it.

    Exact for every outline, because depth grows evenly with the distance from the line: a side's mean depth is the
    depth at its middle. The drain is taken as long as the floor there is wide.
    """
    if at_drain_m < 0 or slope < 0:
        raise ValueError(f"mud at the drain {at_drain_m} and slope {slope} must be 0 or more")
    volume = 0.0
    for piece in side_of(shape, through, along):
        area, middle = area_and_middle(piece)
        volume += area * (at_drain_m + slope * line_distance_m(through, along, middle)) if area else 0.0
    longest = max(line_distance_m(through, along, corner) for corner in shape.corners)
    return Pan(shape.area_m2, volume, at_drain_m, slope * longest, longest, slope, slope)


def wall_drain_pan(shape: Outline, wall: int, at_drain_m: float, slope: float = LEAST_SLOPE) -> Pan:
    """The pan of a linear drain along one of the walls (counted from 0, as the outline's edges)."""
    a, b = shape.edges[wall]
    return linear_pan(shape, a, (b[0] - a[0], b[1] - a[1]), at_drain_m, slope)


def line_distance_m(through: Point, along: Point, point: Point) -> float:
    """Distance of a point from a line."""
    size = dist((0.0, 0.0), along)
    return abs(along[0] * (point[1] - through[1]) - along[1] * (point[0] - through[0])) / size


def even_bed_m3(area_m2: float, thickness_m: float) -> float:
    """Mud of a bed of the same thickness everywhere: what lies on a sloped liner."""
    return area_m2 * thickness_m


def recess_needed_m(pan: Pan, pan_finish_m: float, room_finish_m: float) -> float:
    """How far the subfloor must lie below the room's for a floor without a curb.

    `pan_finish_m` and `room_finish_m` are the tile and bed on the pan and on the room's floor.
    """
    return pan.perimeter_height_m + pan_finish_m - room_finish_m


def rise_left_m(recess_m: float, at_drain_m: float, pan_finish_m: float, room_finish_m: float) -> float:
    """What a recess leaves for the rise from drain to walls. Below 0: the mud at the drain does not fit either."""
    return recess_m + room_finish_m - pan_finish_m - at_drain_m


Slant = Literal["too steep", "too flat"]


def slants(pan: Pan, least: float = LEAST_SLOPE, most: float = MOST_SLOPE) -> tuple[Slant, ...]:
    """What is wrong with the slopes, checked both ways; empty when nothing is."""
    found: list[Slant] = []
    if pan.steepest > most * (1 + _HAIR):
        found.append("too steep")
    if pan.flattest < least * (1 - _HAIR):
        found.append("too flat")
    return tuple(found)
