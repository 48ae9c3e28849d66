"""Outlines: areas and ways, against values worked by hand and properties that hold for all of them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.quantities.outline import Outline, area_and_middle, l_shape, neo_angle, outline, rectangle, side_of

ELL = l_shape(2.0, 2.0, 1.0, 1.0)


def moved(shape: Outline, by: float, turn: float) -> Outline:
    c, s = math.cos(turn), math.sin(turn)
    return outline([(x * c - y * s + by, x * s + y * c - by) for x, y in shape.corners])


def test_areas_and_perimeters_by_hand() -> None:
    assert ELL.area_m2 == pytest.approx(3.0)
    assert ELL.perimeter_m == pytest.approx(8.0)
    assert neo_angle(1.0, 1.0, 0.5, 0.5).area_m2 == pytest.approx(0.875)
    assert rectangle(3, 2).middle == pytest.approx((1.5, 1.0))


@given(by=st.floats(-5, 5), turn=st.floats(0, 6.2))
def test_moving_and_turning_a_floor_changes_no_size(by: float, turn: float) -> None:
    other = moved(ELL, by, turn)
    assert other.area_m2 == pytest.approx(ELL.area_m2)
    assert other.perimeter_m == pytest.approx(ELL.perimeter_m)


def test_corners_may_come_in_either_order_and_twice() -> None:
    clockwise = outline([(0, 0), (0, 2), (3, 2), (3, 0), (0, 0)])
    assert clockwise.area_m2 == pytest.approx(6.0)
    assert len(clockwise.corners) == 4


@pytest.mark.parametrize(
    ("corners", "says"),
    [
        ([(0, 0), (1, 0)], "three corners"),
        ([(0, 0), (1, 0), (2, 0)], "three corners"),
        ([(0, 0), (3, 3), (3, 0), (0, 2)], "cross each other"),
    ],
)
def test_corners_that_are_no_floor_are_refused(corners: list[tuple[float, float]], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        outline(corners)


def test_a_point_is_in_the_floor_on_its_wall_or_outside() -> None:
    assert ELL.holds((0.5, 1.5))
    assert ELL.holds((1.0, 1.5)), "on the wall"
    assert not ELL.holds((1.5, 1.5))
    assert ELL.sees_all((0.5, 0.5))
    assert not ELL.sees_all((1.8, 0.5))


def test_the_shortest_way_goes_round_the_inner_corner() -> None:
    assert ELL.way_m((2.0, 0.5), (0.5, 2.0)) == pytest.approx(2 * math.hypot(1.0, 0.5))
    assert ELL.way_m((0.2, 0.2), (0.2, 1.9)) == pytest.approx(1.7)
    assert ELL.way_m((1.0, 1.0), (1.0, 2.0)) == pytest.approx(1.0), "along the wall"


@given(x=st.floats(0.1, 1.9), turn=st.floats(0, 3.1))
def test_the_two_sides_of_a_line_make_up_the_floor(x: float, turn: float) -> None:
    left, right = (area_and_middle(piece) for piece in side_of(ELL, (x, 0.5), (math.cos(turn), math.sin(turn))))
    assert left[0] + right[0] == pytest.approx(3.0)
    middle = ELL.middle
    assert (left[0] * left[1][0] + right[0] * right[1][0]) / 3.0 == pytest.approx(middle[0])
    assert (left[0] * left[1][1] + right[0] * right[1][1]) / 3.0 == pytest.approx(middle[1])


def test_a_line_needs_a_direction() -> None:
    with pytest.raises(ValueError, match="direction"):
        side_of(ELL, (0, 0), (0, 0))
