"""When no plan fits, the facts that clash: enough of them, and not one too many, by trying everything."""

from collections.abc import Collection, Sequence
from dataclasses import replace

import pytest

from planning.schedule.network import Crew, Due, Lag, Network, Task
from planning.schedule.ways_out.easing import Easing, Fact, StartRule
from planning.schedule.ways_out.smallest import Smallest, has_plan, smallest
from tests.planning.schedule import network_brute
from tests.planning.schedule.network_check import broken

HOURS = ((0, 10), (20, 30), (40, 50))
EFFORT = 0.2


def clash(network: Network, rules: Sequence[StartRule] = (), dues: bool = True) -> Smallest[Fact]:
    easing = Easing(network, rules, dues)
    return smallest(easing.facts(), lambda kept: has_plan(easing.keeping(kept), EFFORT))


def can_be_kept(network: Network) -> bool:
    """Is there a plan with nothing broken, by trying everything?"""
    return any(not broken(network, plan) for plan in network_brute.plans(network))


def kept(network: Network, facts: Collection[Fact], dues: bool = True) -> Network:
    return Easing(network, (), dues).keeping(facts)


@pytest.mark.parametrize("seed", range(24))
def test_the_facts_named_clash_and_each_is_needed_by_trying_everything(seed: int) -> None:
    network = network_brute.tiny(seed)
    found = clash(network)
    assert found.settled
    if not found.facts:
        assert can_be_kept(kept(network, Easing(network, (), True).facts()))
        return
    assert found.smallest
    assert not can_be_kept(kept(network, found.facts))
    for fact in found.facts:
        assert can_be_kept(kept(network, [other for other in found.facts if other != fact])), fact


def network(*tasks: Task, **more) -> Network:  # type: ignore[no-untyped-def]  # a shorthand
    people = {name for one in tasks for crew in one.crews for name in crew.people}
    filled = {"lags": (), "gear": {}, "person_days": dict.fromkeys(sorted(people), HOURS), **more}
    return Network(origin=0, horizon=60, now=0, tasks=tasks, **filled)


def task(name: str, ticks: int, who: str = "ann", **more) -> Task:  # type: ignore[no-untyped-def]  # a shorthand
    return Task(name, ticks, (Crew((who,), tuple((a, b - ticks) for a, b in HOURS)),), **more)


def test_a_promise_against_a_delivery_names_just_those() -> None:
    steps = (task("tile", 5, release=22), task("else", 3, "ben"))
    found = clash(network(*steps, dues=(Due("kitchen", (("tile", ((0, 0),)),), 24),)))
    assert set(found.facts) == {("release", "tile"), ("due", "kitchen")}
    assert found.smallest


def test_a_promise_that_may_be_late_clashes_with_nothing() -> None:
    steps = (task("tile", 5, release=22),)
    assert clash(network(*steps, dues=(Due("kitchen", (("tile", ((0, 0),)),), 24),)), dues=False).facts == ()


def test_a_chain_of_waits_against_an_inspection_names_the_chain() -> None:
    steps = (task("coat", 2), task("fill", 2), Task("visit", 1, (Crew((), ((24, 25),)),), counts=False))
    lags = (Lag("coat", "fill", ((0, 16),)), Lag("fill", "visit", ((0, 20),)))
    found = clash(network(*steps, lags=lags))
    assert set(found.facts) == {("wait", "coat", "fill"), ("wait", "fill", "visit"), ("visit", "visit")}


def test_one_person_too_few_names_the_person() -> None:
    steps = (task("a", 6), task("b", 6))
    found = clash(network(*steps, dues=tuple(Due(name, ((name, ((0, 0),)),), 10) for name in "ab")))
    assert set(found.facts) == {("person", "ann"), ("due", "a"), ("due", "b")}


def test_the_wait_between_two_pieces_can_be_given_up_but_not_their_order() -> None:
    first, second = (task(f"tile#{n}", 4, piece_of="tile", piece=n) for n in (1, 2))
    lags = (Lag("tile#1", "tile#2", ((0, 3),)),)
    late = (Due("second", (("tile#2", ((0, 0),)),), 10),)
    found = clash(network(first, second, lags=lags, dues=late))
    assert set(found.facts) == {("wait", "tile#1", "tile#2"), ("due", "second")}
    sooner = (Due("second", (("tile#2", ((0, 0),)),), 7),)
    assert set(clash(network(first, second, lags=lags, dues=sooner)).facts) == {("due", "second")}


def test_hours_that_leave_no_time_for_a_window_are_named_with_it() -> None:
    anywhere = Crew(("ann",), ((0, 58),))
    steps = (replace(task("coat 1", 2), crews=(anywhere,)), replace(task("coat 2", 2), crews=(anywhere,)))
    lags = (Lag("coat 1", "coat 2", ((0, 9),), ((0, 9),)),)
    hours = StartRule(("hours",), {each.id: (Crew(("ann",), ((0, 8), (30, 38))),) for each in steps})
    found = clash(network(*steps, lags=lags), (hours,))
    assert set(found.facts) == {("hours",), ("wait", "coat 1", "coat 2"), ("within", "coat 1", "coat 2")}


def test_past_the_questions_allowed_nothing_is_named() -> None:
    easing = Easing(network(task("a", 6), task("b", 6), dues=(Due("a", (("a", ((0, 0),)),), 3),)), (), True)
    found = smallest(easing.facts(), lambda kept: has_plan(easing.keeping(kept), EFFORT), most=0)
    assert (found.facts, found.settled) == ((), False)
