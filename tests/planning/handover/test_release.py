import itertools
from dataclasses import replace
from datetime import time

from planning.handover.bookings import Booking, bookings
from planning.handover.evening import evening
from planning.handover.release import Release, releases, standing_at
from planning.handover.release_table import booking_rows, floor_rows, release_page, release_rows, release_table
from planning.handover.slow import slow_times, slowest_times
from planning.job.hours import local
from planning.trade.air import opens_at, site_air
from tests.planning.supply.a_day import CURE, GROUT, HEAVY, JOB, POUR, SET, STEPS, WALK, a_plan, at, event

DONE = [
    event(1, "started", at(14, 40), step=POUR.id),
    event(2, "finished", at(15, 20), step=POUR.id),
]


def released() -> tuple[Release, ...]:
    """The stay-offs once the pour is done."""
    return releases(a_plan(), JOB, STEPS, DONE, slow_times(a_plan(), JOB, STEPS, DONE))


def test_the_slow_case_is_never_before_the_plan_and_keeps_the_order_and_the_people() -> None:
    plan = a_plan()
    times = slow_times(plan, JOB, STEPS)
    assert all(times[step.id][0] >= step.start and times[step.id][1] >= step.finish for step in plan.steps)
    busy = sorted(times[step.id] for step in plan.steps if "you" in step.people)
    assert all(first[1] <= then[0] for first, then in itertools.pairwise(busy))
    assert max(finish for _, finish in times.values()) >= plan.finish


def test_the_slow_case_lies_between_the_plan_and_everything_going_slow_at_once() -> None:
    plan = a_plan()
    slow, slowest = slow_times(plan, JOB, STEPS), slowest_times(plan, JOB, STEPS)
    for step in plan.steps:
        assert step.finish <= slow[step.id][1] <= slowest[step.id][1]
    assert slow[f"{SET.id}#2"][1] > plan.step(f"{SET.id}#2").finish
    set_done = slowest[f"{SET.id}#2"][1]
    assert slowest["kitchen/floor/grout"][0] >= opens_at(CURE, site_air(JOB), set_done, "high")


def test_the_slow_case_is_the_same_each_time() -> None:
    assert slow_times(a_plan(), JOB, STEPS) == slow_times(a_plan(), JOB, STEPS)


def test_what_is_done_keeps_its_real_times_in_the_slow_case() -> None:
    assert slow_times(a_plan(), JOB, STEPS, DONE)[POUR.id] == (at(14, 40), at(15, 20))


def test_no_floor_is_released_before_the_high_case_of_its_real_finish() -> None:
    air = site_air(JOB)
    found = {(each.step, each.what): each for each in released()}
    assert found[POUR.id, "walk"].until == opens_at(WALK, air, at(15, 20), "high")
    assert found[POUR.id, "heavy"].until == opens_at(HEAVY, air, at(15, 20), "high")
    for off in a_plan().stay_off:
        until = found[off.step, off.what].until
        assert until is not None
        assert until >= off.until


def test_only_what_was_begun_and_is_not_over_stands() -> None:
    found = released()
    standing = standing_at(found, at(16), frozenset({POUR.id}))
    assert {(each.room, each.what) for each in standing} == {("powder-room", "walk"), ("powder-room", "heavy")}
    assert standing_at(found, at(16, day=20), frozenset({POUR.id})) == ()


def test_the_table_has_four_uses_a_floor_and_safe_is_never_before_usual() -> None:
    rows = floor_rows(evening(a_plan(), JOB, STEPS, DONE, at(16)))
    assert [(row.room, [use.use for use in row.uses]) for row in rows] == [
        ("powder-room", ["walk", "trades", "water", "furniture"]),
        ("kitchen", ["walk", "trades", "water", "furniture"]),
    ]
    for use in (use for row in rows for use in row.uses):
        assert use.safe is None or (use.usual is not None and use.safe >= use.usual)
    heavy = next(use for use in rows[0].uses if use.use == "furniture")
    assert heavy.safe is not None
    assert heavy.safe >= opens_at(HEAVY, site_air(JOB), at(15, 20), "high")


def test_other_trades_come_after_our_own_work_in_the_room_and_when_the_floor_bears_feet() -> None:
    facts = evening(a_plan(), JOB, STEPS, DONE, at(16))
    kitchen = next(row for row in floor_rows(facts) if row.room == "kitchen")
    walk, trades = kitchen.uses[0], kitchen.uses[1]
    assert walk.safe is not None
    assert trades.safe == max(walk.safe, facts.times[GROUT.id][1])


def test_an_inspector_is_booked_from_when_the_slow_case_has_the_work_ready_in_working_hours() -> None:
    plan = a_plan()
    asked = replace(plan, visits=(replace(plan.visits[0], sees="grout", room="kitchen", booked=False),))
    facts = evening(asked, JOB, STEPS, DONE, at(16))
    found = bookings(asked, JOB, STEPS, facts.times, facts.progress)
    assert [each.who for each in found] == ["inspector"]
    assert found[0].safe >= facts.times[GROUT.id][1]
    moment = local(JOB.zone, found[0].safe)
    assert moment.weekday() < 5
    assert time(7) <= moment.time() <= time(15, 30)
    assert found[0].safe % 15 == 0


def test_a_visit_that_a_slow_day_would_break_is_said_to_be_so() -> None:
    facts = evening(a_plan(), JOB, STEPS, DONE, at(16))
    early = Booking("inspector", "kitchen", "grout", at(9, day=5), at(9, day=9), booked=at(9, day=5))
    assert "BOOKED, and a slow day breaks it." in booking_rows(facts, [early])[0]
    assert not replace(early, booked=at(10, day=9)).late


def test_the_text_and_the_page_say_the_same_dates() -> None:
    facts = evening(a_plan(), JOB, STEPS, DONE, at(16))
    text, html = release_table(facts), release_page(facts).replace("&nbsp;", " ")
    for _, _, usual, safe, _ in release_rows(facts):
        assert usual in text
        assert safe in text
        assert usual in html
        assert safe in html
