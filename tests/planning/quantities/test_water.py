"""Evaporation and flood tests: the forms of the formula against each other, and what a fall of the level means."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.quantities.evaporation import (
    drying_caution,
    evaporation,
    evaporation_menzel,
    evaporation_si,
)
from planning.quantities.flood import evaporation_drop_m, verdict, wait_before_min, water_kg
from planning.quantities.maturity import age_factor, equivalent_age_h, temperature_time_c_h
from planning.quantities.si import INCH_M


@given(warm=st.floats(10, 32), humidity=st.floats(0.2, 0.8), wind=st.floats(8, 40))
def test_the_three_formulas_agree_as_well_as_such_a_guess_can(warm: float, humidity: float, wind: float) -> None:
    """The real rate is only known within 40 %."""
    us = evaporation(warm, warm, humidity, wind)
    assert evaporation_si(warm, warm, humidity, wind) == pytest.approx(us, rel=0.25)
    assert evaporation_menzel(warm, warm, humidity, wind) == pytest.approx(us, rel=0.40)


def test_a_heater_and_a_fan_on_a_leveler_are_warned_of_and_still_air_is_not() -> None:
    assert drying_caution("pour", 26.7, 32.2, 0.20, 8.0) is not None
    assert drying_caution("pour", 26.7, 32.2, 0.20, 8.0, thin=False) is None, "thick mud has twice the limit"
    assert drying_caution("pour", 23.0, 23.0, 0.5) is None
    assert drying_caution("coat", 26.7, 32.2, 0.20, 30.0) is None, "a film must dry"


def test_a_day_of_flood_water_in_still_air_loses_a_tenth_of_an_inch() -> None:
    assert evaporation_drop_m(23.0, 23.0, 0.5, 24) / INCH_M == pytest.approx(0.107, rel=0.02)


def test_a_fall_of_an_eighth_says_little_without_a_pan_of_water_beside_it() -> None:
    eighth = INCH_M / 8
    assert verdict(eighth, None) == "look again"
    assert verdict(eighth, INCH_M / 9) == "tight"
    assert verdict(eighth, 0.0) == "leak"
    assert verdict(0.0, None) == "tight"


def test_a_flood_waits_a_day_after_the_last_coat_two_in_the_cold_and_the_labels_if_longer() -> None:
    assert wait_before_min(20.0) == 24 * 60
    assert wait_before_min(10.0) == 24 * 60
    assert wait_before_min(9.4) == 48 * 60
    assert wait_before_min(20.0, label_min=72 * 60) == 72 * 60


def test_flood_water_weighs_what_water_weighs() -> None:
    """The standard's 5.19 lb per square foot and inch is water at about 22 C: 998 kg a cubic meter."""
    assert water_kg(1.0, 1.0) == pytest.approx(998, rel=1e-3)


def test_the_same_degree_hours_are_not_the_same_age() -> None:
    even, uneven = [(24, 10)], [(8, 20), (16, 5)]
    assert temperature_time_c_h(even) == temperature_time_c_h(uneven)
    assert equivalent_age_h(uneven) > equivalent_age_h(even) * 1.05


@given(st.floats(5, 40), st.floats(5, 40))
def test_warmer_cement_ages_faster(one: float, other: float) -> None:
    assert (age_factor(one) < age_factor(other)) == (one < other) or age_factor(one) == age_factor(other)
