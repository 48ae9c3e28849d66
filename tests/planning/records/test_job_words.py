"""Dates, hours and days as people write them, and what is refused."""

from collections.abc import Callable
from datetime import UTC, date, datetime, time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.job.people import DayHours
from planning.job.problem import UnreadableError
from planning.records import job_words


@pytest.mark.parametrize(
    ("text", "hour", "minute"),
    [
        ("7:00", 7, 0), ("15:30", 15, 30), ("3:30 pm", 15, 30), ("7 am", 7, 0), ("7", 7, 0), ("12 pm", 12, 0),
        ("12:05 am", 0, 5),
    ],
)  # fmt: skip
def test_a_clock_time_is_24_hours_or_am_and_pm(text: str, hour: int, minute: int) -> None:
    assert job_words.clock(text) == time(hour, minute)


@pytest.mark.parametrize(
    ("value", "days"),
    [
        ("mon-fri", {0, 1, 2, 3, 4}),
        ("Mon, Wed and Friday", {0, 2, 4}),
        ("fri-mon", {4, 5, 6, 0}),
        ("tue to thu", {1, 2, 3}),
        ("sat", {5}),
        (["mon", "thurs"], {0, 3}),
        ("every day", set(range(7))),
    ],
)
def test_days_of_the_week_are_single_or_in_a_row(value: object, days: set[int]) -> None:
    assert job_words.days(value) == days


def test_a_moment_is_the_wall_clock_s_unless_it_has_an_offset() -> None:
    wall = datetime.combine(date(2026, 6, 11), time(9))
    assert job_words.moment("2026-06-11 9:00") == wall
    assert job_words.moment("2026-06-11 9 am") == wall
    assert job_words.moment("2026-06-11T09:00") == wall
    assert job_words.moment(wall) == wall
    assert job_words.moment("2026-06-11T09:00-06:00").astimezone(UTC) == datetime(2026, 6, 11, 15, tzinfo=UTC)
    assert job_words.moment("2026-06-11 9:00Z").astimezone(UTC) == datetime(2026, 6, 11, 9, tzinfo=UTC)


def test_a_span_may_leave_out_the_second_date() -> None:
    day, next_day = date(2026, 6, 4), date(2026, 6, 5)
    assert job_words.moments("2026-06-04 8:00 to 10:00") == (
        datetime.combine(day, time(8)), datetime.combine(day, time(10)),
    )  # fmt: skip
    assert job_words.moments("2026-06-04 8:00 to 2026-06-05 7:00")[1] == datetime.combine(next_day, time(7))
    assert job_words.day_hours("2026-06-04 off") == DayHours(day, time(), time())
    assert job_words.meal("12:00 for 30 min") == (time(12), 30)
    assert job_words.meal("none") == (None, 0)


@pytest.mark.parametrize(
    ("reader", "value", "says"),
    [
        (job_words.day, "2026-02-30", "does not exist"),
        (job_words.day, "6/3/2026", "is not a date"),
        (job_words.day, "1999-01-01", "is not between 2000 and 2100"),
        (job_words.clock, "25:00", "does not exist"),
        (job_words.clock, "13 pm", "does not exist"),
        (job_words.clock, "13:30 pm", "does not exist"),
        (job_words.clock, "0 am", "does not exist"),
        (job_words.clock, "noon", "is not a clock time"),
        (job_words.clocks, "8:00 to 8:00", "begins when it ends"),
        (job_words.days, "mon-foo", "is not a day of the week"),
        (job_words.days, "m", "is not a day of the week"),
        (job_words.moment, "2026-06-04", "is not a date and a clock time"),
        (job_words.moments, "2026-06-04 10:00 to 8:00", "ends before it begins"),
        (job_words.moments, "2026-06-04 8:00Z to 10:00", "has an offset on one side only"),
        (job_words.day_hours, "2026-06-04 10:00 to 8:00", "ends before it begins"),
        (job_words.meal, "12:00 5 h", "is too long a meal"),
        (job_words.nights, 5, "is not clear"),
    ],
)
def test_what_is_no_time_is_refused_in_words(reader: Callable[[Any], Any], value: object, says: str) -> None:
    with pytest.raises(UnreadableError) as caught:
        reader(value)
    assert says in caught.value.what
    assert caught.value.how.startswith("write")


READERS: list[Callable[[Any], Any]] = [
    job_words.day, job_words.clock, job_words.clocks, job_words.meal, job_words.days, job_words.moment,
    job_words.moments, job_words.clock_span, job_words.day_hours, job_words.nights,
]  # fmt: skip
BITS = [*"0123456789:- ", "2026-06-04", " to ", "am", "pm", "mon", "T", "Z", "+06:00", "\u0661", "off"]


@given(
    st.one_of(
        st.text(max_size=25),
        st.lists(st.sampled_from(BITS), max_size=9).map("".join),
        st.dates() | st.times() | st.datetimes() | st.integers() | st.none(),
    )
)
def test_no_value_does_anything_but_read_or_say_what_is_wrong(value: object) -> None:
    for reader in READERS:
        said = ""
        try:
            reader(value)
        except UnreadableError as wrong:
            said = str(wrong)
        assert not said or said.isprintable()


@given(st.times())
def test_a_clock_time_written_either_way_is_the_same(clock: time) -> None:
    plain = clock.replace(second=0, microsecond=0)
    assert job_words.clock(f"{clock.hour}:{clock.minute:02d}") == plain
    half = f"{(clock.hour + 11) % 12 + 1}:{clock.minute:02d} {'am' if clock.hour < 12 else 'pm'}"
    assert job_words.clock(half) == plain
