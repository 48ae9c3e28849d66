"""The first plan keeps every constraint, is the same every time, and there is one where there is any."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from planning.schedule.first_plan import first_plan
from planning.schedule.network import Crew, Lag, Network, Night, Off, Overrun, Task, Toilet
from tests.any_network import any_network, small_network
from tests.planning.schedule import check_for_first_plan, network_check
from tests.planning.schedule.every_plan import best_finish

DAYS = tuple((day * 288 + 96, day * 288 + 192) for day in range(10))


def worker(ticks: int, name: str = "you") -> Crew:
    return Crew((name,), tuple((a, b - ticks) for a, b in DAYS))


def job(*tasks: Task, **more: object) -> Network:
    fields = {"lags": (), "gear": {}, "now": 0, "person_days": {"you": DAYS}, **more}
    return Network(origin=0, horizon=2880, tasks=tasks, **fields)  # type: ignore[arg-type]  # fields by name


def test_first_plans_of_small_knots_pass_two_independent_judges():
    planned = 0
    for seed in range(500):
        network = small_network(seed, 3 + seed % 6)
        plan = first_plan(network)
        if plan is not None:
            planned += 1
            assert not check_for_first_plan.broken(network, plan), seed
            assert not network_check.broken(network, plan), seed
    assert planned > 250


@pytest.mark.parametrize("rooms", [2, 4, 6, 8])
def test_whole_jobs_get_a_first_plan_that_passes_two_independent_judges(rooms):
    planned = 0
    for seed in range(6):
        network = any_network(seed, rooms)
        plan = first_plan(network)
        if plan is not None:
            planned += 1
            assert not check_for_first_plan.broken(network, plan), seed
            assert not network_check.broken(network, plan), seed
    assert planned >= 5


def test_a_first_plan_never_beats_the_best_of_all_plans_and_is_never_found_where_there_is_none():
    for seed in range(40):
        network = replace(small_network(seed, 3), dues=())
        best, plan = best_finish(network), first_plan(network)
        assert plan is None or (best is not None and plan.finish >= best), seed


def test_more_tries_never_make_a_worse_plan():
    network = any_network(3, 4)
    plans = [first_plan(network, tries) for tries in (3, 12)]
    values = [(p.stages["late"], p.finish, p.stages["person_days"]) for p in plans if p is not None]
    assert values[1] <= values[0]


def test_same_network_same_plan_whatever_the_hash_seed():
    code = (
        "from tests.any_network import any_network; from planning.schedule.first_plan import first_plan;"
        "p = first_plan(any_network(5, 4)); print(sorted(p.starts.items()), sorted(p.crews.items()), p.ways)"
    )
    root = Path(__file__).resolve().parents[3]
    answers = set()
    for seed in ("1", "2"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        done = subprocess.run([sys.executable, "-c", code], cwd=root, env=env, capture_output=True, check=True)
        answers.add(done.stdout)
    assert len(answers) == 1


def test_a_window_pulls_the_earlier_task_next_to_the_later_one():
    early, late = Task("prime", 6, (worker(6),)), Task("pour", 12, (worker(12),), release=500)
    plan = first_plan(job(early, late, lags=(Lag("prime", "pour", ((0, 6),), ((0, 24),)),)))
    assert plan is not None
    assert plan.starts["pour"] >= 500
    assert 6 <= plan.starts["pour"] - plan.finishes["prime"] <= 24


def test_a_visit_keeps_its_way_in_free():
    visit = Task("visit", 6, (Crew((), ((400, 400),)),), ways=(("hall",),), counts=False)
    coat = Task("coat", 12, (worker(12),), ways=(("hall",),), off=(Off("hall", "walk", ((0, 288),)),))
    plan = first_plan(job(coat, visit))
    assert plan is not None
    assert plan.starts["coat"] >= 406 or plan.finishes["coat"] + 288 <= 400


def test_the_only_toilet_is_back_before_each_promised_night():
    out = Task("out", 12, (worker(12),))
    back = Task("back", 12, (worker(12),))
    nights = tuple(Night(day * 288 + 216, day * 288 + 360) for day in range(3))
    network = job(
        out, back,
        lags=(Lag("out", "back", ((0, 80),)),), toilets=(Toilet("bath", ((),), ("out",), "back"),), nights=nights,
    )  # fmt: skip
    plan = first_plan(network)
    assert plan is not None
    assert not network_check.broken(network, plan)
    assert plan.starts["out"] >= nights[-1].finish, "out and back with its wait do not fit into one working day"


def test_two_things_that_happened_at_once_are_not_our_fault():
    one, other = (Task(n, 10, (worker(10),), fixed=(96, 110), ways=(("hall",),)) for n in ("one", "other"))
    shut = replace(one, off=(Off("hall", "walk", ((0, 50),)),))
    next_task = Task("next", 5, (worker(5),), ways=(("hall",),))
    plan = first_plan(job(shut, other, next_task, now=105))
    assert plan is not None
    assert plan.starts["next"] >= 160


def test_what_cannot_be_kept_is_named_when_the_plan_may_bend():
    done = Task("prime", 6, (worker(6),), fixed=(96, 102))
    pour = Task("pour", 12, (worker(12),), release=600)
    network = job(done, pour, now=102, lags=(Lag("prime", "pour", within=((0, 100),)),))
    assert first_plan(network) is None
    plan = first_plan(network, elastic=True)
    assert plan is not None
    assert plan.overrun == (Overrun("within", "pour", "prime", plan.starts["pour"] - 202),)
    assert not network_check.broken(network, plan)
