"""What every builder of the network needs at hand: the job, its steps, what happened, the air, and the time axis."""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property

from planning.job.events import Event
from planning.job.hours import Shift, instant, local, shifts
from planning.job.job import Job
from planning.job.people import Person
from planning.job.place import doors
from planning.job.progress import Progress, read_progress
from planning.job.step import Step
from planning.job.words import AXIS_MIN, Instant
from planning.schedule.network import Crew, Tick
from planning.trade.air import SiteAir, site_air


@dataclass(frozen=True)
class Site:
    """The facts of one planning moment. `origin` is the local midnight that tick 0 stands for."""

    job: Job
    steps: Sequence[Step]
    progress: Progress
    air: SiteAir
    now: Instant
    origin: Instant
    first_day: date
    last_day: date
    step_by_id: Mapping[str, Step] = field(default_factory=dict)

    @property
    def horizon(self) -> Tick:
        """The last tick of the last day."""
        return self.floor_tick(instant(self.job.zone, self.last_day + timedelta(days=1), self.job.hours.night_to))

    @property
    def now_tick(self) -> Tick:
        """The first tick at which something not yet begun may begin."""
        return max(0, self.ceil_tick(self.now))

    def ceil_tick(self, at: Instant) -> Tick:
        """An instant as a tick, rounded up: for openings."""
        return -((self.origin - at) // AXIS_MIN)

    def floor_tick(self, at: Instant) -> Tick:
        """An instant as a tick, rounded down: for shuttings."""
        return (at - self.origin) // AXIS_MIN

    def instant(self, tick: Tick) -> Instant:
        """A tick as an instant."""
        return self.origin + tick * AXIS_MIN

    @cached_property
    def open_from(self) -> dict[str, tuple[str, ...]]:
        """For each floor, what it is entered from."""
        return doors(self.job.rooms)

    @cached_property
    def shifts(self) -> dict[str, list[Shift]]:
        """Each person's shifts, absences and late stays already in."""
        presence = self.progress.presence
        return {
            person.name: shifts(self.job.hours, person, self.job.zone, self.first_day, self.last_day, presence)
            for person in self.job.people
        }

    @cached_property
    def crews(self) -> dict[Hashable, Crew]:
        """Start ranges worked out so far: many steps share people, length and what the house forbids."""
        return {}

    @cached_property
    def barred(self) -> dict[tuple[bool, bool], list[tuple[Instant, Instant]]]:
        """What the house forbids, worked out so far: for work with gear or without, wet or dry."""
        return {}

    @cached_property
    def site_shifts(self) -> list[Shift]:
        """The job's own working hours, whoever is there: when somebody from outside may come."""
        anybody = Person("", self.job.name, frozenset(("all",)))
        return shifts(self.job.hours, anybody, self.job.zone, self.first_day, self.last_day)


def look_at(job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant, days: int) -> Site:
    """Gather the facts for a plan made at `now`, looking `days` calendar days past the later of now and job start."""
    progress = read_progress(job, events)
    today = local(job.zone, now).date()
    first = min([job.start, *(local(job.zone, at).date() for at in progress.started.values())])
    last = max(job.start, today) + timedelta(days=days)
    origin = instant(job.zone, first, job.hours.start.replace(hour=0, minute=0))
    return Site(
        job, steps, progress, site_air(job, events), now, origin - origin % AXIS_MIN, first, last,
        {step.id: step for step in steps},
    )  # fmt: skip
