"""The limits of rule 12 in words, and the speeds of the laws at their edges."""

import pytest

from planning.job.place import LAB_AIR, Air
from planning.job.words import KINDS, LAWS, Kind, Law
from planning.trade.air import hold_reason, multiplier
from planning.trade.air_laws import speed


def f(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def air(fahrenheit: float, humidity: float, floor: float | None = None) -> Air:
    return Air(f(fahrenheit), humidity, f(fahrenheit if floor is None else floor))


def test_nothing_holds_in_the_lab() -> None:
    assert all(hold_reason(each, LAB_AIR) is None for each in (*KINDS, *LAWS))


@pytest.mark.parametrize("kind", ["prime", "pour", "float", "coat", "set", "grout", "caulk", "seal"])
def test_every_wet_kind_holds_below_50_f_and_above_95_f_and_not_at_them(kind: Kind) -> None:
    assert hold_reason(kind, air(50, 0.4)) is None
    assert hold_reason(kind, air(95, 0.3)) is None
    assert "50 F or more (now 49)" in str(hold_reason(kind, air(49, 0.4)))
    assert "95 F or less (now 96)" in str(hold_reason(kind, air(96, 0.3)))


def test_a_cold_floor_in_warm_air_holds() -> None:
    assert "now 48" in str(hold_reason("set", air(70, 0.4, floor=48)))


def test_damp_holds_a_film_and_leaves_cement_alone() -> None:
    damp = air(68, 0.86)
    for films in ("prime", "coat", "seal", "drying", "resin"):
        assert "RH 85 % or less (now 86)" in str(hold_reason(films, damp))
    for cement in ("pour", "float", "set", "grout", "maturity"):
        assert hold_reason(cement, damp) is None


@pytest.mark.parametrize(
    ("warm", "humidity", "dew"), [(70, 0.50, 50.5), (75, 0.60, 60.2), (80, 0.70, 69.3), (65, 0.80, 58.7)]
)
def test_resin_needs_a_floor_three_degrees_over_the_tabled_dew_point(warm: float, humidity: float, dew: float) -> None:
    least = dew + 3 * 1.8
    assert hold_reason("resin", air(warm, humidity, floor=least + 0.1)) is None
    assert "over the dew point" in str(hold_reason("resin", air(warm, humidity, floor=least - 0.1)))


def test_the_floor_that_a_hold_asks_for_is_warm_enough_and_a_degree_less_is_not() -> None:
    said = str(hold_reason("coat", air(75, 0.6, floor=60)))
    asked = int(said.split("floor ")[1].split(" F")[0])
    assert 65 <= asked <= 67
    assert hold_reason("coat", air(75, 0.6, floor=asked)) is None
    assert hold_reason("coat", air(75, 0.6, floor=asked - 1)) is not None


def test_an_ordinary_slab_fails_under_warm_damp_air() -> None:
    assert hold_reason("coat", air(80, 0.70, floor=72)) is not None


def test_air_that_pulls_under_a_fifth_of_the_labs_says_it_will_not_dry() -> None:
    slow = air(50, 0.80)
    assert multiplier("drying", slow) is None
    assert str(hold_reason("coat", slow)).startswith("it will not dry like this, so there is no clock time. Needs:")


def test_metric_setters_read_metric_limits() -> None:
    assert "10 C or more (now 8)" in str(hold_reason("pour", Air(8.0, 0.5, 8.0), "metric"))


@pytest.mark.parametrize(("law", "cool", "times"), [("drying", (68, 0.55), 1.34), ("maturity", (68, 0.55), 1.19)])
def test_multipliers_are_what_the_air_page_shows(law: Law, cool: tuple[float, float], times: float) -> None:
    assert multiplier(law, air(*cool)) == pytest.approx(times, abs=0.005)


def test_drying_speed_is_held_between_a_fifth_and_one_and_a_half() -> None:
    assert speed("drying", air(90, 0.15)) == 1.5
    assert speed("drying", Air(25.0, 0.6, 12.0)) == 0.2
    assert speed("drying", air(45, 0.3)) == 0.2, "under 50 F no air flow dries a film"


@pytest.mark.parametrize(("fahrenheit", "times"), [(73, 1), (60, 1), (59, 2), (40, 2), (39, 4), (20, 4), (10, 8)])
def test_a_solvent_joint_rests_longer_in_the_cold_by_steps(fahrenheit: float, times: int) -> None:
    """Resting times of ASTM D2855 (from memory): 30 min from 60 F, 1 h from 40 F, 2 h from 20 F, 4 h below."""
    assert multiplier("solvent", air(fahrenheit, 0.5)) == pytest.approx(times)
