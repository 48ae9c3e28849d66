"""The screen's session: its job file is read and its plans are made by the helper process, never here."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Broken, Plan
from planning.job.step import Step
from planning.job.words import Instant
from planning.records.clock import Clock
from tui.job_read import JobRead
from tui.session import Planner, Session
from tui.standing import with_states


class NoPlannerHere:
    """The screen's session never plans in its own process: the helper does, and its plans are shown to the session."""

    def plan(self, job: Job, events: Sequence[Event], now: Instant) -> Plan:
        """Never called by the screen. Raises RuntimeError."""
        raise RuntimeError("the screen plans in its helper process")

    def choices(self, job: Job, events: Sequence[Event], now: Instant) -> Any:
        """Never called by the screen. Raises RuntimeError."""
        raise RuntimeError("the screen plans in its helper process")


class WallSession(Session):
    """A session whose job file was read by the helper, so that no parser of units is loaded beside the keys."""

    def __init__(self, job_path: Path, clock: Clock, read: JobRead) -> None:
        planner: Planner = NoPlannerHere()
        super().__init__(job_path, clock, planner, at_once=False)
        self.read = read

    def _read(self) -> JobRead:
        return self.read

    def _as_noted(self, job: Job, steps: tuple[Step, ...]) -> tuple[Job, tuple[Step, ...]]:
        """The helper plans by the job as the record leaves it; the keys need the file's names only."""
        return job, steps

    def stand_at(self, now: Instant) -> None:
        """Bring the states of the steps on the wall up to now; no time moves."""
        if self.plan is not None and self.job is not None:
            self.plan = with_states(self.plan, self.job, self.events, min(now, self.earliest()), self.latest())

    def keep_extra(self, key: str, value: Any) -> None:
        """Keep something of the screen's for next time, beside the plan."""
        self.extra[key] = value
        if self.plan is not None and self._decided:
            self._book.save_plan(self.plan, self._decided, self.extra)

    def keep_old(self) -> tuple[Broken, ...]:
        """Keep the plan on the wall though another was offered. What it breaks now is the helper's to say."""
        self.offered, self.offers = None, []
        if self.plan is not None:
            self._put_up(self.plan, self.now())
        return ()
