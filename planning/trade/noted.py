"""The job as what was noted leaves it: what was agreed on the way, label numbers over ours, what is asked of the owner.

Its steps too: mended, repeated and added ones (see planning.trade.mending). Read before anything is planned, judged or
carried, so that all of them see the same job.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from planning.job.agreed import as_agreed
from planning.job.events import Event
from planning.job.job import Answer, Job
from planning.job.step import Step
from planning.job.words import Instant
from planning.trade.begun_bays import with_begun_bays
from planning.trade.expand import expand
from planning.trade.labels import with_noted_labels
from planning.trade.mending import asked_answers, mended
from planning.trade.swapped import with_swaps


def noted_job(job: Job, events: Iterable[Event]) -> Job:
    """The job with what the events change in it, the very same job when they change nothing; twice is as once."""
    noted = tuple(events)
    job = with_begun_bays(job, noted)
    return with_swaps(with_noted_labels(as_agreed(_with_asked(job, noted), noted), noted), noted)


def _with_asked(job: Job, events: Sequence[Event]) -> Job:
    asked = asked_answers(job, events)
    return replace(job, answers=_with_new(job.answers, asked)) if asked else job


def _with_new(known: tuple[Answer, ...], asked: tuple[Answer, ...]) -> tuple[Answer, ...]:
    have = {each.id for each in known}
    return (*known, *(each for each in asked if each.id not in have))


def as_noted(
    job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant | None = None
) -> tuple[Job, tuple[Step, ...]]:
    """The job and its steps with what the events change; `steps` are those of the job as its file has it.

    `now`: the moment for which windows are looked at, whether they have shut; None: that of the last event.
    """
    noted = tuple(events)
    changed = noted_job(job, noted)
    if changed is not job and changed != job:
        steps = expand(changed).steps
    moment = now if now is not None else max((event.minute for event in noted), default=0)
    return changed, mended(changed, steps, noted, moment)
