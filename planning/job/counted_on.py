"""When a plan may count on what others owe: a delivery, an answer, a service that is out."""

from planning.job.hours import next_morning
from planning.job.job import Job
from planning.job.progress import Outage, Progress
from planning.job.words import Instant, Minutes

OVERDUE_MIN: Minutes = 60
"""So long after its time a thing is still looked for any moment; then it is counted on the next working morning only
(ours, no source)."""


def counted_on(job: Job, due: Instant, now: Instant) -> Instant:
    """The instant from which to count on something that is due and not there: its time, or the next working morning
    when it is overdue."""
    return due if not is_overdue(due, now) else next_morning(job.hours, job.zone, now)


def delivery_there(job: Job, progress: Progress, delivery_id: str, latest: Instant, now: Instant) -> Instant:
    """When a delivery is there: as noted, else as it was last promised, else at the end of its span."""
    here = progress.delivered.get(delivery_id)
    return here if here is not None else counted_on(job, progress.delivery_due.get(delivery_id, latest), now)


def answer_there(job: Job, progress: Progress, answer_id: str, by: Instant, now: Instant) -> Instant:
    """When an answer is there: as noted, else by when it is owed."""
    here = progress.answered.get(answer_id)
    return here if here is not None else counted_on(job, by, now)


def outage_ends(job: Job, out: Outage, now: Instant) -> Instant:
    """When a service is back: as was said, else at the end of the day that `now` is (or begins) in."""
    if out.finish is not None:
        return out.finish
    return next_morning(job.hours, job.zone, max(now, out.start))


def is_overdue(due: Instant, now: Instant) -> bool:
    """Is something that was due not looked for any moment now any more?"""
    return now >= due + OVERDUE_MIN
