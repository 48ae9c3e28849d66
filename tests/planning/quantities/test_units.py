"""People's units: what is read, against pint's own full list and values worked by hand; what is refused, in words."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.job.place import Air
from planning.job.problem import UnreadableError
from planning.job.step import Band
from planning.quantities import show, unit_words, units


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("5'-3 1/2\"", 63.5),
        ("5' 3 1/2\"", 63.5),
        ("5 ft 3-1/2 in", 63.5),
        ("5 ft. 3.5 in.", 63.5),
        ("5′ 3½″", 63.5),
        ("63.5 in", 63.5),
        ("1-3/8 in", 1.375),
        ("1 3/8 in", 1.375),
        ("3/8 in", 0.375),
        ("5'3", 63),
        ("5", 60),
        ("2 yd", 72),
        ("25 mil", 0.025),
        ("2.54 cm", 1),
        ("1,200 in", 1200),
    ],
)
def test_a_length_is_read_as_it_is_said(text: str, inches: float) -> None:
    assert units.length_m(text) == pytest.approx(inches * 0.0254, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "feet"),
    [
        ("10 x 6 ft", (10, 6)),
        ("5' x 5'", (5, 5)),
        ("5x4'6\"", (5, 4.5)),
        ("4'6\" x 3", (4.5, 3)),
        ("5x3", (5, 3)),
        ("10 by 6 ft", (10, 6)),
        ("11 × 5 ft", (11, 5)),
        ("60 x 32 in", (5, 32 / 12)),
        ("25 sqft", (5, 5)),
    ],
)
def test_a_floor_takes_two_sides_and_a_side_without_a_unit_borrows_its_neighbor_s(
    text: str, feet: tuple[float, float]
) -> None:
    assert units.size_m(text) == pytest.approx([each * 0.3048 for each in feet], rel=1e-12)


def test_tile_and_metric_floors_are_read_too() -> None:
    assert units.sides_m("12 x 24 x 3/8 in", None, "") == pytest.approx((0.3048, 0.6096, 0.009525))
    assert units.size_m("3.2 x 1.6 m") == (3.2, 1.6)
    assert units.size_m("1613 mm x 900 mm") == (1.613, 0.9)


@pytest.mark.parametrize(
    ("text", "square_feet"),
    [("88 sq ft", 88), ("25 sqft", 25), ("88 ft2", 88), ("88 ft^2", 88), ("88 square feet", 88), ("11 x 8 ft", 88)],
)
def test_an_area_is_read_as_it_is_said(text: str, square_feet: float) -> None:
    assert units.area_m2(text) == pytest.approx(square_feet * 0.3048**2, rel=1e-12)


@pytest.mark.parametrize("text", ["2.3 m2", "2.3 m²", "2.3 sq m", "2.3 sqm"])
def test_a_metric_area_is_read_as_it_is_said(text: str) -> None:
    assert units.area_m2(text) == 2.3


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("35 min", 35),
        ("2 h", 120),
        ("2 h 15", 135),
        ("2h15", 135),
        ("2 h 15 min", 135),
        ("1-1/2 h", 90),
        ("1.5 hours", 90),
        ("24 h", 1440),
        ("3 days", 4320),
        ("1 day 6 h", 1800),
    ],
)
def test_a_time_is_read_as_it_is_said(text: str, minutes: int) -> None:
    assert units.minutes(text) == minutes


def test_a_window_may_have_an_end_and_low_usual_and_high_cases() -> None:
    assert units.window("1-1/2 h to 24 h") == (Band(90, 90, 90), Band(1440, 1440, 1440))
    assert units.window("10 min") == (Band(10, 10, 10), None)
    assert units.window("1/2/5 h to 24 h") == (Band(60, 120, 300), Band(1440, 1440, 1440))
    assert units.band("30 min / 1 h / 3 h") == Band(30, 60, 180)
    assert units.band("1/2 h") == Band(30, 30, 30)


def test_mass_volume_and_water_are_read_as_the_label_says() -> None:
    assert units.mass_kg("50 lb") == pytest.approx(22.6796185, rel=1e-12)
    assert units.mass_kg("1,400 lb") == pytest.approx(635.029318, rel=1e-12)
    assert units.mass_kg("25 kg") == 25.0
    assert units.volume_m3("0.45 cu ft") == pytest.approx(0.45 * 0.028316846592, rel=1e-12)
    assert units.liters("5.5 qt") == pytest.approx(5.5 * 0.946352946, rel=1e-12)
    assert units.liters("1 gal") == pytest.approx(3.785411784, rel=1e-12)


def test_air_is_temperature_humidity_and_floor() -> None:
    assert units.air("68 F 55 % floor 68 F") == Air(20.0, 0.55, 20.0)
    assert units.air("20 C, 65% RH, floor 50 F") == Air(20.0, 0.65, 10.0)
    assert units.air("20 C 65 %") == Air(20.0, 0.65, 20.0)
    assert units.temperature_c("-4 F") == pytest.approx(-20.0)


@pytest.mark.parametrize("text", ["1/4 in per ft", '1/4"/ft', "1:48", "2.0833333333 %"])
def test_a_slope_is_rise_over_run_however_it_is_said(text: str) -> None:
    assert units.slope(text) == pytest.approx(1 / 48, rel=1e-9)


def test_points_depths_and_packages_are_read() -> None:
    assert units.point_m("2'-6\", 1'-6\"") == pytest.approx((0.762, 0.4572))
    assert units.point_m("0, 3 ft") == pytest.approx((0.0, 0.9144))
    assert units.depths_m("1/4 3/8 1-1/2 in") == pytest.approx((0.00635, 0.009525, 0.0381))
    assert units.packages("2 bags") == 2.0
    assert units.packages("1/2 bag") == 0.5
    assert units.packages(3) == 3.0


TABLES = [
    (unit_words.LENGTHS, "meter", lambda text: units.length_m(text, None)),
    (unit_words.AREAS, "meter**2", units.area_m2),
    (unit_words.VOLUMES, "meter**3", units.volume_m3),
    (unit_words.MASSES, "kilogram", units.mass_kg),
]


def test_every_unit_says_what_pint_s_own_list_says() -> None:
    full: Any = pint.UnitRegistry(non_int_type=Fraction)
    for words, base, reader in TABLES:
        for word, unit in words.items():
            said = full.Quantity(Fraction(3), unit).to(base).magnitude
            assert reader(f"3 {word}") == pytest.approx(float(said), rel=1e-12), word
    for word, unit in unit_words.TIMES.items():
        assert units.minutes(f"3 {word}") == full.Quantity(Fraction(3), unit).to("minute").magnitude
    for degrees in (-4, 32, 50, 62, 73, 95):
        said = full.Quantity(Fraction(degrees), "degF").to("degC").magnitude
        assert units.temperature_c(f"{degrees} F") == pytest.approx(float(said))


@pytest.mark.parametrize(
    ("reader", "text", "says"),
    [
        (units.length_m, "5 3 1/2", '"5 3 1/2" is not clear; write 5\' 3 1/2", 63.5 in or 1613 mm'),
        (units.length_m, "5 furlong", '"5 furlong" is not clear'),
        (units.length_m, "-5 ft", "is not clear"),
        (units.length_m, "3 in 5 ft", "is not clear"),
        (units.length_m, "1/0 in", "divides by zero"),
        (units.length_m, "9999999 ft", "is too long"),
        (units.length_m, 5, "5 has no unit"),
        (units.length_m, None, "is not a text in quotes"),
        (units.size_m, "5", "has 1 side, not two"),
        (units.size_m, "5 x 0 ft", "has a side of nothing"),
        (units.size_m, "5 x 4 x 3 ft", "has 3 sides, not two"),
        (units.area_m2, "88", '"88" has no unit; write it as "88 sq ft", "2.3 m2" or "11 x 8 ft"'),
        (units.area_m2, "88 ft", "is not clear"),
        (units.minutes, "30", '"30" has no unit'),
        (units.minutes, "1:30", "is not clear"),
        (units.minutes, "15 min 2 h", "is not clear"),
        (units.minutes, "5000 days", "is too long a time"),
        (units.window, "1-2 h", "is not clear"),
        (units.window, "24 h to 2 h", "shuts before it opens"),
        (units.band, "5/2/1 h", "does not go up"),
        (units.temperature_c, "68", "is not a temperature"),
        (units.air, "68 F", "is not air, humidity and floor"),
        (units.air, "68 F 155 %", "is not a share"),
        (units.slope, "1:2", "is too steep"),
        (units.depths_m, "1/4 3/8", "has no unit"),
        (units.packages, "4 gal", "is not a number of packages"),
        (units.mass_kg, "50", "has no unit"),
        (units.mass_kg, "5" * 60 + " lb", "is too long a number"),
        (units.mass_kg, "\x1b[31m50 lb", "\\u001b[31m50 lb"),
    ],
)
def test_what_cannot_be_read_says_what_is_wrong_and_how_to_write_it(
    reader: Callable[[Any], Any], text: object, says: str
) -> None:
    with pytest.raises(units.UnitProblem) as caught:
        reader(text)
    assert says in str(caught.value)
    assert caught.value.how
    assert str(caught.value).isprintable()


READERS: list[Callable[[Any], Any]] = [
    units.length_m, units.size_m, units.area_m2, units.minutes, units.band, units.window, units.temperature_c,
    units.volume_m3, units.liters, units.mass_kg, units.share, units.air, units.slope, units.point_m, units.depths_m,
    units.packages,
]  # fmt: skip

BITS = [*"0123456789 '\"-/.,x%:", " ft", " in", " h", "min", "F", "lb", " to "]
JUNK = st.one_of(
    st.text(max_size=30),
    st.lists(st.sampled_from(BITS), max_size=12).map("".join),
    st.none() | st.booleans() | st.integers() | st.floats() | st.lists(st.integers(), max_size=2),
)  # fmt: skip


@given(text=JUNK)
@settings(max_examples=150, deadline=None)
def test_no_text_does_anything_but_read_or_say_what_is_wrong(text: object) -> None:
    for reader in READERS:
        said = ""
        try:
            reader(text)
        except UnreadableError as wrong:
            said = str(wrong)
        assert not said or said.isprintable()


@given(sixteenths=st.integers(1, 16 * 12 * 80), mm=st.integers(1, 60_000))
def test_a_length_shown_is_read_back_as_the_same_length(sixteenths: int, mm: int) -> None:
    meters = sixteenths / 16 * 0.0254
    assert units.length_m(show.show_length(meters)) == pytest.approx(meters, abs=1e-9)
    shown = show.show_length(mm / 1000, "metric")
    assert units.length_m(shown) == pytest.approx(mm / 1000, abs=1e-9 if mm < 10_000 else 0.0501)


@given(minutes=st.integers(0, 48 * 60))
def test_a_time_shown_is_read_back_as_the_same_time(minutes: int) -> None:
    assert units.minutes(show.show_minutes(minutes)) == minutes
