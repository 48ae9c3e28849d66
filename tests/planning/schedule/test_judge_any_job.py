"""The judge on plans of generated jobs: silent on what the first plan lays, loud when one thing in it is moved."""

import time
from collections.abc import Iterator
from dataclasses import replace

import pytest

from planning.job.events import Event
from planning.job.hours import instant
from planning.job.job import Job
from planning.job.plan import Plan, Proof
from planning.job.plan_json import from_json, to_json
from planning.job.step import Step
from planning.job.words import Instant
from planning.schedule.assemble import Words, assemble
from planning.schedule.build.network_of import build
from planning.schedule.first_plan import first_plan
from planning.schedule.judge import judge
from tests.any_job import any_job, any_record, any_steps


def laid(job: Job, steps: tuple[Step, ...], now: Instant, events: tuple[Event, ...] = ()) -> Plan | None:
    """The first plan of a job, or None where it finds none."""
    built = build(job, steps, events, now)
    solution = first_plan(built.network)
    return None if solution is None else assemble(built, solution, Words({}, {}, {}), Proof(False))


def planned(rooms: int, seeds: range) -> Iterator[tuple[Job, tuple[Step, ...], Plan]]:
    """Jobs with their first plans."""
    for seed in seeds:
        job = any_job(seed, rooms)
        steps = any_steps(job)
        plan = laid(job, steps, instant(job.zone, job.start, job.hours.start))
        if plan is not None:
            yield job, steps, plan


@pytest.mark.parametrize(("rooms", "seeds"), [(2, range(12)), (4, range(6)), (8, range(2))])
def test_first_plans_of_generated_jobs_break_no_rule(rooms: int, seeds: range) -> None:
    found = list(planned(rooms, seeds))
    assert len(found) >= len(seeds) * 3 // 4
    for job, steps, plan in found:
        assert judge(plan, job, steps) == (), job.name


@pytest.mark.parametrize("minutes", [-10, 10])
def test_one_act_moved_ten_minutes_is_named_unless_it_moved_into_free_time(minutes: int) -> None:
    for job, steps, plan in planned(2, range(1)):
        silent = []
        for n, act in enumerate(plan.steps):
            moved = replace(act, start=act.start + minutes, finish=act.finish + minutes)
            found = judge(replace(plan, steps=(*plan.steps[:n], moved, *plan.steps[n + 1 :])), job, steps)
            assert not found or any(act.id in broken.steps for broken in found), (act.id, found)
            if not found:
                silent.append(act.id)
        assert len(silent) <= (0 if minutes < 0 else len(plan.steps) // 5), silent


@pytest.mark.parametrize(("start", "finish"), [(-10, 0), (10, 0), (0, -10), (0, 10)])
def test_one_end_of_any_act_moved_is_always_named(start: int, finish: int) -> None:
    for job, steps, plan in planned(2, range(1)):
        for n, act in enumerate(plan.steps):
            moved = replace(act, start=act.start + start, finish=act.finish + finish)
            found = judge(replace(plan, steps=(*plan.steps[:n], moved, *plan.steps[n + 1 :])), job, steps)
            assert any(act.id in broken.steps for broken in found), act.id


def test_plans_read_back_from_json_are_judged_the_same() -> None:
    for job, steps, plan in planned(4, range(2)):
        assert judge(from_json(to_json(plan), job.zone.key), job, steps) == ()


def test_new_plans_in_the_middle_of_the_work_break_no_rule_that_the_facts_do_not_break() -> None:
    judged = 0
    for job, steps, plan in planned(2, range(4)):
        for part in (3, 6):
            until = plan.made_at + (plan.finish - plan.made_at) * part // 10
            events = any_record(plan, until, seed=part)
            again = laid(job, steps, until, events)
            if again is not None:
                judged += 1
                assert judge(again, job, steps, events) == (), (job.name, part)
    assert judged >= 4


def test_eight_rooms_are_judged_in_a_blink() -> None:
    ((job, steps, plan),) = planned(8, range(3, 4))
    took = []
    for _ in range(5):
        began = time.process_time()
        judge(plan, job, steps)
        took.append(time.process_time() - began)
    assert min(took) < 0.15, f"{min(took) * 1000:.0f} ms for {len(plan.steps)} acts"


def test_the_same_seed_gives_the_same_job_and_sizes_are_as_meant() -> None:
    assert any_job(7, 4) == any_job(7, 4)
    assert any_job(7, 4) != any_job(8, 4)
    for rooms, low, high in ((2, 28, 42), (4, 52, 80), (6, 85, 120), (8, 110, 145)):
        sizes = [len(any_steps(any_job(seed, rooms))) for seed in range(8)]
        assert low <= sum(sizes) / len(sizes) <= high, (rooms, sizes)
