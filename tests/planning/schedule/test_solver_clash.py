"""When no plan fits, the facts that clash: enough of them, and not one too many."""

from collections.abc import Collection
from dataclasses import replace

import pytest

from planning.schedule.network import Crew, Due, Lag, Network, Task
from planning.schedule.solver.clash import find_clash
from planning.schedule.solver.model import Fact
from planning.schedule.solver.reach import NoPlan
from tests.planning.schedule import network_brute
from tests.planning.schedule.network_check import broken

HOURS = ((0, 10), (20, 30), (40, 50))


def keeping(network: Network, facts: Collection[Fact]) -> Network:
    """The network with these facts only; hours and the order of pieces always hold. ("wet" is left as it is.)"""
    lags = [
        replace(
            lag,
            wait=lag.wait if ("wait", lag.before, lag.after) in facts else ((0, -99),),
            within=lag.within if ("within", lag.before, lag.after) in facts else None,
        )
        for lag in network.lags
    ]
    return replace(
        network,
        tasks=tuple(_keeping(network, task, facts) for task in network.tasks),
        lags=tuple(lags),
        gear={name: most if ("gear", name) in facts else 99 for name, most in network.gear.items()},
        nights=tuple(night for night in network.nights if ("night", str(night.start)) in facts),
        dues=tuple(due for due in network.dues if ("due", due.what) in facts),
    )


def _keeping(network: Network, task: Task, facts: Collection[Fact]) -> Task:
    def renamed(crew: Crew) -> Crew:
        people = tuple(p if ("person", p) in facts else f"{p} at {task.id}" for p in crew.people)
        visit = not crew.people and task.fixed is None and ("visit", task.id) not in facts
        if visit:
            return Crew((), ((network.now, network.horizon - task.ticks),))
        return replace(crew, people=people)

    return replace(
        task,
        crews=tuple(renamed(crew) for crew in task.crews),
        off=tuple(off for off in task.off if ("floor", off.what, off.floor) in facts),
        release=task.release if ("release", task.id) in facts else 0,
    )


def can_be_kept(network: Network) -> bool:
    """Is there a plan with nothing late, by trying everything?"""
    for plan in network_brute.plans(network):
        on_time = all(
            plan.finishes[task] + network_brute.at(curve, plan.finishes[task]) <= due.tick or _settled(network, task)
            for due in network.dues
            for task, curve in due.ends
        )
        if on_time and not broken(network, plan):
            return True
    return False


def _settled(network: Network, name: str) -> bool:
    return any(task.id == name and task.fixed is not None for task in network.tasks)


@pytest.mark.parametrize("seed", range(24))
def test_the_facts_named_clash_and_each_is_needed_by_trying_everything(seed):
    network = network_brute.tiny(seed)
    try:
        found = find_clash(network)
    except NoPlan:
        return
    assert found.settled
    if not found.facts:
        assert can_be_kept(network)
        return
    assert found.smallest
    if any(fact[0] == "wet" for fact in found.facts):
        return
    no_wet = replace(network, tasks=tuple(_dry(task) for task in network.tasks))
    assert not can_be_kept(keeping(network, found.facts))
    for fact in found.facts:
        assert can_be_kept(keeping(no_wet, [other for other in found.facts if other != fact])), fact


def _dry(task: Task) -> Task:
    keeps_wet_off = any(off.what == "wet" for off in task.off)
    return task if keeps_wet_off else replace(task, wet_on=())


def network(*tasks: Task, **more) -> Network:  # type: ignore[no-untyped-def]  # a shorthand
    people = {name for one in tasks for crew in one.crews for name in crew.people}
    filled = {"lags": (), "gear": {}, "person_days": dict.fromkeys(sorted(people), HOURS), **more}
    return Network(origin=0, horizon=60, now=0, tasks=tasks, **filled)


def task(name: str, ticks: int, who: str = "ann", **more) -> Task:  # type: ignore[no-untyped-def]  # a shorthand
    return Task(name, ticks, (Crew((who,), tuple((a, b - ticks) for a, b in HOURS)),), **more)


def test_a_promise_against_a_delivery_names_just_those():
    steps = (task("tile", 5, release=22), task("else", 3, "ben"))
    problem = network(*steps, dues=(Due("kitchen", (("tile", ((0, 0),)),), 24),))
    found = find_clash(problem)
    assert set(found.facts) == {("release", "tile"), ("due", "kitchen")}
    assert found.smallest


def test_a_chain_of_waits_against_an_inspection_names_the_chain():
    steps = (task("coat", 2), task("fill", 2), Task("visit", 1, (Crew((), ((24, 25),)),), counts=False))
    lags = (Lag("coat", "fill", ((0, 16),)), Lag("fill", "visit", ((0, 20),)))
    found = find_clash(network(*steps, lags=lags))
    assert set(found.facts) == {("wait", "coat", "fill"), ("wait", "fill", "visit"), ("visit", "visit")}


def test_one_person_too_few_names_the_person():
    steps = (task("a", 6), task("b", 6))
    dues = tuple(Due(name, ((name, ((0, 0),)),), 10) for name in "ab")
    found = find_clash(network(*steps, dues=dues))
    assert set(found.facts) == {("person", "ann"), ("due", "a"), ("due", "b")}


def test_a_finish_that_cannot_be_is_a_fact_like_any_other():
    found = find_clash(network(task("a", 6), task("b", 6)), finish_by=25)
    assert set(found.facts) == {("person", "ann"), ("finish", "25")}
    assert find_clash(network(task("a", 6), task("b", 6)), finish_by=26).facts == ()


def test_a_step_that_fits_into_nobodys_day_is_said_at_once():
    with pytest.raises(NoPlan, match="long"):
        find_clash(network(task("long", 12)))
