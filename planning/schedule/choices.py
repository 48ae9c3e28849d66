"""What the setter can do when the day breaks: at most three plans, each with its cost, taken as events."""

from collections.abc import Sequence
from datetime import UTC, datetime

from planning.job.choice import Choice, EventDraft
from planning.job.events import Event
from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.words import Instant, Minutes
from planning.quantities.show import show_minutes
from planning.schedule.make_plan import Solve, make_plan
from planning.schedule.no_plan import NoPlan

MOST_CHOICES = 3
STAYS_MIN: tuple[Minutes, ...] = (20, 40, 60, 90, 120)


def make_choices(job: Job, events: Sequence[Event], now: Instant, *, solve: Solve | None = None) -> list[Choice]:
    """At most three choices, best first: fewest broken facts, earliest finish, fewest steps moved.

    Two that differ in nothing the setter pays for are one. Raises NoPlan when nothing fits at all.
    """
    best = make_plan(job, events, now, solve=solve)
    found = [_choice(job, "Change the order", best, ())]
    found += _stay_late(job, events, now, best, solve)
    try:
        pushed = make_plan(job, events, now, improve=False)
        found.append(_choice(job, "Keep the order, all later", pushed, ()))
    except NoPlan:
        pass
    found.sort(key=lambda choice: (len(choice.broke), choice.finish, len(choice.plan.moved)))
    kept: list[Choice] = []
    for choice in found:
        if not any(_same(choice, other) for other in kept):
            kept.append(choice)
    return kept[:MOST_CHOICES]


def _same(one: Choice, other: Choice) -> bool:
    """Do two choices cost the same and leave the same plan, or is the later one worse in every way?"""
    if one.events == other.events and (one.finish, one.broke) == (other.finish, other.broke):
        return True
    return [(s.id, s.start) for s in one.plan.steps] == [(s.id, s.start) for s in other.plan.steps]


def _stay_late(
    job: Job, events: Sequence[Event], now: Instant, best: Plan, solve: Solve | None
) -> list[Choice]:  # fmt: skip
    """The shortest stay tonight that saves the finish or a broken fact, if any does."""
    today = local(job.zone, now).date()
    leave = instant(job.zone, today, job.hours.finish)
    if now >= leave or not _works_today(best, now, leave):
        return []
    for minutes in STAYS_MIN:
        draft = EventDraft("stay_until", {"until": leave + minutes, "value": minutes})
        tried = [*events, _as_event(draft, events, now)]
        try:
            quick = make_plan(job, tried, now, improve=False)
        except NoPlan:
            continue
        if (len(quick.broken), quick.finish) < (len(best.broken), best.finish):
            plan = make_plan(job, tried, now, solve=solve)
            return [_choice(job, f"Stay till {_clock(job, leave + minutes)}", plan, (draft,))]
    return []


def _works_today(plan: Plan, now: Instant, leave: Instant) -> bool:
    return any(now <= step.start < leave for step in plan.steps)


def _as_event(draft: EventDraft, events: Sequence[Event], now: Instant) -> Event:
    last = max((event.seq for event in events), default=0)
    return Event(f"draft-{last + 1}", draft.kind, datetime.fromtimestamp(now * 60, UTC), draft.body, last + 1)


def _choice(job: Job, title: str, plan: Plan, drafts: tuple[EventDraft, ...]) -> Choice:
    return Choice(title, _costs(job, plan, drafts), plan.finish, plan, drafts, tuple(b.words for b in plan.broken))


def _costs(job: Job, plan: Plan, drafts: tuple[EventDraft, ...]) -> str:
    costs = [f"{show_minutes(int(d.body['value']))} each, tonight" for d in drafts if d.kind == "stay_until"]
    if plan.moved:
        count = len(plan.moved)
        costs.append(f"{count} step{'s move' if count > 1 else ' moves'}")
    costs += [broken.words for broken in plan.broken[:1]]
    return "; ".join(costs) or "nothing"


def _clock(job: Job, at: Instant) -> str:
    moment = local(job.zone, at)
    return f"{(moment.hour - 1) % 12 + 1}:{moment.minute:02}"
