"""One job on the bench: its file, its record and the plan on the wall, for the screen and for the command line alike.

No textual in here, and nothing heavy is imported before it must: the saved plan is read without pint or a solver.

A report (`note`, `start`, `late`, ...) is on disk before the call returns. With `at_once` (the command line) the plan
is then made again in the same call; the screen passes `at_once=False`, runs `compute` in a thread and hands the
result to `show`. `compute` reads immutable values only and changes nothing, so it may run anywhere; everything
else belongs to one thread.

A new plan goes up by itself when nothing is lost by it. When the setter must choose, it is kept in `offered`, the plan
on the wall stays, and `choices`, `take` and `keep_old` end the question.
"""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any
from uuid import uuid4
from zoneinfo import ZoneInfo

from planning.job.events import Event, standing
from planning.job.hours import local
from planning.job.plan import Broken, PlannedStep
from planning.job.progress import TACKY_MIN, read_progress
from planning.job.words import Instant, Minutes
from tui.desk import Desk, Planner
from tui.label_notes import before_noting, keep, put_back
from tui.reports import ACTS_ON_PLAN, accepted_body, as_moment, last_together, undone_together
from tui.standing import due_step, event_words

if TYPE_CHECKING:
    from planning.job.choice import Choice
    from planning.records.clock_change import Answer

__all__ = ["Planner", "Session"]


class Session(Desk):
    """A desk with a setter at it: his reports, his choices, what he takes back. Not a planner and not a screen.

    Every report is on disk before the call returns. What a session knows is described at `Desk`.
    """

    label_trouble: str | None = None
    """Why the label last noted is not kept for the next job, or None."""

    # Reporting

    def note(self, kind: str, body: Mapping[str, Any] | None = None, at: Instant | datetime | None = None) -> Event:
        """Write what happened, then bring the plan up to it. `at`: when it happened (default: now).

        Instants in the body are whole minutes under "until". The first report on a plan nobody took yet accepts that
        plan first. Raises `NotSaved` (planning.records.not_saved) when it is not on disk: then nothing was done,
        `not_saved` says why, and the call may be tried again. The plan is made anew here only with `at_once`, and not
        after reports that no plan depends on.
        """
        facts = dict(body or {})
        event = self._write(kind, before_noting(facts) if kind == "label" else facts, at)
        if kind == "label":
            self.label_trouble = keep(event.body)
            self._labels_written()
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

    def ask_clock(self) -> None:
        """Keep in the record that it is open which time is right, or open no more."""
        self._book.ask_clock()
        self.events = self._book.events()

    def settle_clock(self, answer: "Answer") -> None:
        """Somebody said which time is right (see planning.records.clock_change). What was noted on a wrong one moves.

        Raises `NotSaved` when the answer is not on disk: then the question is still open.
        """
        self._book.settle_clock(answer)
        self.events = self._book.events()
        self._after_report()

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
        return event_words(event, self.plan, self.job.zone if self.job is not None else ZoneInfo("UTC"), self.steps)

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
        self._keep_for_undo()
        for draft in choice.events:
            self._append(draft.kind, {**draft.body, "with": group}, None, uuid4().hex)
        event = self._append("plan_accepted", accepted_body(choice.plan, choice.title), None, group)
        self._put_up(self._standing(choice.plan), self.now())
        return event

    def keep_old(self) -> tuple[Broken, ...]:
        """Keep the plan on the wall though a better one was offered; returns what it breaks now, by the judge."""
        from planning.schedule.judge import judge

        self.offered, self.offers = None, []
        if self.plan is None or self.job is None:
            return ()
        self._put_up(self.plan, self.now())
        return judge(self.plan, self.job, self.steps, self.events)

    def catch_up(self) -> None:
        """Make a new plan if what was noted asks for one. Raises nothing: what was noted must not look unsaved."""
        if self.job is None or not self.needs_plan():
            return
        try:
            self.replan()
        except Exception as wrong:  # the report is on disk, whatever the planner does
            self.trouble = f"the planner failed ({type(wrong).__name__}: {wrong}); the plan is the old one"

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
        self._heed(self._book.events())
        return event

    def _take_back(self, together: Sequence[Event]) -> None:
        group = uuid4().hex
        for event in reversed(together):
            self._append("undone", {"event": event.id, "with": group}, None, uuid4().hex)
        self._labels_put_back(together)
        self.offered, self.offers = None, []
        before = self._remembered.get(self.inputs_hash())
        if before is not None:
            self._put_up(self._standing(before), self.now())
        if before is None or self._choice_waited():
            self._decided = ""
            self._after_report()

    def _labels_put_back(self, together: Sequence[Event]) -> None:
        """An undone label leaves his file, one whose undo is undone comes back to it."""
        by_id = {event.id: event for event in self.events}
        said = [put_back(event.body) for event in together if event.kind == "label"]
        again = [by_id.get(str(event.body.get("event"))) for event in together if event.kind == "undone"]
        said += [keep(event.body) for event in again if event is not None and event.kind == "label"]
        self.label_trouble = next((each for each in said if each), None)
        self._labels_written()

    def _after_report(self) -> None:
        if self.plan is not None:
            self.plan = self._standing(self.plan)
        if not self.needs_plan():
            return
        self.offered, self.offers = None, []
        if self.at_once:
            self.catch_up()

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
