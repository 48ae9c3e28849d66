"""Quantities and amounts of a measured room against sums done by hand and worked examples of the trade."""

import pytest

from planning.job.step import Step
from planning.trade.materials import common_classes
from tests.planning.trade.small_jobs import FOOT, INCH, SQFT, do, poured, room_of, steps_of, wet_room

CUBIC_FOOT = FOOT**3
GALLON_L = 3.785411784
POUND = 0.45359237


def used(step: Step, material: str) -> float:
    return next(amount.quantity for amount in step.amounts if amount.material == material)


def test_a_half_inch_pour_on_45_square_feet_takes_five_bags():
    """45 x 1/24 = 1.875 cu ft; with 10 % waste 4.58 bags of 0.45."""
    steps = steps_of(wet_room({"depth": INCH / 2}))
    volume = sum(used(bay, "leveler") for bay in poured(steps))
    assert volume == pytest.approx(1.875 * CUBIC_FOOT)
    assert common_classes()["leveler"].packages(volume) == 5


def test_the_bed_of_a_five_by_three_shower_is_the_worked_example():
    """Center drain, 1-1/4 in at it, 1/4 in a foot: 2.1699 cu ft (checked by numeric integration)."""
    steps = steps_of(wet_room())
    assert used(steps["float"], "float-rapid") / CUBIC_FOOT == pytest.approx(2.1699, abs=1e-4)


def test_two_coats_on_103_square_feet_take_3_69_gallons_with_waste():
    """103 x 2 x 1.15 / 64.17 gal (25 wet mils)."""
    steps = steps_of(wet_room({"walls": 88 * SQFT}))
    liters = used(steps["coat-1"], "membrane-liquid") + used(steps["coat-2"], "membrane-liquid")
    assert liters * 1.15 / GALLON_L == pytest.approx(3.69, abs=0.005)


def test_grout_of_12_by_24_tile_is_the_formula_of_the_trade():
    """12 x 24 x 3/8, 1/8 joint, 100 lb a cu ft: (12 + 24)/288 x 3/8 x 1/8 x 144/1728 x 100 = 0.0488 lb a sq ft."""
    steps = steps_of(room_of(10, 6, do("plain-tile-floor")))
    assert used(steps["grout"], "grout-cement") / POUND == pytest.approx(60 * 0.0488, rel=1e-3)


def test_thin_set_follows_the_notch_that_the_tile_wants():
    """60 sq ft of 24 in tile at 45 a bag is 1.33 bags; of 2 in tile at 100 a bag 0.6; board and tile both take some."""
    large = steps_of(room_of(10, 6, do("level-and-tile-floor")))["set"]
    small = steps_of(room_of(10, 6, do("level-and-tile-floor", {"tile": (2 * INCH, 2 * INCH, INCH / 4)})))["set"]
    assert used(large, "thin-set") / POUND == pytest.approx(60 / 45 * 50)
    assert used(small, "thin-set") / POUND == pytest.approx(60 / 100 * 50)


def test_tile_is_bought_with_its_waste_and_more_of_it_for_a_diagonal_or_a_small_room():
    straight = steps_of(room_of(10, 6, do("plain-tile-floor")))["set"]
    diagonal = steps_of(room_of(10, 6, do("plain-tile-floor", {"pattern": "diagonal"})))["set"]
    small = steps_of(room_of(5, 5, do("plain-tile-floor")))["set"]
    assert used(straight, "tile") / SQFT == pytest.approx(60 * 1.10)
    assert used(diagonal, "tile") / SQFT == pytest.approx(60 * 1.15)
    assert used(small, "tile") / SQFT == pytest.approx(25 * 1.15)


def test_a_dry_pack_shower_has_a_thin_pre_slope_and_an_even_bed():
    """5 x 3 ft: pre-slope of 1/2 in at the drain 1.232 cu ft; the bed 15 sq ft x 1-1/4 in = 1.5625 cu ft."""
    steps = steps_of(room_of(5, 3, do("curbed-shower")))
    assert used(steps["pre-slope"], "deck-mud") / CUBIC_FOOT == pytest.approx(1.232, abs=1e-3)
    assert used(steps["bed"], "deck-mud") / CUBIC_FOOT == pytest.approx(1.5625, abs=1e-4)


def test_a_linear_drain_makes_one_plane():
    """5 ft along the drain, 3 ft of run, 3/4 in at the drain: 1.40625 cu ft."""
    measures = {"drain_wall": "far", "mud_at_drain": 0.75 * INCH}
    steps = steps_of(room_of(5, 3, do("linear-drain-wet-room", measures)))
    assert used(steps["plane"], "float-rapid") / CUBIC_FOOT == pytest.approx(1.40625, abs=1e-5)


def test_a_grid_of_heights_is_measured_by_its_cells():
    """9 x 6 ft, points 3 ft apart: 1.6172 cu ft; 12 points to read."""
    depths = [[0.25, 0.375, 0.5, 0.625], [0.125, 0.25, 0.5, 0.5], [0.125, 0.25, 0.375, 0.375]]
    grid = tuple(tuple(depth * INCH for depth in row) for row in depths)
    measures = {"heights": grid, "heights_every": (3 * FOOT, 3 * FOOT)}
    steps = steps_of(room_of(9, 6, do("level-and-tile-floor", measures)))  # type: ignore[arg-type]  # a grid
    assert sum(used(bay, "leveler") for bay in poured(steps)) / CUBIC_FOOT == pytest.approx(1.6172, abs=1e-4)
    assert steps["heights"].labour.typical == 12


def test_two_men_pour_faster_than_one():
    room = room_of(8, 5, do("level-and-tile-floor"))
    together, alone = steps_of(room, helper=True)["pour"], steps_of(room)["pour"]
    assert together.crew == ("pour", "mix")
    assert alone.crew == ("pour",)
    assert together.labour.typical < alone.labour.typical
