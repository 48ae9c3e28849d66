"""Outlines of floors as polygons: area, middle, what a point in them can see, and the shortest way round a corner.

An outline is its corners in order, in meters, without repeating the first. Rectangles, neo-angles and L-shapes are made
by name; any simple polygon will do.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import dist, hypot, inf

Point = tuple[float, float]
_TINY = 1e-9


def _cross(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _edges_of(corners: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    return pairwise((*corners, corners[0]))


def _signed_area(corners: Sequence[Point]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in _edges_of(corners)) / 2


@dataclass(frozen=True)
class Outline:
    """A simple polygon, corners counterclockwise. Make it with `outline`, which checks and turns the corners."""

    corners: tuple[Point, ...]

    @cached_property
    def edges(self) -> tuple[tuple[Point, Point], ...]:
        """Its walls, as pairs of corners."""
        return tuple(_edges_of(self.corners))

    @cached_property
    def area_m2(self) -> float:
        """Area in square meters."""
        return _signed_area(self.corners)

    @cached_property
    def perimeter_m(self) -> float:
        """Length of all walls in meters."""
        return sum(dist(a, b) for a, b in self.edges)

    @cached_property
    def middle(self) -> Point:
        """The center of its area."""
        return _middle(self.corners)

    def holds(self, point: Point) -> bool:
        """Is the point inside or on a wall?"""
        return _on_a_wall(self, point) or _winds(self, point)

    def sees_all(self, point: Point) -> bool:
        """Does a straight line from the point reach every spot of the floor without crossing a wall?"""
        return all(_cross(a, b, point) >= -_TINY for a, b in self.edges)

    def wall_distance_m(self, wall: int, point: Point) -> float:
        """Perpendicular distance from a point to the line of a wall."""
        a, b = self.edges[wall]
        return abs(_cross(a, b, point)) / dist(a, b)

    def way_m(self, start: Point, finish: Point) -> float:
        """Length of the shortest way from one point to another that stays inside: round corners where it must."""
        return _shortest(self, start, finish)


def _middle(corners: Sequence[Point]) -> Point:
    area = _signed_area(corners)
    x = sum((a[0] + b[0]) * (a[0] * b[1] - b[0] * a[1]) for a, b in _edges_of(corners))
    y = sum((a[1] + b[1]) * (a[0] * b[1] - b[0] * a[1]) for a, b in _edges_of(corners))
    return x / (6 * area), y / (6 * area)


def outline(corners: Sequence[Point]) -> Outline:
    """An outline from its corners in either order.

    Raises ValueError with fewer than three corners, no area, or walls that cross each other.
    """
    points = [(float(x), float(y)) for x, y in corners]
    kept = [p for n, p in enumerate(points) if dist(p, points[n - 1]) > _TINY]
    if len(kept) < 3 or abs(_signed_area(kept)) < _TINY:
        raise ValueError('an outline needs three corners that span a floor; write ["0, 0", "5 ft, 0", "5 ft, 3 ft"]')
    if _signed_area(kept) < 0:
        kept.reverse()
    walls = list(_edges_of(kept))
    for n, wall in enumerate(walls):
        for other in walls[n + 2 : len(walls) - (n == 0)]:
            if _touch(wall, other):
                raise ValueError("walls of the outline cross each other; give the corners in order, round the floor")
    return Outline(tuple(kept))


def rectangle(length_m: float, width_m: float) -> Outline:
    """A rectangle from (0, 0): length along x, width along y."""
    return outline([(0, 0), (length_m, 0), (length_m, width_m), (0, width_m)])


def neo_angle(length_m: float, width_m: float, cut_length_m: float, cut_width_m: float) -> Outline:
    """A rectangle with one corner cut off at an angle: the door of a corner shower."""
    return outline(
        [(0, 0), (length_m, 0), (length_m, width_m - cut_width_m), (length_m - cut_length_m, width_m), (0, width_m)]
    )


def l_shape(length_m: float, width_m: float, notch_length_m: float, notch_width_m: float) -> Outline:
    """A rectangle with a rectangle missing from one corner."""
    inner_x, inner_y = length_m - notch_length_m, width_m - notch_width_m
    return outline([(0, 0), (length_m, 0), (length_m, inner_y), (inner_x, inner_y), (inner_x, width_m), (0, width_m)])


def side_of(shape: Outline, through: Point, along: Point) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """The two pieces of an outline left and right of the line through a point along a direction, as corners.

    Exact areas and middles also where the piece of an L-shape falls apart: the join has no area.
    """
    other = (through[0] + along[0], through[1] + along[1])
    size = hypot(*along)
    if size < _TINY:
        raise ValueError("a line needs a direction; give two numbers that are not both 0")
    heights = [_cross(through, other, corner) / size for corner in shape.corners]
    left: list[Point] = []
    right: list[Point] = []
    count = len(shape.corners)
    for n, corner in enumerate(shape.corners):
        here, there = heights[n], heights[(n + 1) % count]
        if here >= -_TINY:
            left.append(corner)
        if here <= _TINY:
            right.append(corner)
        if (here > _TINY and there < -_TINY) or (here < -_TINY and there > _TINY):
            to = shape.corners[(n + 1) % count]
            part = here / (here - there)
            crossing = (corner[0] + part * (to[0] - corner[0]), corner[1] + part * (to[1] - corner[1]))
            left.append(crossing)
            right.append(crossing)
    return tuple(left), tuple(right)


def area_and_middle(corners: Sequence[Point]) -> tuple[float, Point]:
    """Area and middle of a piece; (0, (0, 0)) when it has none."""
    if len(corners) < 3 or abs(_signed_area(corners)) < _TINY:
        return 0.0, (0.0, 0.0)
    return abs(_signed_area(corners)), _middle(corners)


def _touch(wall: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    (a, b), (c, d) = wall, other
    if _cross(a, b, c) * _cross(a, b, d) < 0 and _cross(c, d, a) * _cross(c, d, b) < 0:
        return True
    return any(_lies_on(p, q, r) for p, q, r in ((a, b, c), (a, b, d), (c, d, a), (c, d, b)))


def _lies_on(a: Point, b: Point, point: Point) -> bool:
    return dist(a, point) + dist(point, b) - dist(a, b) < _TINY


def _on_a_wall(shape: Outline, point: Point) -> bool:
    return any(_lies_on(a, b, point) for a, b in shape.edges)


def _winds(shape: Outline, point: Point) -> bool:
    inside = False
    x, y = point
    for (ax, ay), (bx, by) in shape.edges:
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def _sees(shape: Outline, a: Point, b: Point) -> bool:
    """Is the straight line from a to b inside? Walls may be touched, not crossed."""
    for c, d in shape.edges:
        if _cross(a, b, c) * _cross(a, b, d) < -(_TINY**2) and _cross(c, d, a) * _cross(c, d, b) < -(_TINY**2):
            return False
    on_line = [p for p in shape.corners if _lies_on(a, b, p)]
    stops = sorted((a, *on_line, b), key=lambda p: dist(a, p))
    return all(shape.holds(((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)) for p, q in pairwise(stops))


def _shortest(shape: Outline, start: Point, finish: Point) -> float:
    points = [start, finish, *shape.corners]
    far = [inf] * len(points)
    far[0] = 0.0
    left = set(range(len(points)))
    while left:
        here = min(left, key=lambda n: far[n])
        left.remove(here)
        if here == 1 or far[here] == inf:
            break
        for there in left:
            step = dist(points[here], points[there])
            if far[here] + step < far[there] and _sees(shape, points[here], points[there]):
                far[there] = far[here] + step
    return far[1]
