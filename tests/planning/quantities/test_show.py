"""Numbers as they stand on the screens: the examples of the trade, both systems, and no heavy library behind them."""

import subprocess
import sys
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from planning.quantities import show

DENVER = ZoneInfo("America/Denver")


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (63.5, "5'-3 1/2\""),
        (60, "5'-0\""),
        (1.375, "1-3/8 in"),
        (0.375, "3/8 in"),
        (11.99, "1'-0\""),
        (12, "1'-0\""),
        (0.5, "1/2 in"),
        (0, "0 in"),
        (30.0625, "2'-6 1/16\""),
    ],
)
def test_an_imperial_length_is_feet_inches_and_sixteenths(inches: float, text: str) -> None:
    assert show.show_length(inches * 0.0254) == text


def test_a_metric_length_is_millimeters() -> None:
    assert show.show_length(1.613, "metric") == "1613 mm"
    assert show.show_length(12.4, "metric") == "12.4 m"


def test_areas_masses_volumes_and_water_carry_their_unit() -> None:
    assert show.show_area(25 * 0.09290304) == "25 sqft"
    assert show.show_area(22.5 * 0.09290304) == "22.5 sqft"
    assert show.show_area(2.3, "metric") == "2.3 m2"
    assert show.show_mass(1400 * 0.45359237) == "1,400 lb"
    assert show.show_mass(25, "metric") == "25 kg"
    assert show.show_volume(2.17 * 0.028316846592) == "2.17 cu ft"
    assert show.show_volume(0.0614, "metric") == "61.4 l"
    assert show.show_water(5.5 * 0.946352946) == "5.5 qt"
    assert show.show_water(5 * 4 * 0.946352946) == "5 gal"
    assert show.show_water(5.2, "metric") == "5.2 l"


def test_temperatures_are_whole_degrees_and_differences_have_no_offset() -> None:
    assert show.show_temp(20.0) == "68 F"
    assert show.show_temp(23.0) == "73 F"
    assert show.show_temp(20.0, "metric") == "20 C"
    assert show.show_warmer(9.44) == "17 F"
    assert show.show_share(0.55) == "55 %"
    assert show.show_times(1.344) == "x1.34"


@pytest.mark.parametrize(
    ("minutes", "text"),
    [
        (0, "0 min"),
        (35, "35 min"),
        (59, "59 min"),
        (60, "1 h"),
        (65, "1 h 05"),
        (135, "2 h 15"),
        (48 * 60, "48 h"),
        (48 * 60 + 1, "3 days"),
        (72 * 60, "3 days"),
        (-15, "-15 min"),
    ],
)
def test_minutes_are_said_in_the_coarsest_words_that_are_still_true(minutes: int, text: str) -> None:
    assert show.show_minutes(minutes) == text


def at(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=DENVER).timestamp() // 60)


@pytest.mark.parametrize(
    ("when", "twelve", "twenty_four"),
    [
        ("2026-06-03 07:40", "7:40", "07:40"),
        ("2026-06-03 13:45", "1:45", "13:45"),
        ("2026-06-03 12:00", "12:00", "12:00"),
        ("2026-06-03 17:59", "5:59", "17:59"),
        ("2026-06-03 18:00", "6:00 pm", "18:00"),
        ("2026-06-03 05:59", "5:59 am", "05:59"),
        ("2026-06-03 06:00", "6:00", "06:00"),
        ("2026-06-03 00:05", "12:05 am", "00:05"),
        ("2026-06-04 08:30", "Thu 8:30", "Thu 08:30"),
        ("2026-06-07 20:00", "Sun 8:00 pm", "Sun 20:00"),
        ("2026-06-01 20:00", "Mon 8:00 pm", "Mon 20:00"),
        ("2026-06-08 08:30", "Mon 8 Jun", "Mon 8 Jun"),
        ("2026-05-31 08:30", "Sun 31 May", "Sun 31 May"),
        ("2026-06-16 08:30", "Tue 16 Jun", "Tue 16 Jun"),
    ],
)
def test_a_clock_time_says_the_day_only_when_it_is_another(when: str, twelve: str, twenty_four: str) -> None:
    now = at("2026-06-03 07:05")
    assert show.show_clock(at(when), DENVER, now) == twelve
    assert show.show_clock(at(when), DENVER, now, "24") == twenty_four


def test_a_moment_in_full_names_its_day_in_any_week() -> None:
    assert show.show_moment(at("2026-06-16 20:15"), DENVER) == "Tue 16 Jun 8:15 pm"
    assert show.show_day(date(2026, 6, 3)) == "Wed 3 Jun"
    assert show.show_size(1.524, 1.8288) == "5'-0\" x 6'-0\""


def test_showing_numbers_loads_no_heavy_library() -> None:
    heavy = "'pint', 'numpy', 'pydantic', 'dateutil'"
    code = f"import planning.quantities.show, sys; print([name for name in ({heavy}) if name in sys.modules])"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
