"""Slopes of pans: checked both ways, with what to change, and what a recess must be."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from planning.quantities.outline import Outline, l_shape, neo_angle, rectangle
from planning.quantities.si import FOOT_M, INCH_M
from planning.quantities.slope import (
    LEAST_SLOPE,
    MOST_SLOPE,
    linear_pan,
    point_pan,
    recess_needed_m,
    rise_left_m,
    slants,
    wall_drain_pan,
)
from planning.quantities.slope_mend import mends, say_mend, say_slants, show_slope

MUD = 1.25 * INCH_M


def feet(length: float, width: float) -> Outline:
    return rectangle(length * FOOT_M, width * FOOT_M)


def at(x: float, y: float) -> tuple[float, float]:
    return x * FOOT_M, y * FOOT_M


@pytest.mark.parametrize(
    ("length", "width", "drain", "right"),
    [
        (5, 3, (2.5, 1.5), True),
        (5, 3, (1.0, 1.5), False),
        (5, 3, (1.5, 1.5), False),
        (4, 4, (2, 2), True),
        (5, 32 / 12, (2.5, 16 / 12), False),
        (6, 4, (3, 2), True),
        (3, 3, (1.5, 1.5), True),
    ],
)
def test_a_level_perimeter_passes_only_where_the_longest_run_is_at_most_twice_the_shortest(
    length: float, width: float, drain: tuple[float, float], right: bool
) -> None:
    assert (slants(point_pan(feet(length, width), at(*drain), MUD)) == ()) is right


def test_by_the_farthest_wall_the_narrow_shower_passes_and_its_corners_are_flatter() -> None:
    narrow = feet(5, 32 / 12)
    pan = point_pan(narrow, narrow.middle, MUD, run="wall")
    assert pan.steepest * 12 == pytest.approx(0.469, abs=0.001)
    assert slants(pan) == ("too flat",), "the corner run is under 1/4 in per ft, and it says so"
    assert mends(narrow, narrow.middle, MUD, run="wall") == (), "but the setter chose that rule"


@given(
    length=st.floats(0.6, 3), width=st.floats(0.6, 3), x=st.floats(0.05, 0.95), y=st.floats(0.05, 0.95),
)  # fmt: skip
def test_every_change_offered_for_a_rectangle_ends_with_right_slopes(
    length: float, width: float, x: float, y: float
) -> None:
    shape = rectangle(length, width)
    drain = (x * length, y * width)
    offered = mends(shape, drain, MUD)
    assert bool(offered) == bool(slants(point_pan(shape, drain, MUD)))
    for mend in offered:
        if mend.pan is not None:
            assert "too steep" not in slants(mend.pan)
        if mend.change in ("center", "linear"):
            assert slants(mend.pan) == ()


def test_a_wall_dropped_for_a_near_drain_has_the_steepest_slope_allowed() -> None:
    shape, drain = feet(5, 3), at(1.0, 1.5)
    drop = next(each for each in mends(shape, drain, MUD) if each.change == "drop")
    assert (drop.height_m - MUD) / (1.0 * FOOT_M) == pytest.approx(MOST_SLOPE)


def test_a_recess_that_is_too_shallow_makes_the_floor_too_flat_and_says_how_high_the_walls_must_be() -> None:
    shape = feet(5, 3)
    rise = rise_left_m(1.75 * INCH_M, MUD, 0.5 * INCH_M, 0.5 * INCH_M)
    assert rise == pytest.approx(0.5 * INCH_M)
    flat = point_pan(shape, shape.middle, MUD, rise_m=rise)
    assert slants(flat) == ("too flat",)
    (raised,) = mends(shape, shape.middle, MUD, rise_m=rise)
    assert raised.change == "raise"
    assert raised.height_m == pytest.approx((1.25 + 0.7289) * INCH_M, rel=1e-3)


def test_the_recess_of_a_floor_without_a_curb_takes_the_finishes_into_account() -> None:
    shape = feet(5, 3)
    pan = point_pan(shape, shape.middle, MUD)
    assert recess_needed_m(pan, 0.01, 0.01) / INCH_M == pytest.approx(1.98, abs=0.005)
    assert recess_needed_m(pan, 0.008, 0.012) == pytest.approx(pan.perimeter_height_m - 0.004)


def test_a_drain_hole_takes_its_mud_away() -> None:
    shape = feet(5, 3)
    with_hole = point_pan(shape, shape.middle, MUD, hole_m2=(4 * INCH_M) ** 2)
    assert with_hole.volume_m3 / FOOT_M**3 == pytest.approx(2.129, abs=0.035)
    assert with_hole.volume_m3 == pytest.approx(point_pan(shape, shape.middle, MUD).volume_m3 - MUD * (4 * INCH_M) ** 2)


def test_a_drain_outside_the_floor_is_refused() -> None:
    with pytest.raises(ValueError, match="outside the floor"):
        point_pan(l_shape(2, 2, 1, 1), (1.5, 1.5), MUD)


def test_a_drain_that_sees_only_half_of_an_l_is_an_estimate_and_runs_round_the_corner() -> None:
    shape = l_shape(2.0, 2.0, 1.0, 1.0)
    hidden = point_pan(shape, (1.8, 0.5), MUD)
    assert not hidden.exact
    assert hidden.longest_run_m == pytest.approx(math.dist((1.8, 0.5), (1, 1)) + math.dist((1, 1), (0, 2)))
    assert point_pan(shape, (0.5, 0.5), MUD).exact


def test_a_neo_angle_with_its_drain_in_the_middle_is_exact_and_right() -> None:
    shape = neo_angle(1.07, 1.07, 0.45, 0.45)
    pan = point_pan(shape, shape.middle, MUD)
    assert pan.exact
    assert slants(pan) == ()


@given(st.floats(0.3, 4), st.floats(0.3, 4), st.floats(0.01, 0.04))
def test_a_linear_drain_keeps_one_slope_everywhere(length: float, width: float, slope: float) -> None:
    assume(slope < 0.0416)
    pan = wall_drain_pan(rectangle(length, width), 0, 0.02, slope)
    assert pan.steepest == pan.flattest == slope
    assert pan.rise_m == pytest.approx(slope * width)
    assert pan.mean_m == pytest.approx(0.02 + slope * width / 2)


@given(st.floats(-3, 3))
def test_where_a_linear_drain_is_measured_from_does_not_matter(shift: float) -> None:
    shape = l_shape(2, 2, 1, 1)
    one = linear_pan(shape, (0.4, 0.0), (0, 1), 0.02)
    other = linear_pan(shape, (0.4, shift), (0, -2.5), 0.02)
    assert one.volume_m3 == pytest.approx(other.volume_m3)


def test_slopes_and_changes_are_said_in_trade_words() -> None:
    assert show_slope(LEAST_SLOPE) == "1/4 in per ft"
    assert show_slope(LEAST_SLOPE, "metric") == "2.1 %"
    shape, drain = feet(5, 3), at(1.0, 1.5)
    said = say_slants(point_pan(shape, drain, MUD))
    assert said == "steepest side 1.07 in per ft, most is 1/2 in per ft"
    words = [say_mend(each) for each in mends(shape, drain, MUD)]
    assert words == [
        "put the drain in the middle: walls 2 in high",
        "use a linear drain at the near wall: far wall 2-1/2 in high",
        "drop the near wall to 1-3/4 in",
    ]
    assert say_slants(point_pan(shape, shape.middle, MUD)) is None
