"""What each report does to the plan itself, and that the judge has nothing against the new one."""

from collections.abc import Callable
from dataclasses import replace
from datetime import time
from functools import cache
from typing import Any

import pytest

from planning.job.events import Event
from planning.job.hours import instant, local, next_morning
from planning.job.job import Answer, Delivery, Job
from planning.job.place import Air, RoomAir
from planning.job.plan import Plan
from planning.job.step import KeepOff
from planning.job.words import WET_KINDS, Instant
from planning.schedule.build.network_of import build
from planning.schedule.make_plan import make_plan
from planning.trade.expand import expand
from tests.any_trouble import accepted, event
from tests.planning.trade.small_jobs import do, job_of, room_of, wet_room

POURED = {"leveler": "leveler-rapid", "depth": 0.00635, "bays": 1}
DAY = 1440


@cache
def house() -> Job:
    """A bath with a poured floor, whose tile is delivered and whose grout color is owed."""
    air = RoomAir(Air(22, 0.5, 21), Air(13, 0.6, 12), read=True)
    bath = replace(room_of(8, 5, do("level-and-tile-floor", POURED), name="bath"), air=air)
    job = job_of(bath, helper=True)
    at = instant(job.zone, job.start, time(10))
    return replace(
        job,
        deliveries=(Delivery("delivery/bath/tile", "tile", "bath", at, at + 120),),
        answers=(Answer("answer/bath/grout-color", "owner", "grout color", "bath", "grout", at + DAY),),
    )


@cache
def shower() -> Job:
    """A room that is a shower, with two inspections nobody has booked."""
    return job_of(wet_room(), helper=True)


def quick(job: Job, events: tuple[Event, ...], now: Instant) -> Plan:
    plan = make_plan(job, events, now, improve=False)
    assert plan.broken == (), plan.broken
    return plan


@cache
def first(job_named: Callable[[], Job]) -> Plan:
    job = job_named()
    return quick(job, (), instant(job.zone, job.start, time(6, 58)))


@cache
def worked(job_named: Callable[[], Job], key: str) -> tuple[tuple[Event, ...], Instant]:
    """The accepted plan worked as it was planned, up to the finish of the step of that key; and that moment."""
    plan = first(job_named)
    end = max(step.finish for step in plan.steps if step.id.partition("#")[0].endswith(f"/{key}"))
    marks = [(s.start, 0, "started", s.id) for s in plan.steps if s.finish <= end]
    marks += [(s.finish, 1, "finished", s.id) for s in plan.steps if s.finish <= end]
    events = [accepted(1, plan)]
    events += [event(n, kind, at, {"step": step}) for n, (at, _, kind, step) in enumerate(sorted(marks), start=2)]
    seen = [visit for visit in plan.visits if visit.finish <= end]
    events += [event(500 + n, "visit_result", v.finish, {"visit": v.id, "value": "passed"}) for n, v in enumerate(seen)]
    return tuple(events), end


def reported(job_named: Callable[[], Job], key: str, kind: str, minutes: int = 5, **body: Any) -> tuple[Plan, Plan]:
    """The plan before and after a report, made so many minutes after the step of that key was done."""
    events, end = worked(job_named, key)
    now = end + minutes
    before = quick(job_named(), events, now)
    return before, quick(job_named(), (*events, event(900, kind, now, body)), now)


def start(plan: Plan, key: str) -> Instant:
    return min(step.start for step in plan.steps if step.id.partition("#")[0].endswith(f"/{key}"))


def test_without_power_nothing_with_a_mixer_or_saw_runs_until_the_next_morning_but_handwork_goes_on() -> None:
    before, after = reported(house, "heights", "service_out", service="power")
    again = next_morning(house().hours, house().zone, after.made_at)
    assert start(before, "pour") < again <= start(after, "pour")
    assert all(step.start >= again for step in after.steps if step.gear and step.state in ("wait", "ready"))
    assert start(after, "prime") < again


def test_power_out_till_a_time_holds_the_pour_till_then_and_power_back_lets_it_go() -> None:
    events, end = worked(house, "heights")
    now = end + 5
    out = event(900, "service_out", now, {"service": "power", "until": now + 7 * 60})
    held = quick(house(), (*events, out), now)
    assert start(held, "pour") >= now + 7 * 60
    back = event(901, "service_back", now + 10, {"service": "power"})
    free = quick(house(), (*events, out, back), now + 10)
    assert start(free, "pour") < start(held, "pour")


def test_without_water_no_wet_work_begins() -> None:
    _, after = reported(house, "heights", "service_out", service="water", until=first(house).made_at + 20 * 60)
    wet = [step for step in after.steps if step.kind in WET_KINDS and step.state not in ("done", "curing")]
    assert min(step.start for step in wet) >= first(house).made_at + 20 * 60


def test_heat_off_makes_the_waits_as_long_as_the_nights_air_asks() -> None:
    before, after = reported(house, "pour", "service_out", service="heat")

    def wait(plan: Plan) -> int:
        return max(link.wait_min for link in plan.step("bath/level-and-tile-floor/flat").after)

    assert wait(after) > wait(before)


def test_a_delivery_that_comes_later_moves_the_tile_and_nothing_before_it() -> None:
    until = first(house).made_at + 4 * DAY
    before, after = reported(house, "heights", "delivery_moved", delivery="delivery/bath/tile", until=until)
    assert start(before, "set") < until <= start(after, "set")
    assert start(after, "pour") == start(before, "pour")


def test_the_wrong_tile_is_looked_for_anew_and_the_step_is_on_hold_until_somebody_says_when() -> None:
    events, end = worked(house, "flat")
    now = end + 90
    here = event(899, "delivered", end, {"delivery": "delivery/bath/tile"})
    wrong = event(900, "delivered", end + 1, {"delivery": "delivery/bath/tile", "value": "wrong color"})
    assert quick(house(), (*events, here), now).step("bath/level-and-tile-floor/set#1").state != "hold"
    plan = quick(house(), (*events, here, wrong), now)
    step = plan.step("bath/level-and-tile-floor/set#1")
    assert step.start >= next_morning(house().hours, house().zone, now)
    assert step.state == "hold"
    assert "tile" in step.reason


def test_an_overdue_answer_holds_its_step_and_says_who_owes_it_since_when() -> None:
    events, end = worked(house, "set")
    events = (*events, event(899, "delivered", end - 600, {"delivery": "delivery/bath/tile"}))
    plan = quick(house(), events, end + 60)
    grout = plan.step("bath/level-and-tile-floor/grout")
    assert grout.state == "hold"
    assert "grout color" in grout.reason
    told = quick(house(), (*events, event(901, "answered", end, {"answer": "answer/bath/grout-color"})), end + 60)
    assert told.step("bath/level-and-tile-floor/grout").state != "hold"
    assert start(told, "grout") <= grout.start


def test_an_inspection_that_failed_is_repeated_and_its_new_visit_can_still_be_called_for() -> None:
    _, after = reported(shower, "dwv-test", "visit_result", visit="visit/room/dwv-test", value="failed")
    visit = next(each for each in after.visits if each.id == "visit/room/dwv-test-again")
    assert not visit.booked
    assert local(shower().zone, visit.start).date() > local(shower().zone, after.made_at).date()
    again = after.step("room.shower/curbless-shower/dwv-test-again")
    assert again.finish <= visit.start
    assert start(after, "float") >= visit.finish


def test_nobody_came_to_see_it_so_another_visit_is_called_for_and_nothing_is_done_again() -> None:
    before, after = reported(shower, "dwv-test", "visit_result", visit="visit/room/dwv-test", value="no-show")
    assert {step.id for step in after.steps} == {step.id for step in before.steps}
    visit = next(each for each in after.visits if each.id == "visit/room/dwv-test")
    assert local(shower().zone, visit.start).date() > local(shower().zone, after.made_at).date()
    assert start(after, "float") >= visit.finish


def test_a_flood_level_that_dropped_costs_the_mend_its_cure_and_a_whole_new_hold() -> None:
    before, after = reported(shower, "fill", "found", room="room", value="rot")
    assert start(after, "flood") == start(before, "flood")
    events, end = worked(shower, "flood")
    drop = event(900, "found", end + 5, {"room": "room", "value": "level dropped"})
    plan = quick(shower(), (*events, drop), end + 5)
    drained, mended, filled, read = (
        plan.step(f"room.shower/curbless-shower/{key}")
        for key in ("flood-drain", "flood-mend", "fill-again", "flood-again")
    )
    assert drained.finish <= mended.start
    assert filled.start - mended.finish >= 12 * 60
    assert read.start - filled.finish >= DAY
    assert start(plan, "wall-tile") >= read.finish


def test_bags_short_in_mid_pour_leave_a_bay_that_the_plan_primes_and_pours_later() -> None:
    events, _ = worked(house, "prime")
    pour = first(house).step("bath/level-and-tile-floor/pour")
    begun = event(890, "started", pour.start, {"step": pour.id})
    short = event(900, "short", pour.start + 10, {"class": "leveler-rapid", "value": 1})
    plan = quick(house(), (*events, begun, short), pour.start + 10)
    poured, rest = plan.step(pour.id), plan.step("bath/level-and-tile-floor/pour-rest")
    assert poured.finish < pour.finish
    assert rest.start >= plan.step("bath/level-and-tile-floor/prime-rest").finish
    assert rest.window.shuts is not None
    assert start(plan, "flat") >= rest.finish


def test_a_window_that_shut_is_recovered_and_the_late_step_is_not_broken_any_more() -> None:
    events, end = worked(house, "prime")
    plan = quick(house(), events, end + 3 * DAY)
    again = plan.step("bath/level-and-tile-floor/prime-again-late")
    assert again.finish <= start(plan, "pour")


def test_the_day_the_helper_is_gone_moves_what_takes_two_and_no_plan_uses_him() -> None:
    events, end = worked(house, "heights")
    gone = event(900, "gone", end, {"who": "helper", "until": end + 3 * DAY})
    plan = quick(house(), (*events, gone), end)
    assert all("helper" not in s.people for s in plan.steps if end <= s.start < end + 3 * DAY)


def test_tacky_moves_the_next_coat_to_the_second_look() -> None:
    events, end = worked(shower, "coat-1")
    coat = "room.shower/curbless-shower/coat-2"
    look = first(shower).step(coat).start + 30
    plan = quick(shower(), (*events, event(900, "tacky", end + 5, {"step": coat, "until": look})), end + 5)
    assert plan.step(coat).start >= look


@pytest.mark.parametrize(("seconds", "later"), [(0, 0), (1, 1), (59, 1)])
def test_no_wait_opens_early_by_the_seconds_of_its_finish(seconds: int, later: int) -> None:
    from datetime import timedelta

    from planning.job.progress import read_progress

    done = event(1, "finished", 29_670_000, {"step": "bath/level-and-tile-floor/prime"})
    exact = replace(done, at=done.at + timedelta(seconds=seconds))
    assert read_progress(house(), [exact]).finished["bath/level-and-tile-floor/prime"] == 29_670_000 + later


def test_a_stay_off_that_ends_with_a_step_in_pieces_keeps_none_of_its_pieces_off() -> None:
    job = house()
    steps = list(expand(job).steps)
    tile = next(step for step in steps if step.key == "set")
    held = [replace(s, keeps_off=(KeepOff("walk", ("bath",), tile.id),)) if s.key == "layout" else s for s in steps]
    built = build(job, held, (), first(house).made_at)
    pieces = tuple(cut.id for cut in built.pieces[tile.id])
    task = next(task for task in built.network.tasks if task.id.endswith("/layout"))
    assert len(pieces) > 1
    assert [off.until for off in task.off] == [pieces]
