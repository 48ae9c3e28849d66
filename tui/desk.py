"""One job on the bench: its file read, its record opened, and the plan on the wall made and put up."""

import hashlib
import json
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from planning.job.events import Event, effective
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.plan_json import PlanFileError, from_dict, to_dict
from planning.job.problem import Problem
from planning.job.progress import Accepted, read_progress
from planning.job.step import Step
from planning.job.words import Instant, Minutes
from planning.records.clock_watch import watched
from planning.records.own_labels import labels_said
from planning.schedule.no_plan import NoPlan
from tui.job_read import JobRead, read_whole
from tui.notebook import Notebook
from tui.reports import APART, CHANGES_JOB, file_hash, loses, named_by_last_ask
from tui.standing import with_states

if TYPE_CHECKING:
    from planning.job.choice import Choice
    from planning.records.clock import Clock
    from planning.records.saved_plan import SavedPlan

BEFORE = "before the last choice"
REMEMBERED = 200


class Planner(Protocol):
    """Whoever makes plans: in this process (command line) or in a helper process (screen)."""

    def plan(self, job: Job, events: Sequence[Event], now: Instant) -> Plan:
        """The plan from `now`. Raises `NoPlan` when nothing fits."""
        ...

    def choices(self, job: Job, events: Sequence[Event], now: Instant) -> "list[Choice]":
        """At most three ways to go on, the one the aim likes best first. Raises `NoPlan` when there is none."""
        ...


class Desk:
    """Job, record and plan of one job file. Not a planner and not a screen.

    Attributes: `job` (None when the file has a mistake that leaves no job), `problems` (all mistakes of the file),
    `steps`, `notes` (what the trade finds odd), `events` (all that were noted, undone ones too), `plan` (on the wall),
    `offered` (a plan that waits for the setter's choice, or None), `offers` (the choices last made), `trouble` (why
    there is no newer plan, or None), `none_fits` (what clashes, when that is why),
    `extra` (what the screen wants back with the first frame; plain JSON values).
    """

    def __init__(
        self, job_path: Path, clock: "Clock", planner: Planner, *, read_only: bool = False, at_once: bool = True
    ) -> None:
        self.job_path = job_path
        self.clock = watched(clock)
        self.planner = planner
        self.at_once = at_once
        self.job: Job | None = None
        self.problems: list[Problem] = []
        self.steps: tuple[Step, ...] = ()
        self.notes: tuple[Problem, ...] = ()
        self.events: tuple[Event, ...] = ()
        self.plan: Plan | None = None
        self.offered: Plan | None = None
        self.offers: list[Choice] = []
        self.trouble: str | None = None
        self.none_fits: NoPlan | None = None
        self.extra: dict[str, Any] = {}
        self._book = Notebook(job_path, self.clock, read_only)
        self._file_mark: tuple[int, int, str] | None = None
        self._job_hash = self._labels = ""
        self._filed: tuple[Job, tuple[Step, ...]] | None = None
        self._decided = ""
        self._decided_at: Instant = 0
        self._remembered: dict[str, Plan] = {}

    # Reading

    @staticmethod
    def first_frame(job_path: Path) -> "SavedPlan | None":
        """The saved plan beside the job file, or None. Reads that one file only: no job, no record, no solver."""
        from planning.records.saved_plan import read_saved

        return read_saved(job_path)

    def load(self) -> None:
        """Read the job file, its steps, the record and the saved plan. Makes no plan: see `needs_plan` and `replan`."""
        self._file_mark = self._mark()
        self._job_hash = file_hash(self.job_path)
        self._labels = labels_said()
        self._file_read()
        self._book.zone = None if self.job is None else self.job.zone
        self._heed(self._book.events())
        saved = self.first_frame(self.job_path)
        if saved is not None and self.job is not None:
            self._decided, self._decided_at = saved.inputs, saved.plan.made_at
            self._recall(saved)
            self.plan = self._standing(saved.plan)

    def _read(self) -> JobRead:
        from planning.records.job_notes import bare_sizes

        read, odd = read_whole(self.job_path)
        self.notes = () if read[0] is None else (*bare_sizes(self.job_path), *odd)
        return read

    def _file_read(self) -> None:
        self.job, self.problems, self.steps = self._read()
        self._filed = None if self.job is None else (self.job, self.steps)

    def _labels_written(self) -> None:
        """His file of labels was written here: take it in, so that it is not seen as a change from elsewhere."""
        if self._labels != labels_said():
            self._labels, self._file_mark = labels_said(), self._mark()
            self._file_read()
            self._heed(self.events)

    def _heed(self, events: tuple[Event, ...]) -> None:
        """Take in the record: its events, and the job and steps as they leave them."""
        self.events = events
        if self._filed is not None:
            self.job, self.steps = self._as_noted(*self._filed)

    def _as_noted(self, job: Job, steps: tuple[Step, ...]) -> tuple[Job, tuple[Step, ...]]:
        if not any(event.kind in CHANGES_JOB for event in self.events):
            return job, steps
        from planning.trade.noted import as_noted

        return as_noted(job, steps, self.events, self.now())

    def use_clock(self, clock: "Clock") -> None:
        """Take the time from another clock from here on."""
        self.close()
        self.clock = self._book.clock = watched(clock)
        if self.plan is not None:
            self.plan = self._standing(self.plan)

    def close(self) -> None:
        """Let go of the record. The session can be loaded again."""
        self._book.close()

    def now(self) -> Instant:
        """The instant of the clock, rounded down to the minute."""
        return int(self.clock.wall().timestamp() // 60)

    def earliest(self) -> Instant:
        """The earliest that it can be now: ask it before saying that a wait is over."""
        return int(self.clock.earliest().timestamp() // 60)

    def latest(self) -> Instant:
        """The latest that it can be now: ask it before saying that a window is still open."""
        return int(self.clock.latest().timestamp() // 60)

    @property
    def doubt(self) -> Minutes:
        """By how many minutes the computer's clock is ahead (+) or behind (-), with nobody having said which time is
        right; 0 when there is nothing to ask.
        """
        return round(self.clock.doubt_s / 60)

    def changed_elsewhere(self) -> bool:
        """Did another window write the record, or somebody edit the job file, since this session last read them?"""
        return self._book.changed() or self._mark() != self._file_mark

    @property
    def saved_at(self) -> Instant | None:
        """When the last report reached the disk; None when nothing was noted yet."""
        return self._book.saved_at

    @property
    def not_saved(self) -> str | None:
        """Why the last report is not on disk, or why none can be noted; None when all is saved."""
        return self._book.not_saved or self._book.trouble()

    # Planning

    def inputs_hash(self, now: Instant | None = None) -> str:
        """What a plan made now would depend on: job file, kept labels, events and day. Same hash, same plan."""
        moment = self.now() if now is None else now
        day = "" if self.job is None else local(self.job.zone, moment).date().isoformat()
        facts = [[e.id, e.kind, e.at.isoformat(), dict(e.body)] for e in effective(self.events) if e.kind not in APART]
        text = json.dumps([self._job_hash, self._labels, day, facts], sort_keys=True, default=str)
        return hashlib.sha256(text.encode()).hexdigest()

    def needs_plan(self, now: Instant | None = None) -> bool:
        """Is it time for a new plan: something was noted, the file changed, a day began, a latest start passed?"""
        moment = self.now() if now is None else now
        if self.job is None:
            return False
        if self.plan is None or self._decided != self.inputs_hash(moment):
            return True
        return any(
            step.state in ("wait", "ready")
            and step.latest_start is not None
            and self._decided_at <= step.latest_start < moment
            for step in self.plan.steps
        )

    def compute(self, now: Instant | None = None) -> Plan:
        """Make the plan from `now` and hand it back; the session stays as it is. Raises `NoPlan`, or ValueError
        without a job. May run in another thread."""
        if self.job is None:
            raise ValueError("there is no job to plan: " + "; ".join(map(str, self.problems)))
        return self.planner.plan(self.job, self.events, self.now() if now is None else now)

    def replan(self, now: Instant | None = None) -> Plan | None:
        """Make the plan from `now` and show it. None when nothing fits: `trouble` says why, the wall stays."""
        moment = self.now() if now is None else now
        inputs = self.inputs_hash(moment)
        try:
            made = self.compute(moment)
        except NoPlan as none_fits:
            self.stuck(none_fits, moment)
            return None
        self.show(made, inputs)
        return made

    def show(self, made: Plan, inputs: str | None = None) -> bool:
        """Put a computed plan on the wall, or keep it as `offered` when the setter must choose. True when it went up.

        `inputs`: `inputs_hash(now)` from before the plan was computed; when something was noted since, the plan is
        dropped and `needs_plan` stays true.
        """
        if inputs is not None and inputs != self.inputs_hash(made.made_at):
            return False
        self.trouble = self.none_fits = None
        if self._must_choose(made):
            self.offered = made
            self._decide(made.made_at)
            return False
        self._put_up(self._standing(made) if self.doubt else made, made.made_at)
        return True

    def stuck(self, none_fits: NoPlan, now: Instant | None = None) -> None:
        """A computation found that no plan fits: `trouble` says why, the wall stays as it is."""
        self.trouble, self.none_fits = str(none_fits), none_fits
        self._decide(self.now() if now is None else now)

    def _put_up(self, plan: Plan, moment: Instant) -> None:
        self.plan, self.offered, self.offers = plan, None, []
        self._heed(self.events)
        self._decide(moment)
        self._remembered[self._decided] = plan
        while len(self._remembered) > REMEMBERED:
            self._remembered.pop(next(iter(self._remembered)))
        self._book.save_plan(plan, self._decided, self.extra)

    def _keep_for_undo(self) -> None:
        """Keep the wall for these inputs, here and on disk: taking back what comes next brings it back whole."""
        if self.plan is not None:
            inputs = self.inputs_hash()
            self._remembered[inputs] = self.plan
            self.extra[BEFORE] = {"inputs": inputs, "plan": to_dict(self.plan)}

    def _choice_waited(self) -> bool:
        """Was a choice open for these very inputs before one was taken? Then it is open again."""
        kept: Any = self.extra.get(BEFORE)
        return isinstance(kept, dict) and kept.get("inputs") == self.inputs_hash()

    def _recall(self, saved: "SavedPlan") -> None:
        """The plans kept on disk: the one on the wall, and the one before the last choice."""
        self.extra = dict(saved.extra)
        self._remembered[saved.inputs] = saved.plan
        kept: Any = saved.extra.get(BEFORE)
        with suppress(PlanFileError, LookupError, TypeError, ValueError, AttributeError):
            self._remembered[str(kept["inputs"])] = from_dict(kept["plan"], saved.plan.zone)

    def _decide(self, moment: Instant) -> None:
        """Remember for which inputs the wall was last looked at, so that nothing is planned twice."""
        self._decided, self._decided_at = self.inputs_hash(moment), moment

    def _must_choose(self, made: Plan) -> bool:
        accepted = self.accepted
        if accepted is None or self.plan is None or not made.moved:
            return False
        named = named_by_last_ask(self.events)
        if named is not None and any(moved.id != named for moved in made.moved):
            return True
        return loses(made, accepted)

    @property
    def accepted(self) -> Accepted | None:
        """The plan the setter last took, or None while the plan on the wall was not acted on."""
        return None if self.job is None else read_progress(self.job, self.events).accepted

    # Inside

    def _standing(self, plan: Plan) -> Plan:
        return plan if self.job is None else with_states(plan, self.job, self.events, self.earliest(), self.latest())

    def _mark(self) -> tuple[int, int, str] | None:
        try:
            found = self.job_path.stat()
        except OSError:
            return None
        return found.st_mtime_ns, found.st_size, labels_said()
