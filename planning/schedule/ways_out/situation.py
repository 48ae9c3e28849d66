"""The day as it stands, and the same day with a change tried on it: quickly, without the solver."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime

from planning.job.choice import EventDraft
from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.words import Instant
from planning.schedule.build.network_of import Built, build
from planning.schedule.first_plan import first_plan
from planning.schedule.network import Network, Solution, Tick
from planning.schedule.repair import as_before, repair
from planning.schedule.solver import Limits, measure, solve
from planning.schedule.ways_out.start_rules import days_ahead
from planning.trade.expand import expand
from planning.trade.noted import as_noted

MOST_TRIALS = 90
"""So many changes are tried at one sitting; what is not found by then is not offered (ours, no source)."""

LAST_RESORT_EFFORT = 0.15
"""Deterministic time for a plan where laying tasks by hand finds none."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What a change came to. `drafts` are the events that make it."""

    drafts: tuple[EventDraft, ...]
    built: Built
    solution: Solution

    @property
    def loss(self) -> tuple[int, int]:
        """Facts broken, and ticks by which promises are missed."""
        return len(self.solution.overrun), measure.late(self.built.network, self.solution.finishes)

    @property
    def last_day(self) -> date:
        """The day on which the job ends."""
        return local(self.built.site.job.zone, self.built.network.instant(self.solution.finish)).date()

    @property
    def put_off(self) -> int:
        """How many steps are put off to a later day than the accepted plan has them on."""
        before = self.built.network.before
        if before is None:
            return 0
        zone = self.built.site.job.zone
        days = (
            (local(zone, self.at(was)).date(), local(zone, self.at(self.solution.starts[task])).date())
            for task, was in before.starts.items()
        )
        return sum(was < now for was, now in days)

    def at(self, tick: Tick) -> Instant:
        """A tick as an instant."""
        return self.built.network.instant(tick)


def as_events(drafts: Sequence[EventDraft], events: Sequence[Event], now: Instant) -> tuple[Event, ...]:
    """The events with the drafts noted after them, at `now`."""
    last = max((event.seq for event in events), default=0)
    at = datetime.fromtimestamp(now * 60, UTC)
    made = [Event(f"draft-{last + n}", each.kind, at, each.body, last + n) for n, each in enumerate(drafts, start=1)]
    return (*events, *made)


class Situation:
    """A job at a moment, with the changes tried on it so far.

    `base`: the day with nothing changed, None when no plan fits. `patient` for a change that should fit and that
    laying by hand did not fit: the solver may look a little.
    """

    def __init__(
        self, job: Job, events: Sequence[Event], now: Instant, stopped: Callable[[], bool] = lambda: False
    ) -> None:  # fmt: skip
        self.filed, self._filed_steps = job, expand(job).steps
        self.events = tuple(events)
        self.now = now
        self.job, self.steps = as_noted(job, self._filed_steps, events, now)
        self.built = build(self.job, self.steps, events, now)
        self.tried = 0
        self.stopped = stopped
        self._days = days_ahead(self.built)
        self.base = self._outcome((), self.built, patient=False)

    def trial(self, drafts: Sequence[EventDraft], patient: bool = False) -> Trial | None:
        """The day with these events noted now; None when no plan was found, or enough was tried."""
        if self.tried >= MOST_TRIALS or self.stopped():
            return None
        self.tried += 1
        tried = as_events(drafts, self.events, self.now)
        job, steps = as_noted(self.filed, self._filed_steps, tried, self.now)
        return self._outcome(tuple(drafts), build(job, steps, tried, self.now, self._days), patient)

    def eased(self, ease: Callable[[Network], Network], patient: bool = True) -> Solution | None:
        """A plan of the network as it would be without some demand, or None."""
        return None if self.built.unplannable else self._plan(ease(self.built.network), patient)

    def _outcome(self, drafts: tuple[EventDraft, ...], built: Built, patient: bool) -> Trial | None:
        if built.unplannable and (built.network.before is None or _nowhere(built)):
            return None
        found = self._plan(built.network, patient)
        return None if found is None else Trial(drafts, built, found)

    def _plan(self, network: Network, patient: bool) -> Solution | None:
        if network.before is not None:
            return repair(network, as_before(network))
        found = first_plan(network)
        if found is None and patient:
            looked = solve(network, None, Limits(effort=LAST_RESORT_EFFORT, stages=()))
            found = looked if looked.status in ("best", "good") else None
        return found

    def gains(self, trial: Trial | None) -> bool:
        """Is the day better with it: fewer facts broken, promises missed by less, done sooner, fewer steps put off?"""
        if trial is None:
            return False
        if self.base is None:
            return not trial.solution.overrun
        mine, base = (trial.last_day, trial.put_off), (self.base.last_day, self.base.put_off)
        return (*trial.loss, *mine) < (*self.base.loss, *base)

    def as_good(self, trial: Trial | None, goal: Trial) -> bool:
        """Does it gain as much as `goal` in what counts most, though it may end later than that?"""
        if trial is None or not self.gains(trial):
            return False
        if self.base is None or goal.loss < self.base.loss:
            return trial.loss <= goal.loss
        if goal.last_day < self.base.last_day:
            return trial.last_day < self.base.last_day
        return 2 * trial.put_off <= self.base.put_off + goal.put_off


def _nowhere(built: Built) -> bool:
    """Is there a step with nobody who can do it, or no way to it?"""
    tasks = {task.id for task in built.network.tasks}
    return any(each.step not in tasks for each in built.unplannable)


def without_before(network: Network) -> Network:
    """The network as if nobody had taken a plan."""
    return replace(network, before=None)
