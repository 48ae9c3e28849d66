"""Waits and windows in moving air, judged by a minute-by-minute sum that shares no code with the planner's."""

import bisect
import itertools
import math
import time as stopwatch
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.job.events import Event
from planning.job.job import Job
from planning.job.people import Hours
from planning.job.place import LAB_AIR, Air, Room, RoomAir
from planning.job.step import Band, Wait
from planning.job.words import LAWS, Instant, Law
from planning.trade.air import (
    LONGEST_MIN,
    SiteAir,
    act_opens_at,
    act_shuts_at,
    explain,
    factor,
    no_time_reason,
    opens_at,
    shown_band,
    shuts_at,
    site_air,
    wait_curve,
    within_curve,
)

ZONE = ZoneInfo("America/Denver")
MILD_DAY, MILD_NIGHT = Air(20.0, 0.55, 20.0), Air(16.7, 0.60, 15.6)
psychrolib.SetUnitSystem(psychrolib.SI)


def job(day: Air = LAB_AIR, night: Air = LAB_AIR, early: bool = False, hours: Hours | None = None) -> Job:
    room = Room("bath", "bath", 3.0, 2.0, ("outside",), air=RoomAir(day, night))
    return Job("house", ZONE, date(2026, 6, 1), (room,), (), hours=hours or Hours(), warm_opens_early=early)


def at(text: str) -> Instant:
    return int(datetime.fromisoformat(text).replace(tzinfo=ZONE).timestamp() // 60)


def wait(minutes: int, law: Law = "maturity", window: str = "walk") -> Wait:
    return Wait(window, Band(minutes // 2, minutes, minutes * 2), law, room="bath")


def speed(law: str, air: Air) -> float:
    """The laws written out again, with the reference psychrometrics, for air inside the limits."""
    cement = math.exp(-5000 * (1 / (air.surface_c + 273.15) - 1 / 296.15))
    pull = psychrolib.GetSatVapPres(air.surface_c) - air.humidity * psychrolib.GetSatVapPres(air.air_c)
    dry = min(1.5, max(0.2, pull / (0.5 * psychrolib.GetSatVapPres(23.0))))
    return {"maturity": cement, "drying": dry, "maturity_then_drying": min(cement, dry), "fixed": 1.0}[law]


def stepped(law: str, start: Instant, minutes: float, day: Air, night: Air, hours: Hours) -> float:
    """When the label's minutes are done, found by walking through every minute on the wall clock."""
    done, moment = 0.0, start
    while True:
        wall = datetime.fromtimestamp(moment * 60, UTC).astimezone(ZONE).time()
        is_night = wall >= hours.night_from or wall < hours.night_to
        pace = speed(law, night if is_night else day)
        if done + pace >= minutes - 1e-9:
            return moment + (minutes - done) / pace
        done += pace
        moment += 1


def reading(when: str, value: object, room: str = "bath") -> Event:
    moment = datetime.fromisoformat(when).replace(tzinfo=ZONE).astimezone(UTC)
    return Event(f"r{when}", "reading", moment, {"room": room, "value": value}, seq=at(when))


def read(air: Air) -> dict[str, float]:
    return {"air_c": air.air_c, "humidity": air.humidity, "surface_c": air.surface_c}


@pytest.mark.parametrize("law", LAWS)
def test_in_the_lab_every_wait_is_its_label(law: Law) -> None:
    site = site_air(job())
    start = at("2026-06-02 09:00")
    assert opens_at(wait(120, law), site, start) == start + 120
    assert shuts_at(wait(120, law), site, start) == start + 120
    assert factor(wait(120, law), site, start) == pytest.approx(1.0)


@pytest.mark.parametrize(("fahrenheit", "times"), [(50, 2.17), (55, 1.83), (60, 1.55), (65, 1.31), (70, 1.11)])
def test_cement_in_a_cold_room_takes_the_calculated_times_as_long(fahrenheit: int, times: float) -> None:
    cold = (fahrenheit - 32) / 1.8
    site = site_air(job(Air(cold, 0.5, cold), Air(cold, 0.5, cold)))
    assert factor(wait(1000), site, at("2026-06-02 09:00")) == pytest.approx(times, rel=0.005)


@pytest.mark.parametrize("law", ["maturity", "drying", "maturity_then_drying"])
@pytest.mark.parametrize("minutes", [45, 120, 24 * 60, 72 * 60])
@pytest.mark.parametrize("start", ["2026-06-02 09:00", "2026-06-02 17:35", "2026-06-02 23:10"])
def test_through_days_and_nights_it_opens_when_a_minute_by_minute_sum_says(law: Law, minutes: int, start: str) -> None:
    begin = at(start)
    really = stepped(law, begin, minutes, MILD_DAY, MILD_NIGHT, Hours())
    expected = math.ceil((max(really, begin + minutes) - 1e-6) / 5) * 5
    assert opens_at(wait(minutes, law), site_air(job(MILD_DAY, MILD_NIGHT)), begin) == expected


def test_a_cure_counts_elapsed_hours_over_the_clock_change() -> None:
    hours = Hours(night_from=time(20), night_to=time(8))
    begin = at("2026-10-31 18:00")
    really = stepped("maturity", begin, 24 * 60, MILD_DAY, MILD_NIGHT, hours)
    opens = opens_at(wait(24 * 60), site_air(job(MILD_DAY, MILD_NIGHT, hours=hours)), begin)
    assert opens == math.ceil(really / 5) * 5


def test_heat_never_opens_a_minimum_before_its_label_unless_the_setter_said_so() -> None:
    hot, start = Air(30.0, 0.3, 30.0), at("2026-06-02 09:00")
    band = Wait("walk", Band(100, 120, 240), "maturity", room="bath")
    assert opens_at(band, site_air(job(hot, hot)), start) == start + 120
    assert opens_at(band, site_air(job(hot, hot, early=True)), start) == start + 100, "and never under the low number"
    mild = Air(24.0, 0.5, 24.0)
    assert start + 110 <= opens_at(band, site_air(job(mild, mild, early=True)), start) <= start + 120


def test_heat_shortens_a_maximum_and_cold_never_lengthens_it() -> None:
    start = at("2026-06-02 09:00")
    hot, cold = Air(30.0, 0.5, 30.0), Air(12.0, 0.5, 12.0)
    assert shuts_at(wait(24 * 60), site_air(job(hot, hot)), start) == math.floor((start + 1440 / 1.4768) / 5) * 5
    assert shuts_at(wait(24 * 60), site_air(job(cold, cold)), start) == start + 1440


def test_pot_life_gains_a_quarter_from_cold_at_most_and_loses_all_that_heat_takes() -> None:
    start = at("2026-06-02 09:00")
    pot = Wait("pot", Band(15, 20, 30), "maturity", room="bath")
    cold, hot = Air(10.0, 0.5, 10.0), Air(30.0, 0.5, 30.0)
    assert act_shuts_at(pot, site_air(job(cold, cold)), start) == start + 25
    assert act_shuts_at(pot, site_air(job(hot, hot)), start) == start + math.floor(20 / 1.4768)
    assert act_opens_at(pot, site_air(job(hot, hot)), start) == start + math.ceil(20 / 1.4768)


def test_a_reading_replaces_the_forecast_from_its_time_on_for_its_kind_of_period() -> None:
    cold = Air(12.0, 0.6, 11.0)
    site = site_air(job(MILD_DAY, MILD_NIGHT), [reading("2026-06-02 10:00", read(cold))])
    assert site.at("bath", at("2026-06-02 09:59")) == MILD_DAY
    assert site.at("bath", at("2026-06-02 10:00")) == cold
    assert site.at("bath", at("2026-06-02 19:00")) == MILD_NIGHT, "a day's reading says nothing of nights"
    assert site.at("bath", at("2026-06-03 12:00")) == cold, "and it holds for later days"
    night = site_air(job(MILD_DAY, MILD_NIGHT), [reading("2026-06-02 05:30", read(cold))])
    assert night.at("bath", at("2026-06-02 12:00")) == MILD_DAY
    assert night.at("bath", at("2026-06-04 01:00")) == cold


def test_a_reading_of_one_value_keeps_the_others() -> None:
    site = site_air(job(MILD_DAY), [reading("2026-06-02 10:00", {"humidity": 0.8})])
    assert site.at("bath", at("2026-06-02 11:00")) == Air(20.0, 0.8, 20.0)


@pytest.mark.parametrize("value", [None, "68 F", {}, {"air_c": "warm"}, {"humidity": 55}, {"air_c": True}])
def test_a_reading_nobody_can_use_changes_nothing(value: object) -> None:
    site = site_air(job(MILD_DAY), [reading("2026-06-02 10:00", value)])
    assert site.at("bath", at("2026-06-02 11:00")) == MILD_DAY


def test_an_undone_reading_is_forgotten() -> None:
    taken = reading("2026-06-02 10:00", read(Air(12.0, 0.6, 11.0)))
    undo = Event("u", "undone", taken.at, {"event": taken.id}, seq=taken.seq + 1)
    assert site_air(job(MILD_DAY), [taken, undo]).at("bath", at("2026-06-02 11:00")) == MILD_DAY


def test_a_reading_moves_a_wait_that_is_already_running() -> None:
    start = at("2026-06-02 08:00")
    before = opens_at(wait(240, "drying"), site_air(job()), start)
    damp = reading("2026-06-02 10:00", read(Air(20.0, 0.65, 20.0)))
    after = opens_at(wait(240, "drying"), site_air(job(), [damp]), start)
    assert before == start + 240
    assert after == math.ceil((start + 120 + 120 / 0.5825 - 1e-6) / 5) * 5


def test_a_room_the_job_has_not_is_an_error_and_no_room_is_the_lab() -> None:
    site = site_air(job(MILD_DAY))
    assert site.at("", at("2026-06-02 11:00")) == LAB_AIR
    with pytest.raises(KeyError, match="no room 'attic'"):
        site.at("attic", at("2026-06-02 11:00"))


def test_cement_does_not_cure_below_five_degrees() -> None:
    frost = Air(3.0, 0.6, 2.0)
    start = at("2026-06-02 18:00")
    assert opens_at(wait(120), site_air(job(LAB_AIR, frost)), start) == at("2026-06-03 08:00"), "it waits for the day"
    assert opens_at(wait(120), site_air(job(frost, frost)), start) == start + LONGEST_MIN
    assert "no clock time" in explain(wait(120), site_air(job(frost, frost)), start)


def test_air_long_before_and_long_after_the_job_is_known_too() -> None:
    site = site_air(job(MILD_DAY, MILD_NIGHT))
    for text in ("2020-02-02 09:00", "2026-06-02 09:00", "2039-02-02 09:00"):
        begin = at(text)
        really = stepped("maturity", begin, 2880, MILD_DAY, MILD_NIGHT, Hours())
        assert opens_at(wait(2880), site, begin) == math.ceil(really / 5) * 5


AIRS = st.builds(Air, st.floats(2, 40), st.floats(0.1, 0.98), st.floats(2, 40))


@settings(max_examples=40, deadline=None)
@given(
    day=AIRS, night=AIRS, law=st.sampled_from(LAWS), minutes=st.integers(0, 5000), first=st.integers(0, 4000),
    moved=st.one_of(st.none(), st.tuples(st.integers(0, 4000), AIRS)),
)  # fmt: skip
def test_who_starts_later_is_never_ready_earlier(
    day: Air, night: Air, law: Law, minutes: int, first: int, moved: tuple[int, Air] | None
) -> None:
    begin = at("2026-06-02 00:00")
    site = site_air(job(day, night))
    site = site.if_read("bath", begin + moved[0], moved[1]) if moved else site
    starts = range(begin + first, begin + first + 2000, 7)
    for ask in (opens_at, shuts_at):
        ends = [ask(wait(minutes, law), site, start) for start in starts]
        assert ends == sorted(ends)
    assert all(opens_at(wait(minutes, law), site, start) >= start + minutes for start in starts)
    assert all(shuts_at(wait(minutes, law), site, start) <= start + minutes for start in starts)


@settings(max_examples=25, deadline=None)
@given(
    day=AIRS, night=AIRS, law=st.sampled_from(LAWS), minutes=st.integers(0, 5000), first=st.integers(0, 4000),
    moved=st.one_of(st.none(), st.tuples(st.integers(0, 4000), AIRS)),
)  # fmt: skip
def test_a_curve_says_the_same_as_asking_every_tick(
    day: Air, night: Air, law: Law, minutes: int, first: int, moved: tuple[int, Air] | None
) -> None:
    begin = at("2026-06-02 00:00")
    site = site_air(job(day, night))
    site = site.if_read("bath", begin + moved[0], moved[1]) if moved else site
    start, last = begin + first, begin + first + 5 * 1440
    _same_as_asked(wait_curve(wait(minutes, law), site, start, last), opens_at, wait(minutes, law), site, start, last)
    _same_as_asked(within_curve(wait(minutes, law), site, start, last), shuts_at, wait(minutes, law), site, start, last)


@pytest.mark.parametrize("start", ["2026-10-28 00:00", "2027-03-10 00:00"])
def test_a_curve_over_a_clock_change_says_the_same_as_asking(start: str) -> None:
    site, first = site_air(job(MILD_DAY, MILD_NIGHT)), at(start)
    curve = wait_curve(wait(1440), site, first, first + 8 * 1440)
    _same_as_asked(curve, opens_at, wait(1440), site, first, first + 8 * 1440)


def _same_as_asked(
    curve: list[tuple[Instant, int]], ask: Callable[[Wait, SiteAir, Instant], Instant], one: Wait, site: SiteAir,
    first: Instant, last: Instant,
) -> None:  # fmt: skip
    begins = [moment for moment, _ in curve]
    assert begins[0] == first - first % 5
    assert all(a[1] != b[1] and a[0] < b[0] for a, b in itertools.pairwise(curve)), "only changes are told"
    for tick in range(first - first % 5 + 5, last + 1, 5):
        minutes = curve[bisect.bisect_right(begins, tick) - 1][1]
        assert tick + minutes == ask(one, site, tick)


def test_eight_weeks_of_a_curve_come_at_once() -> None:
    first = at("2026-06-01 00:00")
    for site, most_s in ((site_air(job()), 0.03), (site_air(job(MILD_DAY, MILD_NIGHT)), 0.3)):
        begun = stopwatch.perf_counter()
        wait_curve(wait(1440, "maturity_then_drying"), site, first, first + 56 * 1440)
        assert stopwatch.perf_counter() - begun < most_s


def test_same_air_by_day_and_night_makes_a_curve_of_one_point() -> None:
    cool = Air(16.7, 0.5, 16.7)
    first = at("2026-06-01 00:00")
    site = site_air(job(cool, cool))
    assert wait_curve(wait(120), site, first, first + 56 * 1440) == [(first, 175)]
    assert within_curve(wait(120), site, first, first + 56 * 1440) == [(first, 120)]


def test_what_was_done_to_a_label_is_said_in_words() -> None:
    cool = Air(16.67, 0.5, 16.67)
    start = at("2026-06-02 09:00")
    site = site_air(job(cool, cool))
    assert explain(wait(120), site, start) == "2 h label, 2 h 55 at 62 F"
    assert explain(wait(120), site, start, "metric") == "2 h label, 2 h 55 at 17 C"
    assert explain(wait(120), site_air(job()), start) == "2 h label"
    hot = Air(30.0, 0.3, 30.0)
    assert explain(wait(120), site_air(job(hot, hot)), start) == "2 h label, no sooner at 86 F"
    assert explain(wait(120, "drying"), site_air(job(MILD_DAY, MILD_NIGHT)), at("2026-06-02 17:00")).endswith(
        "at 60 to 68 F, 55 to 60 %"
    )
    assert explain(wait(120, "fixed"), site, start) == "2 h label"


def test_a_shown_band_is_as_wide_as_such_a_time_can_miss() -> None:
    start = at("2026-06-02 09:00")
    own = Wait("walk", Band(1000, 1000, 1000), "maturity", room="bath")
    assert shown_band(own, site_air(job()), start) == Band(850, 1000, 1150)
    assert shown_band(own, site_air(job()), start, rapid=True) == Band(700, 1000, 1300)
    assert shown_band(wait(1000, "fixed"), site_air(job()), start) == Band(500, 1000, 2000)


def test_no_clock_time_is_told_while_the_air_says_nothing() -> None:
    damp = site_air(job(), [reading("2026-06-02 10:00", {"humidity": 0.88})])
    coat = wait(120, "drying", "next_layer")
    assert no_time_reason(coat, damp, at("2026-06-02 09:00")) is None
    said = no_time_reason(coat, damp, at("2026-06-02 11:00"))
    assert said is not None
    assert said.startswith("it will not dry like this, so there is no clock time.")
    assert no_time_reason(wait(120, "fixed"), damp, at("2026-06-02 11:00")) is None
