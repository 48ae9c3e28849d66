"""Mortar, grout, films, beads, tile, sheets and whole packages: properties, and the ends of their ranges."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.quantities.bags import batch_sizes, mix_water_l, mixed_sizes, packages
from planning.quantities.film import coats, film_reach_m2, thin_spots, wet_coats
from planning.quantities.mortar import LEAST_BED_M, UPRIGHT, Notch, bed_m, grout_kg_m2, grout_waste, mortar_m3
from planning.quantities.sheets import board_screws, foam_m, height_points, lath_net_m2, sheet_count, sheet_screws
from planning.quantities.si import FOOT_M, INCH_M, MIL_M, SQFT_M2, whole
from planning.quantities.tile import (
    flatness,
    joints_across,
    least_joint_m,
    least_offset_joint_m,
    most_lippage_m,
    most_offset,
    movement_joints,
    pattern_waste,
    tile_count,
)

some = st.floats(0.01, 1000)


@given(amount=st.floats(0, 1000), per=some, waste=st.floats(0, 0.3))
def test_whole_packages_are_enough_and_one_less_is_not(amount: float, per: float, waste: float) -> None:
    bought = packages(amount, per, waste, spare=1)
    assert bought.use * per >= amount * (1 + waste) * (1 - 1e-8) - 1e-8 * per
    assert (bought.use - 1) * per < amount * (1 + waste) or bought.use == 0
    assert bought.bring == bought.use + (1 if bought.use else 0)


def test_rounding_noise_buys_no_extra_bag() -> None:
    assert packages(0.1 * 3, 0.1).use == 3
    assert whole(1.1 * 10 / 1.1) == 10
    assert packages(0, 0.45, 0.1, spare=1).bring == 0, "no spare of what is not used"


@pytest.mark.parametrize(("amount", "per", "waste"), [(1, 0, 0), (1, -1, 0), (-1, 1, 0), (1, 1, -0.1)])
def test_packages_that_cannot_be_are_refused(amount: float, per: float, waste: float) -> None:
    with pytest.raises(ValueError, match=r"more than 0|0 or more"):
        packages(amount, per, waste)


@pytest.mark.parametrize(
    ("amount", "sizes", "taken"),
    [(3.69, (3.5, 1.0), (0, 4)), (3.4, (3.5, 1.0), (1, 0)), (4.2, (3.5, 1.0), (1, 1)), (0, (3.5, 1.0), (0, 0))],
)
def test_sizes_are_mixed_so_that_least_is_left_over(
    amount: float, sizes: tuple[float, ...], taken: tuple[int, ...]
) -> None:
    assert mixed_sizes(amount, sizes) == taken


@given(
    amount=st.floats(0, 30), sizes=st.lists(st.sampled_from([0.5, 1.0, 3.5, 5.0]), min_size=1, max_size=3, unique=True)
)
@settings(deadline=None)
def test_mixed_sizes_are_enough_and_none_can_be_left_out(amount: float, sizes: list[float]) -> None:
    taken = mixed_sizes(amount, tuple(sizes))
    total = sum(n * size for n, size in zip(taken, sizes, strict=True))
    assert total >= amount - 1e-9
    assert all(total - size < amount or n == 0 for n, size in zip(taken, sizes, strict=True))


@given(bags=st.integers(0, 60), most=st.integers(1, 8))
def test_batches_use_every_bag_evenly(bags: int, most: int) -> None:
    sizes = batch_sizes(bags, most)
    assert sum(sizes) == bags
    assert all(0 < size <= most for size in sizes)
    assert not sizes or max(sizes) - min(sizes) <= 1


def test_mix_water_is_measured_by_the_bag() -> None:
    assert mix_water_l(4, 5.2) == pytest.approx(20.8)


@given(width=some, depth=some, space=some)
def test_a_bed_is_never_thicker_than_its_notch(width: float, depth: float, space: float) -> None:
    assert 0 < bed_m(Notch(width, depth, space)) < bed_m(Notch(width, depth, space), UPRIGHT) <= depth


def test_a_quarter_inch_square_notch_leaves_too_thin_a_bed_and_three_eighths_enough() -> None:
    assert bed_m(Notch.even(INCH_M / 4, INCH_M / 4)) < LEAST_BED_M
    assert bed_m(Notch.even(INCH_M / 4, INCH_M * 3 / 8)) > LEAST_BED_M
    assert mortar_m3(10, Notch.even(0.01, 0.01), back_butter=0.2) == pytest.approx(10 * 0.0035 * 1.2)


@given(length=st.floats(0.02, 1.2), width=st.floats(0.02, 1.2), joint=st.floats(0.001, 0.01))
def test_grout_is_what_the_joints_of_a_large_field_hold(length: float, width: float, joint: float) -> None:
    columns, rows = 400, 400
    area = columns * length * rows * width
    joints = columns * rows * width + rows * columns * length
    by_joints = joints * joint * 0.008 * 1600 / area
    assert grout_kg_m2(length, width, 0.008, joint) == pytest.approx(by_joints)


def test_mosaics_lose_more_grout() -> None:
    assert grout_waste(2 * INCH_M, 2 * INCH_M) > grout_waste(12 * INCH_M, 24 * INCH_M)


def test_thirty_mil_dry_of_sixty_percent_solids_is_two_coats_of_twenty_five() -> None:
    membrane = coats(10.0, 30 * MIL_M, 0.6, waste=0.0)
    assert membrane.gauge_m == pytest.approx((25 * MIL_M, 25 * MIL_M))
    assert membrane.volume_m3 == pytest.approx(2 * 10.0 * 25 * MIL_M)
    assert wet_coats(10.0, 25 * MIL_M, 3, 0.0).volume_m3 == pytest.approx(3 * 10.0 * 25 * MIL_M)


def test_a_film_gauge_names_the_spots_that_need_more() -> None:
    assert thin_spots(25 * MIL_M, (25 * MIL_M, 22 * MIL_M, 30 * MIL_M, 20 * MIL_M)) == (1, 3)


@pytest.mark.parametrize("ask", [lambda: coats(1, 1, 0), lambda: coats(1, 1, 60), lambda: film_reach_m2(1, 0)])
def test_a_film_that_cannot_be_is_refused(ask: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"solids|thickness"):
        ask()


@given(area=st.floats(0.5, 100), side=st.floats(0.02, 1.2), waste=st.floats(0, 0.3))
def test_enough_tile_is_brought_and_not_one_too_many(area: float, side: float, waste: float) -> None:
    count = tile_count(area, side, side, waste)
    assert (count - 1) * side * side < area * (1 + waste) <= count * side * side * (1 + 1e-8)


def test_patterns_and_small_rooms_lose_more_tile() -> None:
    assert pattern_waste("straight") < pattern_waste("diagonal") < pattern_waste("herringbone")
    assert pattern_waste("straight", 20 * SQFT_M2) > pattern_waste("straight", 60 * SQFT_M2)


@given(length=st.floats(0.1, 60), spacing=st.floats(1, 10))
def test_movement_joints_leave_no_field_longer_than_the_spacing(length: float, spacing: float) -> None:
    count = joints_across(length, spacing)
    assert length / (count + 1) <= spacing * (1 + 1e-8)
    assert count == 0 or length / count > spacing


def test_movement_joints_run_across_the_other_side_and_round_the_perimeter() -> None:
    joints = movement_joints(30 * FOOT_M, 22 * FOOT_M, 12 * FOOT_M)
    assert (joints.across_length, joints.across_width) == (2, 1)
    assert joints.field_m == pytest.approx((2 * 22 + 1 * 30) * FOOT_M)
    assert joints.perimeter_m == pytest.approx(104 * FOOT_M)


def test_joint_offset_lippage_and_flatness_follow_the_size_of_the_tile() -> None:
    assert least_joint_m(0.0) == pytest.approx(INCH_M / 16)
    assert least_offset_joint_m(24 * INCH_M, rectified=True) == pytest.approx(INCH_M / 8)
    assert least_offset_joint_m(24 * INCH_M, rectified=False, warpage_m=0.001) == pytest.approx(INCH_M * 3 / 16 + 0.001)
    assert least_offset_joint_m(12 * INCH_M, rectified=False) == pytest.approx(INCH_M / 16)
    assert (most_offset(24 * INCH_M), most_offset(12 * INCH_M)) == (0.33, 0.5)
    assert most_lippage_m(INCH_M / 8) == pytest.approx(INCH_M / 32)
    assert most_lippage_m(INCH_M / 4) == pytest.approx(INCH_M / 16)
    assert flatness(15 * INCH_M).in_10_ft_m == pytest.approx(INCH_M / 8)
    assert flatness(12 * INCH_M).in_10_ft_m == pytest.approx(INCH_M / 4)


def test_sheets_lap_and_are_counted_whole() -> None:
    assert sheet_count(15 * SQFT_M2, lath_net_m2()) == 1
    assert sheet_count(17 * SQFT_M2, lath_net_m2()) == 2
    with pytest.raises(ValueError, match="larger than its lap"):
        lath_net_m2(lap_m=1.0)


@given(length=st.floats(0.3, 3), width=st.floats(0.3, 3))
def test_screws_do_not_lie_farther_apart_than_asked(length: float, width: float) -> None:
    screws = sheet_screws(length, width)
    assert screws.edges * 6 * INCH_M >= 2 * (length + width) * (1 - 1e-8)
    across = math.ceil(length / (8 * INCH_M) - 1e-8) + 1
    assert board_screws(length, width) >= across * 2


def test_height_points_and_foam_reach_the_edges() -> None:
    assert height_points(9 * FOOT_M, 6 * FOOT_M) == 12
    assert foam_m(10.0) == pytest.approx(10.5)
