"""What the setter can do when the day breaks or no plan fits: at most three plans, each with its cost, taken as events.

Every choice was found by really planning with the events it takes. Noting those events and planning again gives the
same plan at the same cost.
"""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass

from planning.job.choice import Choice, Cost, EventDraft
from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.progress import read_progress
from planning.job.words import Instant
from planning.schedule.make_plan import Solve, make_plan
from planning.schedule.no_plan import NoPlan
from planning.trade.noted import noted_job

MOST_CHOICES = 3

PERSON_DAY_MIN = 480
DRIVE_MIN = 60
ASK_MIN = 30
PACKAGE_MIN = 15
"""What a day of somebody, a drive, a favor and a bag count for against minutes of overtime, when choices are ranked
(ours, no source): shown is what each costs, not these."""

Told = Callable[[Sequence[Choice]], None]


def make_choices(
    job: Job, events: Sequence[Event], now: Instant, *,
    solve: Solve | None = None, on_more: Told | None = None, stopped: Callable[[], bool] = lambda: False,
) -> list[Choice]:  # fmt: skip
    """At most three choices, the one the aim likes best first; ways out when no plan fits.

    Of two that differ in nothing the setter pays for, one is shown. `on_more` is told of the choices found so far, as
    they come; once `stopped` says so nothing more is tried. Raises NoPlan when nothing fits and no way was found.
    """
    table = _Table(job, events, now, solve, on_more, stopped)
    try:
        best = make_plan(job, events, now, solve=solve)
    except NoPlan as none_fits:
        table.add_ways([fact.key[0] for fact in none_fits.clash] or None)
        if not table.found:
            raise
        return table.best()
    table.add("Change the order", "order", best, (), ())
    with suppress(NoPlan):
        table.add("Keep the order, all later", "later", make_plan(job, events, now, improve=False), (), ())
    table.add_ways(_heads(job, events, best))
    return table.best()


def _heads(job: Job, events: Sequence[Event], best: Plan) -> list[str]:
    """The kinds of facts in the way of a plan that breaks some, misses a promise, or puts work off; none if it does
    none of these."""
    accepted = read_progress(job, events).accepted
    heads = {head for broken in best.broken for head in HEADS_OF_RULE.get(broken.rule, ())}
    if _late(job, events, best):
        heads |= {"due", "hours", "waits", "person", "absent", "delivery", "answer"}
    zone = job.zone
    put_off = accepted is not None and any(
        local(zone, moved.was).date() < local(zone, moved.now).date() for moved in best.moved
    )
    if put_off:
        heads |= {"hours", "absent", "person", "waits"}
    return sorted(heads)


def _late(job: Job, events: Sequence[Event], plan: Plan) -> int:
    from planning.schedule.ways_out.costs import promises_late

    return promises_late(job, events, (), plan)


HEADS_OF_RULE: dict[int, tuple[str, ...]] = {
    2: ("within", "hours"),
    3: ("hours", "house"),
    4: ("person", "absent"),
    9: ("delivery", "answer"),
    10: ("visit", "hours", "waits"),
    11: ("nights", "waits", "hours"),
    14: ("hours",),
}
"""By the number of a broken rule, the facts on which giving way may help."""


@dataclass
class _Ranked:
    choice: Choice
    key: tuple[object, ...]


class _Table:
    """The choices found so far."""

    def __init__(
        self, job: Job, events: Sequence[Event], now: Instant, solve: Solve | None, on_more: Told | None,
        stopped: Callable[[], bool],
    ) -> None:  # fmt: skip
        self.job, self.events, self.now, self.solve = job, tuple(events), now, solve
        self.noted = noted_job(job, events)
        self.on_more = on_more
        self.stopped = stopped
        self.found: list[_Ranked] = []

    def add(self, title: str, kind: str, plan: Plan, drafts: Sequence[EventDraft], asks: Sequence[str]) -> None:
        """Put a plan on the table with its cost."""
        from planning.schedule.ways_out.costs import cost_of, cost_words

        cost = cost_of(self.job, self.events, drafts, plan, asks)
        broke = tuple(each.words for each in plan.broken)
        words = cost_words(self.noted, cost, drafts, plan, broke)
        choice = Choice(title, words, plan.finish, plan, tuple(drafts), broke, cost, kind)
        self.found.append(_Ranked(choice, _key(self.noted, choice)))

    def add_ways(self, heads: Sequence[str] | None) -> None:
        """Look for ways out and plan those that look cheapest, after the plan with nothing changed, if there is one."""
        from planning.schedule.ways_out.find_ways import find_ways
        from planning.schedule.ways_out.situation import Situation, as_events

        if heads is not None and not heads:
            return
        situation = Situation(self.job, self.events, self.now, self.stopped)
        unchanged = self.found[0] if self.found else None
        planned = 0
        for found in find_ways(situation, heads):
            if planned == MOST_CHOICES + 1 or self.stopped():
                break
            tried = as_events(found.trial.drafts, self.events, self.now)
            try:
                plan = make_plan(self.job, tried, self.now, solve=self.solve)
            except NoPlan:
                continue
            planned += 1
            self.add(found.title, found.kind, plan, found.trial.drafts, found.asks)
            if unchanged is not None and not _worth(self.found[-1], unchanged):
                self.found.pop()
            elif self.on_more is not None:
                self.on_more(self.best())

    def best(self) -> list[Choice]:
        """The choices worth showing, the best first."""
        kept: list[Choice] = []
        for ranked in sorted(self.found, key=lambda each: each.key):
            if not any(_same(ranked.choice, other) or _beaten(ranked.choice, other) for other in kept):
                kept.append(ranked.choice)
        return kept[:MOST_CHOICES]


def _worth(way: _Ranked, unchanged: _Ranked) -> bool:
    """Does a way that costs something give more than the plan with nothing changed, or cost less than its days do?"""
    least = unchanged.key[:3]
    if way.key[:3] < least:
        return True
    return way.key[:3] == least and _price(way.choice.cost) < _price(unchanged.choice.cost)


def _price(cost: Cost) -> int:
    """All that is paid, in minutes of overtime."""
    return (
        cost.overtime_min
        + PERSON_DAY_MIN * max(0, cost.person_days)
        + DRIVE_MIN * cost.drives
        + ASK_MIN * len(cost.asks)
        + PACKAGE_MIN * sum(cost.packages.values())
    )


def _key(job: Job, choice: Choice) -> tuple[object, ...]:
    """What the aim likes best: nothing broken, promises kept, done soonest, cheapest, least changed."""
    cost, price = choice.cost, _price(choice.cost)
    days = local(job.zone, choice.finish).date()
    wants = (cost.person_days, days) if job.aim == "visits" else (days, price)
    return (len(choice.broke), cost.late_min, *wants, price, choice.finish, len(choice.plan.moved), choice.title)


def _beaten(choice: Choice, other: Choice) -> bool:
    """Is the other choice no worse in anything the setter pays for, and better in something?"""
    mine, theirs = _measures(choice), _measures(other)
    return theirs != mine and all(a <= b for a, b in zip(theirs, mine, strict=True))


def _measures(choice: Choice) -> tuple[int, ...]:
    cost = choice.cost
    return (
        len(choice.broke), cost.late_min, cost.days_later or 0, cost.person_days, cost.overtime_min, cost.drives,
        len(cost.asks), sum(cost.packages.values()), len(choice.plan.moved),
    )  # fmt: skip


def _same(one: Choice, other: Choice) -> bool:
    """Do two choices cost the same and leave the same plan, or differ in nothing the setter pays for?"""
    if one.events == other.events and (one.finish, one.broke, one.cost) == (other.finish, other.broke, other.cost):
        return True
    return [(s.id, s.start) for s in one.plan.steps] == [(s.id, s.start) for s in other.plan.steps]
