"""What the note for tonight is written from, gathered once."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from planning.handover.last_day import LastDay, slow_and_last
from planning.handover.private import screened
from planning.handover.release import Release, releases, standing_at
from planning.handover.slow import Times
from planning.job.events import Event, effective
from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.progress import Progress, read_progress
from planning.job.step import Step
from planning.job.words import Instant
from planning.quantities.show import show_wall


@dataclass(frozen=True)
class Evening:
    """Everything the note is written from. `now` is the evening, `today` the site's date.

    `standing`: what is off now; `noted`: the events of today that stand; `times`: the slow case of each step; `last`:
    when the work ends in it.
    """

    plan: Plan
    job: Job
    steps: Sequence[Step]
    events: Sequence[Event]
    now: Instant
    today: date
    progress: Progress
    releases: tuple[Release, ...]
    standing: tuple[Release, ...]
    noted: tuple[Event, ...]
    times: Times
    last: LastDay

    @cached_property
    def by_id(self) -> Mapping[str, Step]:
        """The job's steps by id."""
        return {step.id: step for step in self.steps}

    def step_of(self, planned: PlannedStep) -> Step | None:
        """The job's step that a planned one is, or is a piece of; None for an errand or a step no longer there."""
        return self.by_id.get(planned.piece.of if planned.piece else planned.id)

    def title(self, planned: PlannedStep) -> str:
        """A planned step's title without its piece's number; extra work has the setter's words: they are screened."""
        step = self.step_of(planned)
        return screened(planned.title if step is None else step.title)

    def named(self, step_id: str) -> str:
        """A step's title as planned, or the end of its id when no plan knows it any more."""
        known = next((step.title for step in self.plan.steps if step.id == step_id), None)
        return screened(known) if known else step_id.rsplit("/", 1)[-1].replace("-", " ")

    def is_today(self, at: Instant) -> bool:
        """Is that instant on the day of the note?"""
        return self.day(at) == self.today

    def day(self, at: Instant) -> date:
        """The site's date at an instant."""
        return local(self.job.zone, at).date()

    def wall(self, at: Instant) -> str:
        """An instant on the site's wall clock: what was noted is not rounded."""
        return show_wall(local(self.job.zone, at))

    def on(self, day: date) -> list[PlannedStep]:
        """What is planned to begin on a date, in order of time."""
        return sorted((s for s in self.plan.steps if self.day(s.start) == day), key=lambda s: (s.start, s.id))

    def next_work_day(self) -> date | None:
        """The next date after today on which somebody of the plan works; None when nothing is left to do."""
        days = {self.day(step.start) for step in self.plan.steps if step.id not in self.progress.finished}
        return min((day for day in days if day > self.today), default=None)


def evening(plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant) -> Evening:
    """Gather what the note of the day of `now` says."""
    listed = tuple(events)
    progress = read_progress(job, listed)
    today = local(job.zone, now).date()
    begun = frozenset((*progress.started, *progress.finished))
    times, last = slow_and_last(plan, job, steps, listed)
    off = releases(plan, job, steps, listed, times)
    noted = tuple(each for each in effective(listed) if local(job.zone, each.minute).date() == today)
    return Evening(
        plan, job, steps, listed, now, today, progress, off, standing_at(off, now, begun), noted, times, last,
    )  # fmt: skip


def end_of(job: Job, day: date) -> Instant:
    """When the job's own hours of a date end: the evening of a day asked about later."""
    ends = next((each.finish for each in job.hours.exceptions if each.day == day), job.hours.finish)
    return instant(job.zone, day, ends)
