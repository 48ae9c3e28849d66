"""The slow case of a plan: same order, same people, but every step takes its high time and every wait its high label.

What owners and other trades are told comes from here, so that nobody is told a time that a slow day would break.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import timedelta

from planning.job.events import Event
from planning.job.hours import Shift, local, shifts
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.progress import Progress, read_progress
from planning.job.step import Step
from planning.job.words import Instant, Minutes
from planning.trade.air import SiteAir, opens_at, site_air

Times = Mapping[str, tuple[Instant, Instant]]

DAYS_MORE = 60
"""How many days after the plan's end the slow case may reach."""


def slow_times(plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event] = ()) -> Times:
    """Start and finish of every planned step when things go slowly; what is done keeps its real times.

    One pass in the plan's own order: never earlier than the plan, but no proof that nothing can be slower. Windows
    that would shut meanwhile are not looked at: the setter would re-order then, and a new plan makes a new note.
    """
    return _Slow(plan, job, steps, events).run()


class _Slow:
    def __init__(self, plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event]) -> None:
        listed = list(events)
        self.plan = plan
        self.by_id = {step.id: step for step in steps}
        self.air: SiteAir = site_air(job, listed)
        self.progress: Progress = read_progress(job, listed)
        self.shifts = {person.name: self._days(job, plan, person.name) for person in job.people}
        self.free: dict[str, Instant] = {}
        self.times: dict[str, tuple[Instant, Instant]] = {}
        self.last_piece: dict[str, str] = {}

    def _days(self, job: Job, plan: Plan, name: str) -> list[Shift]:
        person = next(each for each in job.people if each.name == name)
        first = local(job.zone, min((s.start for s in plan.steps), default=plan.made_at)).date()
        last = local(job.zone, plan.finish).date() + timedelta(days=DAYS_MORE)
        return shifts(job.hours, person, job.zone, first, last, self.progress.presence)

    def run(self) -> Times:
        for planned in sorted(self.plan.steps, key=lambda step: (step.start, step.finish, step.id)):
            start, finish = self._one(planned)
            self.times[planned.id] = start, finish
            self.last_piece[planned.piece.of if planned.piece else planned.id] = planned.id
            for name in planned.people:
                self.free[name] = max(finish, self.free.get(name, 0))
        return self.times

    def _one(self, planned: PlannedStep) -> tuple[Instant, Instant]:
        if planned.id in self.progress.finished:
            return self.progress.started[planned.id], self.progress.finished[planned.id]
        step = self.by_id.get(planned.piece.of if planned.piece else planned.id)
        labour = self._labour(planned, step)
        if planned.id in self.progress.started:
            begun = self.progress.started[planned.id]
            return begun, max(planned.finish, begun + labour)
        earliest = max([planned.start, *self._opens(step), *(self.free.get(name, 0) for name in planned.people)])
        return self._fit(planned, earliest, labour)

    def _labour(self, planned: PlannedStep, step: Step | None) -> Minutes:
        usual = planned.finish - planned.start
        if step is None:
            return usual
        share = planned.piece.share if planned.piece else 1.0
        more = round((step.labour.high - step.labour.typical) * share)
        return usual + max(0, more)

    def _opens(self, step: Step | None) -> list[Instant]:
        found = []
        for link in step.after if step is not None else ():
            before = self.times.get(self.last_piece.get(link.step, link.step))
            if before is not None:
                begin = before[0] if link.on == "start" else before[1]
                found.append(begin if link.wait is None else opens_at(link.wait, self.air, begin, "high"))
        return found

    def _fit(self, planned: PlannedStep, earliest: Instant, labour: Minutes) -> tuple[Instant, Instant]:
        """The first stretch of everybody's hours that holds the labour; a day's whole stretch when none is as long."""
        spans = self._shared(planned.people)
        if not spans or (earliest <= planned.start and labour <= planned.finish - planned.start):
            return earliest, earliest + labour
        longest = max(last - first for first, last in spans)
        needed = min(labour, longest)
        for first, last in spans:
            start = max(first, earliest)
            if start + needed <= last:
                return start, start + labour
        return earliest, earliest + labour

    def _shared(self, people: Sequence[str]) -> list[tuple[Instant, Instant]]:
        spans: list[tuple[Instant, Instant]] | None = None
        for name in people:
            mine = [(shift.start, shift.finish) for shift in self.shifts.get(name, [])]
            spans = mine if spans is None else [
                (max(a, c), min(b, d)) for a, b in spans for c, d in mine if max(a, c) < min(b, d)
            ]  # fmt: skip
        return spans or []


def slow_finish(times: Times, plan: Plan) -> Instant:
    """When the job is done if things go slowly: never before the plan's own end."""
    return max([plan.finish, *(finish for _, finish in times.values())])
