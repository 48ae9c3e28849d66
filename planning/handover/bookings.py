"""From when somebody from outside can be booked so that a slow day does not send him away: inspector and plumber."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from planning.handover.slow import Times
from planning.handover.wording import quarter_up
from planning.job.hours import instant, local, next_morning
from planning.job.job import Job
from planning.job.plan import Plan, PlannedVisit
from planning.job.progress import Progress
from planning.job.step import Step
from planning.job.words import Instant, Minutes

PLUMBER = "plumber"
SKILL = "plumb"


@dataclass(frozen=True, slots=True)
class Booking:
    """Somebody who must come: `usual` by the plan, `safe` in the slow case (in working hours, on the quarter hour).

    `booked`: the time that is agreed; None when nobody has called yet. `late`: is the agreed time before the safe one?
    `step`: what he is there for.
    """

    who: str
    room: str
    what: str
    usual: Instant
    safe: Instant
    booked: Instant | None = None
    step: str = ""

    @property
    def late(self) -> bool:
        """May a slow day break the time agreed?"""
        return self.booked is not None and self.booked < self.safe


def bookings(plan: Plan, job: Job, steps: Sequence[Step], times: Times, progress: Progress) -> tuple[Booking, ...]:
    """Every visit still to come, and all work that is a plumber's, in order of the usual time.

    The plumber is asked for where a step needs that skill; who has the license himself reads past it.
    """
    found = [
        _visit(plan, job, steps, times, visit)
        for visit in plan.visits
        if visit.id not in progress.visit_results and visit.finish > plan.made_at
    ]
    for planned in plan.steps:
        step = next((s for s in steps if s.id == (planned.piece.of if planned.piece else planned.id)), None)
        if step is None or SKILL not in step.crew or planned.id in progress.started or planned.id in progress.finished:
            continue
        safe = in_hours(job, times[planned.id][0])
        found.append(Booking(PLUMBER, planned.room, planned.title, planned.start, safe, step=planned.id))
    return tuple(sorted(found, key=lambda each: (each.usual, each.who, each.room, each.what)))


def _visit(plan: Plan, job: Job, steps: Sequence[Step], times: Times, visit: PlannedVisit) -> Booking:
    seen = {step.id for step in steps if step.room == visit.room and step.key == visit.sees}
    ready = [times[s.id][1] for s in plan.steps if (s.piece.of if s.piece else s.id) in seen]
    safe = in_hours(job, max([visit.start, *ready]))
    agreed = visit.start if visit.booked else None
    return Booking(visit.who, visit.room, visit.sees or "", visit.start, safe, agreed, visit.id)


def in_hours(job: Job, at: Instant, takes: Minutes = 0) -> Instant:
    """The first quarter hour from `at` on that lies in the job's own working hours."""
    moment = quarter_up(at)
    day = local(job.zone, moment).date()
    hours = job.hours
    works = day.weekday() in hours.days and day not in hours.off
    begin, end = hours.start, hours.finish
    for each in hours.exceptions:
        if each.day == day:
            begin, end, works = each.start, each.finish, each.start != each.finish
    opens, shuts = instant(job.zone, day, begin), instant(job.zone, day, end)
    if works and moment < opens:
        return quarter_up(opens)
    if works and moment + takes <= shuts:
        return moment
    if moment < opens:
        return next_morning(hours, job.zone, instant(job.zone, day - timedelta(days=1), begin))
    return next_morning(hours, job.zone, moment)
