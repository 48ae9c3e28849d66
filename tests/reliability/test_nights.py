"""Both nights on which the clocks change: cures run in real seconds, working hours stay local, every 01:30 is taken."""

from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.job.hours import instant, local, shifts
from planning.job.people import Hours, Person
from planning.records.clock import FrozenClock
from planning.records.job_file import read_job_text
from planning.records.record import Record
from planning.schedule.judge import judge
from planning.schedule.make_plan import make_plan
from planning.trade.expand import expand
from tests.job_files import STEADY_AIR, floor, head

# zone -> (night the hour is skipped, night it comes twice), each the date of the Sunday on which it happens
NIGHTS = {
    "America/New_York": (date(2026, 3, 8), date(2026, 11, 1)),
    "America/Denver": (date(2026, 3, 8), date(2026, 11, 1)),
    "America/Los_Angeles": (date(2026, 3, 8), date(2026, 11, 1)),
    "Europe/London": (date(2026, 3, 29), date(2026, 10, 25)),
}
CASES = [(zone, night) for zone, nights in NIGHTS.items() for night in nights]


@pytest.mark.parametrize(("zone", "sunday"), CASES)
@settings(max_examples=40, deadline=None)
@given(minute=st.integers(0, 24 * 60 - 1), hours=st.integers(6, 72))
def test_a_cure_over_the_night_lasts_its_real_seconds(zone: str, sunday: date, minute: int, hours: int) -> None:
    site = ZoneInfo(zone)
    began = datetime.combine(sunday - timedelta(days=1), time(minute // 60, minute % 60), tzinfo=site)
    start = instant(site, began.date(), began.time())
    shown = local(site, start + hours * 60)
    assert (shown.astimezone(UTC) - began.astimezone(UTC)).total_seconds() == hours * 3600


@pytest.mark.parametrize(("zone", "sunday"), CASES)
def test_the_same_hours_read_off_the_wall_would_be_an_hour_wrong(zone: str, sunday: date) -> None:
    site = ZoneInfo(zone)
    began = datetime.combine(sunday - timedelta(days=1), time(15), tzinfo=site)
    wall = began + timedelta(hours=24)
    real = wall.astimezone(UTC) - began.astimezone(UTC)
    assert abs(real - timedelta(hours=24)) == timedelta(hours=1), "the control must be wrong"
    start = instant(site, began.date(), began.time())
    assert local(site, start + 24 * 60) != wall


@pytest.mark.parametrize(("zone", "sunday"), CASES)
def test_working_hours_stay_on_the_wall_clock(zone: str, sunday: date) -> None:
    site = ZoneInfo(zone)
    hours = Hours(days=frozenset(range(7)), set_up_min=0, clean_up_min=0)
    days = shifts(hours, Person("you", "job", frozenset(("all",))), site, sunday - timedelta(days=1), sunday)
    assert [local(site, shift.start).time() for shift in days] == [time(7), time(7)]
    assert [local(site, shift.finish).time() for shift in days] == [time(15, 30), time(15, 30)]
    assert abs((days[1].start - days[0].start) - 24 * 60) == 60


@pytest.mark.parametrize(("zone", "sunday"), CASES)
def test_every_wall_clock_time_of_the_night_is_taken_and_none_goes_back(zone: str, sunday: date) -> None:
    site = ZoneInfo(zone)
    given_times = [time(hour, minute) for hour in range(5) for minute in range(0, 60, 5)]
    instants = [instant(site, sunday, clock) for clock in given_times]
    skipped = {at for at, clock in zip(instants, given_times, strict=True) if local(site, at).time() != clock}
    assert len(instants) == 60
    assert len(skipped) in (0, 12)
    for at, clock in zip(instants, given_times, strict=True):
        assert local(site, at).time() >= clock, "a time that is skipped is taken as one after it"


@pytest.mark.parametrize("zone", NIGHTS)
def test_both_half_past_ones_are_noted_an_hour_apart_and_read_back_apart(tmp_path: Path, zone: str) -> None:
    sunday = NIGHTS[zone][1]
    site = ZoneInfo(zone)
    twice = [datetime.combine(sunday, time(1, 30), tzinfo=site).replace(fold=fold) for fold in (0, 1)]
    with Record.open(tmp_path / "job.toml", FrozenClock(twice[0]), zone=site) as record:
        noted = [record.append("started", {"step": "s"}, at=at) for at in twice]
    with Record.open(tmp_path / "job.toml", FrozenClock(twice[0]), zone=site) as record:
        first, second = record.events()[1:]
    assert (first, second) == tuple(noted)
    assert second.at - first.at == timedelta(hours=1)
    assert first.utc_offset_min - second.utc_offset_min == 60


@pytest.mark.parametrize("zone", NIGHTS)
def test_a_half_past_two_that_does_not_exist_is_noted_all_the_same(tmp_path: Path, zone: str) -> None:
    site = ZoneInfo(zone)
    sunday = NIGHTS[zone][0]
    at = datetime.combine(sunday, time(2 if zone.startswith("America") else 1, 30), tzinfo=site)
    with Record.open(tmp_path / "job.toml", FrozenClock(at), zone=site) as record:
        event = record.append("started", {"step": "s"}, at=at)
    assert event.at == at.astimezone(UTC)
    assert local(site, event.minute).hour == at.hour + 1


def waits_and_wall_times(zone: str, start: date) -> tuple[list[tuple[str, int | None]], list[tuple[str, time, time]]]:
    """The instant plan of a job that starts that day: real minutes of each cure, and each step by the wall clock."""
    leveled = floor("laundry", "8 x 6 ft", "level-and-tile-floor", air=STEADY_AIR, depth="1/4 in")
    text = head("clock change", zone, start, days="mon-sun") + leveled
    job, problems = read_job_text(text, "change.toml")
    assert job is not None, problems
    plan = make_plan(job, (), instant(job.zone, start, time(6, 58)), improve=False)
    assert judge(plan, job, expand(job).steps) == ()
    cures = [(s.id, None if s.foot_ready is None else s.foot_ready - s.finish) for s in plan.steps]
    return cures, [(s.id, local(job.zone, s.start).time(), local(job.zone, s.finish).time()) for s in plan.steps]


@pytest.mark.parametrize(("zone", "sunday"), CASES)
def test_a_plan_over_the_night_gives_every_cure_its_real_minutes_and_keeps_the_hours(zone: str, sunday: date) -> None:
    saturday = sunday - timedelta(days=1)
    cures, wall = waits_and_wall_times(zone, saturday)
    assert any(minutes is not None and minutes > 16 * 60 for _, minutes in cures), "a cure lasts through the night"
    assert all(time(7) <= start and finish <= time(15, 30) for _, start, finish in wall)
    quiet, _ = waits_and_wall_times(zone, saturday - timedelta(days=14))
    assert cures == quiet, "the same cures, to the minute, as over a night on which no clock changes"
