"""One job on the bench: its file, its record and the plan on the wall, for the screen and for the command line alike.

No textual in here, and nothing heavy is imported before it must: the saved plan is read without pint or a solver.

A report (`note`, `start`, `late`, ...) is on disk before the call returns. With `at_once` (the command line) the plan
is then made again in the same call; the screen passes `at_once=False`, runs `compute` in a thread and hands the
result to `show`. `compute` reads immutable values only and changes nothing, so it may run anywhere; everything
else belongs to one thread.

A new plan goes up by itself when nothing is lost by it. When the setter must choose, it is kept in `offered`, the plan
on the wall stays, and `choices`, `take` and `keep_old` end the question.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol
from uuid import uuid4
from zoneinfo import ZoneInfo

from planning.job.events import Event, effective, standing
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Broken, Plan, PlannedStep
from planning.job.problem import Problem
from planning.job.progress import TACKY_MIN, Accepted, read_progress
from planning.job.step import Step
from planning.job.words import Instant, Minutes
from planning.schedule.no_plan import NoPlan
from tui.notebook import Notebook
from tui.reports import (
    ACTS_ON_PLAN,
    APART,
    accepted_body,
    as_moment,
    file_hash,
    last_together,
    loses,
    named_by_last_ask,
    undone_together,
)
from tui.standing import due_step, event_words, with_states

if TYPE_CHECKING:
    from planning.records.clock import Clock
    from planning.records.saved_plan import SavedPlan
    from planning.schedule.choices import Choice

REMEMBERED = 200


class Planner(Protocol):
    """Whoever makes plans: in this process (command line) or in a helper process (screen)."""

    def plan(self, job: Job, events: Sequence[Event], now: Instant) -> Plan:
        """The plan from `now`. Raises `NoPlan` when nothing fits."""
        ...

    def choices(self, job: Job, events: Sequence[Event], now: Instant) -> "list[Choice]":
        """At most three ways to go on, the one the aim likes best first. Raises `NoPlan` when there is none."""
        ...


class Session:
    """Job, record and plan of one job file. Not a planner and not a screen.

    Attributes: `job` (None when the file has a mistake that leaves no job), `problems` (all mistakes of the file),
    `steps`, `events` (all that were noted, undone ones too), `plan` (on the wall), `offered` (a plan that waits for
    the setter's choice, or None), `offers` (the choices last made), `trouble` (why there is no newer plan, or None),
    `extra` (what the screen wants back with the first frame; plain JSON values).
    """

    def __init__(
        self, job_path: Path, clock: "Clock", planner: Planner, *, read_only: bool = False, at_once: bool = True
    ) -> None:
        self.job_path = job_path
        self.clock = clock
        self.planner = planner
        self.at_once = at_once
        self.job: Job | None = None
        self.problems: list[Problem] = []
        self.steps: tuple[Step, ...] = ()
        self.events: tuple[Event, ...] = ()
        self.plan: Plan | None = None
        self.offered: Plan | None = None
        self.offers: list[Choice] = []
        self.trouble: str | None = None
        self.extra: dict[str, Any] = {}
        self._book = Notebook(job_path, clock, read_only)
        self._file_mark: tuple[int, int] | None = None
        self._job_hash = ""
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
        self.job, self.problems, self.steps = self._read()
        self._book.zone = None if self.job is None else self.job.zone
        self.events = self._book.events()
        saved = self.first_frame(self.job_path)
        if saved is not None and self.job is not None:
            self._decided, self._decided_at = saved.inputs, saved.plan.made_at
            self._remembered[saved.inputs] = saved.plan
            self.plan = self._standing(saved.plan)

    def _read(self) -> tuple[Job | None, list[Problem], tuple[Step, ...]]:
        from planning.records.job_file import read_job

        job, problems = read_job(self.job_path)
        if job is None:
            return None, problems, ()
        from planning.trade.expand import expand

        expansion = expand(job)
        return job, [*problems, *expansion.problems], expansion.steps

    def use_clock(self, clock: "Clock") -> None:
        """Take the time from another clock from here on."""
        self.close()
        self.clock = self._book.clock = clock
        if self.plan is not None:
            self.plan = self._standing(self.plan)

    def close(self) -> None:
        """Let go of the record. The session can be loaded again."""
        self._book.close()

    def now(self) -> Instant:
        """The instant of the clock, rounded down to the minute."""
        return int(self.clock.wall().timestamp() // 60)

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
        """What a plan made now would depend on: the job file, the events and the day. Same hash, same plan."""
        moment = self.now() if now is None else now
        day = "" if self.job is None else local(self.job.zone, moment).date().isoformat()
        facts = [[e.id, e.kind, e.at.isoformat(), dict(e.body)] for e in effective(self.events) if e.kind not in APART]
        text = json.dumps([self._job_hash, day, facts], sort_keys=True, default=str)
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
        self.trouble = None
        if self._must_choose(made):
            self.offered = made
            self._decide(made.made_at)
            return False
        self._put_up(made, made.made_at)
        return True

    def stuck(self, none_fits: NoPlan, now: Instant | None = None) -> None:
        """A computation found that no plan fits: `trouble` says why, the wall stays as it is."""
        self.trouble = str(none_fits)
        self._decide(self.now() if now is None else now)

    def _put_up(self, plan: Plan, moment: Instant) -> None:
        self.plan, self.offered, self.offers = plan, None, []
        self._decide(moment)
        self._remembered[self._decided] = plan
        while len(self._remembered) > REMEMBERED:
            self._remembered.pop(next(iter(self._remembered)))
        self._book.save_plan(plan, self._decided, self.extra)

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

    # Reporting

    @property
    def accepted(self) -> Accepted | None:
        """The plan the setter last took, or None while the plan on the wall was not acted on."""
        return None if self.job is None else read_progress(self.job, self.events).accepted

    def note(self, kind: str, body: Mapping[str, Any] | None = None, at: Instant | datetime | None = None) -> Event:
        """Write what happened, then bring the plan up to it. `at`: when it happened (default: now).

        Instants in the body are whole minutes under "until". The first report on a plan nobody took yet accepts that
        plan first. Raises `NotSaved` (planning.records.not_saved) when it is not on disk: then nothing was done,
        `not_saved` says why, and the call may be tried again. The plan is made anew here only with `at_once`.
        """
        event = self._write(kind, dict(body or {}), at)
        self._after_report()
        return event

    def start(self, step_id: str, at: Instant | datetime | None = None) -> Event:
        """The step is begun."""
        return self.note("started", {"step": step_id}, at)

    def finish(self, step_id: str, at: Instant | datetime | None = None) -> Event:
        """The step is done."""
        return self.note("finished", {"step": step_id}, at)

    def late(
        self, step_id: str, minutes: Minutes, at: Instant | datetime | None = None, why: str | None = None
    ) -> Event:
        """The step's finish (its start, when not begun) comes so many minutes after the plan on the wall.

        Raises KeyError when no such step is on the wall.
        """
        step = self._on_wall(step_id)
        until = (step.finish if step.state == "hands" else step.start) + minutes
        body = {"step": step_id, "value": minutes, "until": until}
        return self.note("late", {**body, "why": why} if why else body, at)

    def tacky(self, step_id: str) -> Event:
        """Still tacky: look again in 30 min. On a finished step it holds the steps that wait for it to dry."""
        known = {} if self.job is None else read_progress(self.job, self.events).not_before
        group = uuid4().hex
        written = [
            self._write("tacky", {"step": held, "until": max(self.now(), known.get(held, 0)) + TACKY_MIN,
                                  "with": group}, None)
            for held in self._tacky_holds(self._on_wall(step_id))
        ]  # fmt: skip
        self._after_report()
        return written[-1]

    def really_at(self, step_id: str, at: Instant | datetime) -> Event:
        """The last mark of this step (started or finished) was at another time. Raises KeyError without a mark."""
        for marked in reversed(standing(self.events)):
            if marked.kind in ("started", "finished") and marked.body.get("step") == step_id:
                return self.note("corrected", {"event": marked.id, "at": as_moment(at).isoformat(), "step": step_id})
        raise KeyError(f"{step_id} was not marked started or finished")

    def undo(self, *, any_day: bool = False) -> str | None:
        """Take back the last thing, and say it in words; None when nothing of the job day is left to take back.

        What was written together (a choice and what it swaps) is taken back together. The old plan comes back whole.
        """
        together = last_together(self.events)
        if not together or (not any_day and together[-1].minute < self._day_start()):
            return None
        said = self.words(together[-1])
        self._take_back(together)
        return said

    def redo(self) -> str | None:
        """Have the last undone thing back, and say it in words; None when something was noted after it."""
        together = undone_together(self.events)
        if not together:
            return None
        by_id = {event.id: event for event in self.events}
        self._take_back(together)
        return self.words(by_id[str(together[0].body["event"])])

    def words(self, event: Event) -> str:
        """An event in a few words: `COAT 1 started 7:22`."""
        return event_words(event, self.plan, self.job.zone if self.job is not None else ZoneInfo("UTC"))

    def space_target(self, marked: str | None = None) -> PlannedStep | None:
        """The step SPACE acts on: the marked one, else the one due next. None on an empty wall."""
        if self.plan is None:
            return None
        for step in self.plan.steps:
            if step.id == marked:
                return step
        return due_step(self.plan, self.now())

    # Choosing

    def choices(self, now: Instant | None = None) -> "list[Choice]":
        """The ways to go on, made now and kept in `offers`. Raises `NoPlan` when there is none."""
        if self.job is None:
            raise ValueError("there is no job to plan: " + "; ".join(map(str, self.problems)))
        self.offers = self.planner.choices(self.job, self.events, self.now() if now is None else now)
        return self.offers

    def take(self, n: int = 1) -> Event:
        """Take choice `n` (from 1): what it swaps and the plan as accepted are written, and its plan goes up.

        Raises ValueError when there is no such choice, `NotSaved` when it is not on disk.
        """
        offers = self.offers or self.choices()
        if not 1 <= n <= len(offers):
            raise ValueError(f"there is no choice {n}; there are {len(offers)}")
        choice = offers[n - 1]
        group = uuid4().hex
        for draft in choice.events:
            self._append(draft.kind, {**draft.body, "with": group}, None, uuid4().hex)
        event = self._append("plan_accepted", accepted_body(choice.plan, choice.title), None, group)
        self._put_up(self._standing(choice.plan), self.now())
        return event

    def accept(self) -> Event:
        """Take the plan on the wall as it is. Raises ValueError when the wall is empty."""
        if self.plan is None:
            raise ValueError("there is no plan to take")
        event = self._append("plan_accepted", accepted_body(self.plan, ""), None, uuid4().hex)
        self._put_up(self.plan, self.now())
        return event

    def keep_old(self) -> tuple[Broken, ...]:
        """Keep the plan on the wall though a better one was offered; returns what it breaks now, by the judge."""
        from planning.schedule.judge import judge

        self.offered, self.offers = None, []
        if self.plan is None or self.job is None:
            return ()
        self._put_up(self.plan, self.now())
        return judge(self.plan, self.job, self.steps, self.events)

    # Inside

    def _write(self, kind: str, body: dict[str, Any], at: Instant | datetime | None) -> Event:
        event_id = self._book.id_for(kind, body)
        if kind in ACTS_ON_PLAN and self.plan is not None and self.accepted is None:
            body.setdefault("with", event_id)
            taken = {**accepted_body(self.plan, ""), "with": body["with"]}
            self._append("plan_accepted", taken, None, uuid4().hex)
        return self._append(kind, body, at, event_id)

    def _append(self, kind: str, body: Mapping[str, Any], at: Instant | datetime | None, event_id: str) -> Event:
        event = self._book.append(kind, body, at, event_id)
        self.events = self._book.events()
        return event

    def _take_back(self, together: Sequence[Event]) -> None:
        group = uuid4().hex
        for event in reversed(together):
            self._append("undone", {"event": event.id, "with": group}, None, uuid4().hex)
        self.offered, self.offers = None, []
        before = self._remembered.get(self.inputs_hash())
        if before is not None:
            self._put_up(self._standing(before), self.now())
        else:
            self._after_report()

    def _after_report(self) -> None:
        self.offered, self.offers = None, []
        if self.plan is not None:
            self.plan = self._standing(self.plan)
        if self.at_once and self.job is not None:
            try:
                self.replan()
            except Exception as wrong:  # the report is on disk: whatever the planner does, it must not look unsaved
                self.trouble = f"the planner failed ({type(wrong).__name__}: {wrong}); the plan is the old one"

    def _standing(self, plan: Plan) -> Plan:
        return plan if self.job is None else with_states(plan, self.job, self.events, self.now())

    def _on_wall(self, step_id: str) -> PlannedStep:
        if self.plan is None:
            raise KeyError(f"no plan is made yet, so {step_id} has no time")
        return self.plan.step(step_id)

    def _tacky_holds(self, step: PlannedStep) -> list[str]:
        if self.plan is None or step.state not in ("done", "curing"):
            return [step.id]
        behind = [s.id for s in self.plan.steps if any(a.id == step.id and a.wait_min for a in s.after)]
        waiting = [s for s in behind if self.plan.step(s).state in ("wait", "ready", "hold", "missed")]
        return waiting or [step.id]

    def _day_start(self) -> Instant:
        if self.job is None:
            return 0
        midnight = local(self.job.zone, self.now()).replace(hour=0, minute=0)
        return int(midnight.timestamp() // 60)

    def _mark(self) -> tuple[int, int] | None:
        try:
            found = self.job_path.stat()
        except OSError:
            return None
        return found.st_mtime_ns, found.st_size
