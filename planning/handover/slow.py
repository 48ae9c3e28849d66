"""The slow case of a plan: nine times in ten each step is done by then, in the plan's own order.

What owners and other trades are told comes from here, so that nobody is told a time that a slow day would break.
"""

from bisect import bisect_left, insort
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import timedelta
from functools import partial
from math import ceil
from random import Random

from planning.job.events import Event
from planning.job.hours import local, shifts
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.progress import Progress, read_progress
from planning.job.step import Step, Wait
from planning.job.words import Instant, Minutes
from planning.trade.air import Case, SiteAir, opens_at, site_air

Times = Mapping[str, tuple[Instant, Instant]]
Draw = Callable[[], Case]
"""Says which of its three values to take for the next labour or wait."""

DAYS_MORE = 90
"""How many days after the plan's end the slow case may reach."""
RUNS = 100
SHARE = 0.9
"""A slow time is one that nine runs in ten keep."""
SEED = 7
CASES: tuple[Case, ...] = ("low", "typical", "high")
WEIGHTS = (0.3, 0.4, 0.3)
"""How often to take the 10, 50 and 90 % values so that mean and spread come out right: the rule of 30-40-30 (Swanson's
mean, as used in risk work; from memory)."""


def slow_times(
    plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event] = (), apart: frozenset[str] = frozenset()
) -> Times:
    """Start and finish of every planned step when things go slowly; what is done keeps its real times.

    `apart`: planned steps that are left out, and that nothing waits for: those of a later visit.

    The plan is run `RUNS` times, step after step, with low, usual or high times for each step and wait; the same job
    gives the same answer each time. Never earlier than the plan. Windows that would shut meanwhile are not looked
    at: the setter would re-order then, and a new plan makes a new note. Steps go slow one by one here, not together.
    """
    walk = _Walk(plan, job, steps, events, apart)
    chance = Random(SEED)
    runs = [walk.run(partial(_drawn, chance)) for _ in range(RUNS)]
    keep = ceil(SHARE * RUNS) - 1
    return {
        step: (sorted(run[step][0] for run in runs)[keep], sorted(run[step][1] for run in runs)[keep])
        for step in runs[0]
    }


def slowest_times(plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event] = ()) -> Times:
    """One run with every step and every wait at its high value at once: much rarer than one day in ten."""
    return _Walk(plan, job, steps, events).run(_high)


def _drawn(chance: Random) -> Case:
    return chance.choices(CASES, WEIGHTS)[0]


def _high() -> Case:
    return "high"


class _Walk:
    """Runs a plan in its order. `spans` are the hours that people share; `opened` keeps waits already reckoned."""

    def __init__(
        self, plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], apart: frozenset[str] = frozenset()
    ) -> None:
        listed = list(events)
        self.by_id = {step.id: step for step in steps}
        placed = (step for step in plan.steps if step.id not in apart)
        self.order = sorted(placed, key=lambda step: (step.start, step.finish, step.id))
        self.air: SiteAir = site_air(job, listed)
        self.progress: Progress = read_progress(job, listed)
        self.hours = {person.name: self._hours(job, plan, person.name) for person in job.people}
        self.spans = {step.people: self._shared(step.people) for step in self.order}
        self.opened: dict[tuple[Wait, Instant, Case], Instant] = {}

    def _hours(self, job: Job, plan: Plan, name: str) -> list[tuple[Instant, Instant]]:
        person = next(each for each in job.people if each.name == name)
        first = local(job.zone, min((step.start for step in plan.steps), default=plan.made_at)).date()
        last = local(job.zone, plan.finish).date() + timedelta(days=DAYS_MORE)
        found = shifts(job.hours, person, job.zone, first, last, self.progress.presence)
        return [(shift.start, shift.finish) for shift in found]

    def _shared(self, people: Sequence[str]) -> list[tuple[Instant, Instant]]:
        spans: list[tuple[Instant, Instant]] | None = None
        for name in people:
            mine = self.hours.get(name, [])
            spans = mine if spans is None else [
                (max(a, c), min(b, d)) for a, b in spans for c, d in mine if max(a, c) < min(b, d)
            ]  # fmt: skip
        return spans or []

    def opens(self, wait: Wait, begin: Instant, case: Case) -> Instant:
        """When a wait that began then is over, in that case."""
        key = wait, begin, case
        if key not in self.opened:
            self.opened[key] = opens_at(wait, self.air, begin, case)
        return self.opened[key]

    def run(self, draw: Draw) -> dict[str, tuple[Instant, Instant]]:
        """One run: the time of every step."""
        return _Run(self, draw).times


class _Run:
    """One run through the plan. A step that opens late lets the later ones of other rooms go before it."""

    def __init__(self, walk: _Walk, draw: Draw) -> None:
        self.walk = walk
        self.draw = draw
        self.times: dict[str, tuple[Instant, Instant]] = {}
        self.last: dict[str, tuple[Instant, Instant]] = {}
        self.busy: dict[str, list[tuple[Instant, Instant]]] = {}
        self.green: dict[str, tuple[Instant, str]] = {}
        for planned in walk.order:
            step = walk.by_id.get(planned.piece.of if planned.piece else planned.id)
            self._place(planned, step)

    def _place(self, planned: PlannedStep, step: Step | None) -> None:
        start, finish = self._one(planned, step)
        self.times[planned.id] = start, finish
        for name in planned.people:
            insort(self.busy.setdefault(name, []), (start, finish))
        if step is None:
            return
        self.last[step.id] = start, finish
        for keep in step.keeps_off:
            if keep.what == "walk" and isinstance(keep.until, Wait):
                until = self.walk.opens(keep.until, finish, self.draw())
                for floor in keep.floors:
                    self.green[floor] = max((until, step.id), self.green.get(floor, (0, "")))

    def _one(self, planned: PlannedStep, step: Step | None) -> tuple[Instant, Instant]:
        begun = self.walk.progress.started.get(planned.id)
        done = self.walk.progress.finished.get(planned.id)
        if done is not None:
            return (done if begun is None else begun), done
        labour = _labour(planned, step, self.draw())
        if begun is not None:
            return begun, max(planned.finish, begun + labour)
        return self._fit(planned, max([planned.start, *self._opens(step)]), labour)

    def _opens(self, step: Step | None) -> list[Instant]:
        """When its waits are over and its floor may be walked on."""
        if step is None:
            return []
        found = []
        for link in step.after:
            before = self.last.get(link.step)
            if before is not None:
                begin = before[0] if link.on == "start" else before[1]
                found.append(begin if link.wait is None else self.walk.opens(link.wait, begin, self.draw()))
        green = [self.green[floor] for floor in step.stands_on if floor in self.green]
        return [*found, *(until for until, by in green if by != step.id)]

    def _fit(self, planned: PlannedStep, earliest: Instant, labour: Minutes) -> tuple[Instant, Instant]:
        """The first free stretch of everybody's hours that holds the labour; one whole day when none is as long."""
        spans = self.walk.spans[planned.people]
        if not spans or (earliest <= planned.start and labour <= planned.finish - planned.start):
            return earliest, earliest + labour
        needed = min(labour, max(last - first for first, last in spans))
        for first, last in spans[max(0, bisect_left(spans, (earliest, earliest)) - 1) :]:
            start = self._free_from(planned.people, max(first, earliest), needed)
            if start + needed <= last:
                return start, start + labour
        return earliest, earliest + labour

    def _free_from(self, people: Sequence[str], start: Instant, needed: Minutes) -> Instant:
        """The first instant from `start` at which nobody of them is busy for so long."""
        while True:
            clashes = [
                finish
                for name in people
                for first, finish in self.busy.get(name, ())
                if first < start + needed and finish > start
            ]
            if not clashes:
                return start
            start = max(clashes)


def _labour(planned: PlannedStep, step: Step | None, case: Case) -> Minutes:
    """The planned minutes (meal in), and as many more as the case takes; never fewer than planned."""
    usual = planned.finish - planned.start
    if step is None:
        return usual
    share = planned.piece.share if planned.piece else 1.0
    more: Minutes = getattr(step.labour, case) - step.labour.typical
    return usual + max(0, round(more * share))
