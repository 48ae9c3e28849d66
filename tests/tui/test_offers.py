"""Choices that come while the setter looks: a number never comes to mean another plan."""

from dataclasses import replace

from planning.job.choice import Choice
from tests.tui.bench import JOB, ChainPlanner, at
from tui.offers import best_of, merged

PLAN = ChainPlanner().plan(JOB, (), at(7))
LATER = replace(PLAN, steps=tuple(replace(s, start=s.start + 10, finish=s.finish + 10) for s in PLAN.steps))
MUCH_LATER = replace(PLAN, steps=tuple(replace(s, start=s.start + 90, finish=s.finish + 90) for s in PLAN.steps))


def choice(title: str, plan: object) -> Choice:
    return Choice(title, "", 0, plan)  # type: ignore[arg-type]  # made from a real plan above


def test_what_was_shown_keeps_its_number_though_something_better_is_found() -> None:
    shown = [choice("all later", LATER)]
    found = [choice("stay till 4", PLAN), choice("drop a day", MUCH_LATER), choice("in other words", LATER)]
    offers = merged(shown, found)
    assert [each.plan for each in offers] == [LATER, PLAN, MUCH_LATER]
    assert offers[0].title == "in other words"
    assert best_of(offers, found) == 1


def test_never_more_than_three_and_never_one_twice() -> None:
    offers = merged([choice("a", LATER)], [choice("b", LATER), choice("c", PLAN), choice("d", PLAN)])
    assert [each.title for each in offers] == ["b", "d"]
    assert best_of(offers, [choice("x", LATER)]) == 0
