"""Pan volumes against cells added up one by one, from heights written here without the planner's geometry."""

import math
from collections.abc import Callable

import pytest

from planning.quantities.outline import l_shape, neo_angle, outline, rectangle
from planning.quantities.slope import linear_pan, point_pan, wall_drain_pan

SLOPE = 1 / 48
CELLS = 140

NEO = [(0.0, 0.0), (1.2, 0.0), (1.2, 0.7), (0.7, 1.2), (0.0, 1.2)]
ELL = [(0.0, 0.0), (2.0, 0.0), (2.0, 0.8), (0.9, 0.8), (0.9, 1.7), (0.0, 1.7)]
BOX = [(0.0, 0.0), (1.524, 0.0), (1.524, 0.9144), (0.0, 0.9144)]
KITE = [(0.0, 0.5), (0.8, 0.0), (2.0, 0.5), (0.8, 1.3)]

Corner = tuple[float, float]


def inside(corners: list[Corner], x: float, y: float) -> bool:
    crossings = 0
    for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            crossings += 1
    return crossings % 2 == 1


def share_of_way_to_the_wall(corners: list[Corner], drain: Corner, x: float, y: float) -> float:
    """How far a spot lies on the ray from the drain to the wall behind it: 0 at the drain, 1 at the wall."""
    dx, dy = x - drain[0], y - drain[1]
    nearest = math.inf
    for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True):
        ex, ey = bx - ax, by - ay
        spread = dx * ey - dy * ex
        if abs(spread) < 1e-15:
            continue
        along = ((ax - drain[0]) * ey - (ay - drain[1]) * ex) / spread
        on_wall = ((ax - drain[0]) * dy - (ay - drain[1]) * dx) / spread
        if along > 1e-12 and -1e-12 <= on_wall <= 1 + 1e-12:
            nearest = min(nearest, along)
    return 1 / nearest


def added_up(corners: list[Corner], height: Callable[[float, float], float]) -> float:
    xs, ys = [c[0] for c in corners], [c[1] for c in corners]
    left, low = min(xs), min(ys)
    dx, dy = (max(xs) - left) / CELLS, (max(ys) - low) / CELLS
    total = 0.0
    for i in range(CELLS):
        for j in range(CELLS):
            x, y = left + (i + 0.5) * dx, low + (j + 0.5) * dy
            if inside(corners, x, y):
                total += height(x, y)
    return total * dx * dy


@pytest.mark.parametrize(
    ("corners", "drain"),
    [(BOX, (0.762, 0.4572)), (BOX, (0.3, 0.5)), (NEO, (0.5, 0.5)), (KITE, (0.9, 0.6)), (ELL, (0.45, 0.4))],
)
def test_a_point_drains_mud_is_what_the_cells_add_up_to(corners: list[Corner], drain: Corner) -> None:
    pan = point_pan(outline(corners), drain, 0.03, SLOPE)
    rise = SLOPE * max(math.dist(drain, corner) for corner in corners)
    by_cells = added_up(corners, lambda x, y: 0.03 + rise * share_of_way_to_the_wall(corners, drain, x, y))
    assert pan.exact
    assert pan.volume_m3 == pytest.approx(by_cells, rel=4e-3)
    assert pan.perimeter_height_m == pytest.approx(0.03 + rise)


def test_a_plain_rectangle_is_exact_to_a_part_in_ten_thousand() -> None:
    pan = point_pan(rectangle(1.524, 0.9144), (0.762, 0.4572), 0.03175, SLOPE)
    rise = SLOPE * math.hypot(0.762, 0.4572)
    by_cells = added_up(BOX, lambda x, y: 0.03175 + rise * share_of_way_to_the_wall(BOX, (0.762, 0.4572), x, y))
    assert pan.volume_m3 == pytest.approx(by_cells, rel=1e-4)


@pytest.mark.parametrize("corners", [BOX, NEO, KITE, ELL])
@pytest.mark.parametrize(
    ("through", "along"), [((0.4, 0.0), (0.0, 1.0)), ((0.0, 0.0), (1.0, 0.0)), ((0.5, 0.5), (1.0, 1.0))]
)
def test_a_linear_drains_mud_is_what_the_cells_add_up_to(corners: list[Corner], through: Corner, along: Corner) -> None:
    def height(x: float, y: float) -> float:
        away = abs(along[0] * (y - through[1]) - along[1] * (x - through[0])) / math.hypot(*along)
        return 0.02 + SLOPE * away

    pan = linear_pan(outline(corners), through, along, 0.02, SLOPE)
    assert pan.volume_m3 == pytest.approx(added_up(corners, height), rel=4e-3)


def test_named_outlines_are_their_corners() -> None:
    assert neo_angle(1.2, 1.2, 0.5, 0.5).area_m2 == pytest.approx(outline(NEO).area_m2)
    assert l_shape(2.0, 1.7, 1.1, 0.9).area_m2 == pytest.approx(outline(ELL).area_m2)
    assert wall_drain_pan(rectangle(1.524, 0.9144), 0, 0.02).rise_m == pytest.approx(0.9144 / 48)
