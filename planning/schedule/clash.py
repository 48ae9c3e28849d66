"""Nothing fits: which of the job's own demands, taken away alone, would let a plan in ."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from planning.job.events import Event
from planning.job.job import Job
from planning.job.step import Step
from planning.job.words import Instant
from planning.schedule.build.network_of import build
from planning.schedule.first_plan import first_plan

Without = Callable[[Job], Job]


def _no_nights(job: Job) -> Job:
    return replace(job, house=replace(job.house, toilet_dates=frozenset(), toilet_weekdays=frozenset()))


DEMANDS: tuple[tuple[str, Without], ...] = (
    ("a working toilet on the promised nights", _no_nights),
    ("the quiet hours", lambda job: replace(job, house=replace(job.house, quiet=()))),
    ("the hours without power", lambda job: replace(job, house=replace(job.house, no_power=()))),
    ("the hours without water", lambda job: replace(job, house=replace(job.house, no_water=()))),
    ("the times of the visits", lambda job: replace(job, visits=())),
    ("the times of the deliveries", lambda job: replace(job, deliveries=())),
    ("the answers still owed", lambda job: replace(job, answers=())),
    ("the errands", lambda job: replace(job, errands=())),
)
"""What a job may ask beyond its work, each with the job that does not ask it."""


def clashing_demands(job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> list[str]:
    """A sentence for each demand without which a first plan is found; one that says so when there is none."""
    found = [
        f"It fits without {name}: give way there, or change the hours, the people or the class."
        for name, without in DEMANDS
        if without(job) != job and first_plan(build(without(job), steps, events, now).network) is not None
    ]
    return found or [
        "No order of work keeps the hours, windows, floors and visits together, whichever demand gives way."
    ]
