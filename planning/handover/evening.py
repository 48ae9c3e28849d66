"""What the note for tonight is written from, gathered once."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from planning.handover.release import Release, releases, standing_at
from planning.handover.slow import Times, slow_finish, slow_times
from planning.job.events import Event, effective
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.progress import Progress, read_progress
from planning.job.step import Step
from planning.job.words import Instant


@dataclass(frozen=True, slots=True)
class Evening:
    """Everything the note is written from. `now` is the evening, `today` the site's date.

    `standing`: what is off now; `noted`: the events of today that stand; `times`: the slow case of each step; `slow`:
    the last finish in it.
    """

    plan: Plan
    job: Job
    steps: Sequence[Step]
    events: Sequence[Event]
    now: Instant
    today: date
    progress: Progress
    standing: tuple[Release, ...]
    noted: tuple[Event, ...]
    slow: Instant
    times: Times

    def is_today(self, at: Instant) -> bool:
        """Is that instant on the day of the note?"""
        return local(self.job.zone, at).date() == self.today


def evening(plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant) -> Evening:
    """Gather what the note of the day of `now` says."""
    listed = tuple(events)
    progress = read_progress(job, listed)
    today = local(job.zone, now).date()
    begun = frozenset((*progress.started, *progress.finished))
    standing = standing_at(releases(plan, job, steps, listed), now, begun)
    noted = tuple(each for each in effective(listed) if local(job.zone, each.minute).date() == today)
    times = slow_times(plan, job, steps, listed)
    return Evening(plan, job, steps, listed, now, today, progress, standing, noted, slow_finish(times, plan), times)
