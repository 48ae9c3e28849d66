"""The last day without the visits that come long after it, and what decides it."""

from dataclasses import replace

from planning.handover.as_text import note_text
from planning.handover.evening import evening
from planning.handover.last_day import GAP_DAYS
from planning.handover.snapshot import make_note
from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.step import Band, Link, Step, Wait
from tests.planning.supply.a_day import GROUT, JOB, POUR, SET, STEPS, ZONE, a_plan, at, planned

AGE = Wait("seal", Band(1440, 2880, 28 * 1440), "fixed", "grout-cement", "kitchen")
SEAL = Step(
    "kitchen/floor/seal", JOB.name, "kitchen", None, "floor", "seal", "seal", "seal", ("seal",), Band(15, 20, 30),
    after=(Link(GROUT.id, wait=AGE),), stands_on=("kitchen",),
)  # fmt: skip
HAND = Step(
    "kitchen/floor/hand-over", JOB.name, "kitchen", None, "floor", "hand-over", "hand over", "finish", ("finish",),
    Band(20, 40, 60), after=(Link(SEAL.id), Link(GROUT.id)),
)  # fmt: skip
ALL = (*STEPS, SEAL, HAND)
WORK = a_plan().steps


def with_seal(day: int) -> Plan:
    """The plan with sealing on that day of June, and handing over after it."""
    return a_plan(*WORK, planned(SEAL, at(8, day=day), at(8, 20, day)), planned(HAND, at(9, day=day), at(9, 40, day)))


def last_of(plan: Plan, job: Job = JOB, events: tuple[Event, ...] = ()) -> tuple[object, ...]:
    facts = evening(plan, job, ALL, events, at(7))
    returns = [[step.id for step in visit.steps] for visit in facts.last.returns]
    return local(ZONE, facts.last.safe).date(), returns, facts.last.driver and facts.last.driver.id


def test_sealing_that_a_slow_case_puts_weeks_off_is_a_visit_of_its_own() -> None:
    day, returns, driver = last_of(with_seal(8))
    assert returns == [[SEAL.id]]
    assert driver == HAND.id
    without, _, _ = last_of(a_plan(*WORK, planned(HAND, at(9, day=8), at(9, 40, 8))))
    assert day == without, "nobody waits for the sealer with the rest"
    facts = evening(with_seal(8), JOB, ALL, (), at(7))
    assert facts.last.returns[0].safe >= facts.times[GROUT.id][1] + 28 * 1440
    assert facts.last.returns[0].waits_for is not None
    assert facts.last.returns[0].waits_for.id == GROUT.id


def test_sealing_after_a_short_wait_is_part_of_the_work() -> None:
    short = replace(SEAL, after=(Link(GROUT.id, wait=replace(AGE, label=Band(1440, 1440, 2880))),))
    facts = evening(with_seal(8), JOB, (*STEPS, short, HAND), (), at(7))
    assert facts.last.returns == ()


def test_a_short_visit_that_the_plan_itself_has_weeks_later_is_told_apart() -> None:
    plan = a_plan(*WORK, planned(SEAL, at(8, day=5 + GAP_DAYS + 10), at(8, 20, 5 + GAP_DAYS + 10)))
    day, returns, driver = last_of(plan)
    assert returns == [[SEAL.id]]
    assert driver == GROUT.id
    assert isinstance(day, type(local(ZONE, at(7)).date()))


def test_grout_that_was_held_up_for_weeks_is_no_return_visit() -> None:
    far = 5 + GAP_DAYS + 10
    late = [step for step in WORK if step.kind != "grout"]
    day, returns, driver = last_of(a_plan(*late, planned(GROUT, at(8, day=far), at(9, day=far))))
    assert (returns, driver) == ([], GROUT.id)
    assert day >= local(ZONE, at(7, day=far)).date()  # type: ignore[operator]  # a date


def test_much_work_after_a_long_gap_is_no_return_visit() -> None:
    far = 5 + GAP_DAYS + 10
    more = [replace(planned(SET, at(8, day=far + n), at(15, day=far + n)), id=f"{SET.id}#{n + 3}") for n in range(2)]
    day, returns, _ = last_of(a_plan(*WORK, *more))
    assert returns == []
    assert day >= local(ZONE, at(7, day=far + 1)).date()  # type: ignore[operator]  # a date


def test_the_note_names_the_step_that_decides_and_the_return_visit() -> None:
    said = " ".join(note_text(make_note(evening(with_seal(8), JOB, ALL, (), at(16)))).split())
    assert "Last comes hand over, kitchen. Then" in said
    assert "Then one more short visit, about 20 min, by " in said
    assert "seal, kitchen; grout must be old enough." in said


def test_a_plan_without_a_step_ends_when_it_says() -> None:
    plan = replace(a_plan(planned(POUR, at(8), at(9))), steps=(), stay_off=(), house=(), visits=())
    facts = evening(plan, JOB, STEPS, (), at(7))
    assert (facts.last.safe, facts.last.driver, facts.last.returns) == (plan.finish, None, ())
