"""Jobs that ask for too much, and days that break: what clashes, the ways out, and what each of them costs."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from planning.job.choice import Choice, EventDraft
from planning.job.events import Event
from planning.job.hours import instant, local
from planning.job.job import Answer, ClockSpan, House, Job
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.schedule.build.network_of import build
from planning.schedule.choices import MOST_CHOICES, make_choices
from planning.schedule.clash import folding, job_clash
from planning.schedule.first_plan import first_plan
from planning.schedule.judge import judge
from planning.schedule.make_plan import make_plan
from planning.schedule.network import Network, Solution
from planning.schedule.no_plan import NoPlan
from planning.schedule.solver import Limits, solve
from planning.schedule.ways_out.costs import cost_of
from planning.schedule.ways_out.easing import Easing
from planning.schedule.ways_out.start_rules import wide_open
from planning.trade.expand import expand
from planning.trade.noted import as_noted
from tests.any_job import any_job
from tests.impossible_job import KINDS, impossible_job, morning, wet_room
from tests.planning.schedule.network_check import broken
from tui.reports import accepted_body


def quickly(network: Network, hint: Solution | None, bound: int) -> Solution:
    """The solver with a small part of its usual effort: enough for what these tests ask."""
    return solve(network, hint, Limits(effort=0.02, finish_bound=bound))


def noted(drafts: Sequence[EventDraft], events: Sequence[Event], at: Instant) -> tuple[Event, ...]:
    """The drafts written into the record, as taking a choice writes them."""
    moment = datetime.fromtimestamp(at * 60, UTC)
    count = len(events)
    return (*events, *(Event(f"n{count + n}", d.kind, moment, d.body, count + n) for n, d in enumerate(drafts, 1)))


def accepted(plan: Plan, seq: int = 1) -> Event:
    """The plan taken, as the program writes it."""
    at = datetime.fromtimestamp(plan.made_at * 60, UTC)
    return Event(f"e{seq}", "plan_accepted", at, accepted_body(plan, ""), seq)


def late(step: str, at: Instant, until: Instant, seq: int = 2) -> Event:
    return Event(f"e{seq}", "late", datetime.fromtimestamp(at * 60, UTC), {"step": step, "until": until}, seq)


# what clashes


@pytest.mark.parametrize("seed", range(len(KINDS)), ids=KINDS)
def test_without_any_one_of_the_facts_that_clash_the_others_fit_and_with_all_nothing_does(seed: int) -> None:
    assert 2 <= check_smallest(impossible_job(seed)) <= 8


def check_smallest(job: Job) -> int:
    """Plans with the facts of the clash but one, each in turn; returns how many they are."""
    built = build(job, expand(job).steps, (), morning(job))
    found = job_clash(built, ())
    assert found.smallest
    easing, fold = Easing(*wide_open(built, ())), folding(built)
    keys = {fact.key for fact in found.facts}
    of_clash = [fact for fact in easing.facts() if fold(fact) in keys]
    assert solve(easing.keeping(of_clash), None, Limits(stages=())).status == "none"
    for left_out in keys:
        network = easing.keeping([fact for fact in of_clash if fold(fact) != left_out])
        plan = first_plan(network) or solve(network, None, Limits(stages=()))
        assert plan.status != "none", left_out
        assert broken(network, plan) == [], left_out
    return len(keys)


def test_the_facts_of_a_clash_are_named_as_a_setter_names_them() -> None:
    job = impossible_job(KINDS.index("delivery"))
    with pytest.raises(NoPlan) as none_fits:
        make_plan(job, (), morning(job), solve=quickly)
    abouts = [fact.about for fact in none_fits.value.clash]
    assert abouts[:2] == ["inspector", "delivery"]
    assert none_fits.value.reasons[1] == str(none_fits.value.clash[1])
    assert "membrane-liquid for the shower room comes by" in none_fits.value.reasons[1]


# the ways out of a job that fits no plan


@pytest.mark.parametrize("seed", range(2), ids=KINDS[:2])
def test_each_way_out_noted_in_the_record_gives_a_judged_plan_at_the_cost_it_named(seed: int) -> None:
    job = impossible_job(seed)
    now = morning(job)
    ways = make_choices(job, (), now, solve=quickly)
    assert 1 <= len(ways) <= MOST_CHOICES
    for way in ways:
        check_applied(job, (), now, way)


def check_applied(job: Job, events: Sequence[Event], now: Instant, choice: Choice) -> None:
    record = noted(choice.events, events, now)
    plan = make_plan(job, record, now, solve=quickly)
    as_it_is, steps = as_noted(job, expand(job).steps, record, now)
    assert judge(plan, as_it_is, steps, record) == plan.broken
    assert tuple(each.words for each in plan.broken) == choice.broke
    assert plan.finish == choice.finish
    assert cost_of(job, events, choice.events, plan, choice.cost.asks) == choice.cost
    if not choice.events:
        return
    taken = make_plan(job, (*record, accepted(plan, len(record) + 1)), now, improve=False)
    assert (taken.finish, taken.moved) == (plan.finish, ())


def test_the_minutes_of_a_stay_are_minutes_really_worked_after_the_usual_leave() -> None:
    job = replace(wet_room(1), aim="finish")
    plan = make_plan(job, (), morning(job), improve=False)
    today = [s for s in plan.steps if local(job.zone, s.start).date() == job.start]
    last = max(today, key=lambda step: step.finish)
    now = last.start
    events = (accepted(plan), late(last.id, now, last.start + 90))
    for choice in make_choices(job, events, now, solve=quickly):
        for draft in choice.events:
            if draft.kind != "stay_until" or "from" in draft.body:
                continue
            until = int(draft.body["until"])
            leave = instant(job.zone, local(job.zone, until).date(), job.hours.finish)
            assert until - leave == draft.body["value"] > 0
            worked = [s.finish for s in choice.plan.steps if draft.body["who"] in s.people]
            assert until - job.hours.clean_up_min in worked


# days that break


def late_day(seed: int) -> tuple[Job, tuple[Event, ...], Instant]:
    """A job whose first step runs three hours late on the first morning."""
    job = wet_room(seed)
    plan = make_plan(job, (), morning(job), improve=False)
    first = min(plan.steps, key=lambda step: (step.start, step.id))
    return job, (accepted(plan), late(first.id, first.start, first.start + 180)), first.start


def test_a_late_day_has_at_most_three_choices_each_true_to_its_word() -> None:
    job, events, at = late_day(1)
    choices = make_choices(job, events, at, solve=quickly)
    assert 1 <= len(choices) <= MOST_CHOICES
    assert len({(c.title, c.costs, c.finish) for c in choices}) == len(choices)
    for choice in choices:
        assert choice.costs
        if choice.kind != "later":
            check_applied(job, events, at, choice)


TROUBLES = ("late", "gone", "window", "visit")


@pytest.mark.parametrize("trouble", TROUBLES)
@pytest.mark.parametrize("seed", range(1))
def test_a_broken_day_always_has_a_whole_plan_that_breaks_only_what_it_names(seed: int, trouble: str) -> None:
    job = any_job(seed, 2)
    now = morning(job)
    try:
        plan = make_plan(job, (), now, improve=False)
    except NoPlan:
        job = any_job(seed, 2, promises=False)
        plan = make_plan(job, (), now, improve=False)
    ranked = sorted(plan.steps, key=lambda step: (step.start, step.id))
    at, news = broken_day(trouble, job, plan, ranked[len(ranked) // 3].start)
    events = noted(news, [accepted(plan)], at)
    answer = make_plan(job, events, at, improve=False)
    assert {s.id for s in answer.steps} >= {s.id for s in plan.steps}
    _, steps = as_noted(job, expand(job).steps, events, at)
    assert judge(answer, job, steps, events) == answer.broken
    assert all(each.words and each.steps for each in answer.broken)
    if trouble in ("late", "visit"):
        assert len(answer.broken) <= 4


def broken_day(trouble: str, job: Job, plan: Plan, at: Instant) -> tuple[Instant, list[EventDraft]]:
    """When it is, and what was noted then."""
    coming = [step for step in plan.steps if step.start >= at and not step.id.startswith("errand")]
    if trouble == "late":
        step = coming[0]
        return at, [EventDraft("late", {"step": step.id, "until": step.start + 240})]
    if trouble == "gone":
        return at, [EventDraft("gone", {"who": "you", "until": at + 40 * 1440})]
    if trouble == "visit" and job.visits:
        return at, [EventDraft("visit_moved", {"visit": job.visits[0].id, "until": at + 60})]
    windows = [s for s in coming if any(link.within_min for link in s.after)]
    step = windows[0] if windows else coming[-1]
    return at, [EventDraft("late", {"step": step.id, "until": step.start + 6 * 1440})]


# what may be agreed


def agreed(job: Job, **body: object) -> tuple[Event, ...]:
    return noted([EventDraft("agreed", body)], (), morning(job))


def test_a_night_given_up_is_asked_no_more_and_only_that_night() -> None:
    job = replace(any_job(0, 2, promises=False), house=House(toilet_weekdays=frozenset(range(7))))
    day = job.start + timedelta(days=1)
    house = as_noted(job, (), agreed(job, what="night", day=day.isoformat()))[0].house
    assert [house.asks_toilet(job.start + timedelta(days=n)) for n in range(3)] == [True, False, True]


def test_quiet_hours_given_up_on_a_day_let_the_saw_run_on_that_day_only() -> None:
    job = wet_room(0)
    job = replace(job, house=House(quiet=(ClockSpan(time(6), time(18)),)))
    with pytest.raises(NoPlan) as none_fits:
        make_plan(job, (), morning(job), solve=quickly)
    assert ("house", "quiet") in [fact.key for fact in none_fits.value.clash]
    days = [job.start + timedelta(days=n) for n in range(60)]
    record = [EventDraft("agreed", {"what": "quiet", "day": day.isoformat()}) for day in days]
    plan = make_plan(job, noted(record, (), morning(job)), morning(job), improve=False)
    assert plan.broken == ()


def test_an_answer_asked_for_sooner_lets_its_step_start_sooner() -> None:
    job = wet_room(0)
    free = make_plan(job, (), morning(job), improve=False)
    grout = next(step for step in free.steps if step.kind == "grout")
    key = grout.id.partition("#")[0].rsplit("/", 1)[1]
    late_by = grout.start + 5 * 1440
    owed = replace(job, answers=(Answer("answer/color", "owner", "grout color", grout.room, key, late_by),))
    waits = make_plan(owed, (), morning(job), improve=False)
    record = agreed(owed, what="answer", id="answer/color", until=grout.start)
    sooner = make_plan(owed, record, morning(job), improve=False)
    assert sooner.broken == ()
    assert sooner.finish < waits.finish


def test_what_cannot_be_read_in_a_record_changes_nothing() -> None:
    job = any_job(0, 2)
    for body in ({"what": "night", "day": "soon"}, {"what": "answer"}, {"what": "a new world"}, {}):
        assert as_noted(job, (), agreed(job, **body))[0] is job


def test_somebody_new_works_the_hours_he_was_given_and_no_others() -> None:
    job = wet_room(0)
    begin = instant(job.zone, date(2026, 6, 2), time(8))
    drafts = [
        EventDraft("came", {"who": "one more setter", "can": ["all"]}),
        EventDraft("stay_until", {"who": "one more setter", "from": begin, "until": begin + 300, "value": 300}),
    ]
    plan = make_plan(job, noted(drafts, (), morning(job)), morning(job), improve=False)
    assert plan.broken == ()
    new = next(person for person in plan.people if person.name == "one more setter")
    assert new.hours == ((begin + job.hours.set_up_min, begin + 300 - job.hours.clean_up_min),)
