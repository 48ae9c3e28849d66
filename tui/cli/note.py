"""`mudday note JOB KIND [STEP|ROOM|WHO] [VALUE]`: one report onto the record, then what it changes."""

import argparse
import sys
from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from typing import Any

from planning.job.events import EVENT_KINDS, Event
from planning.job.plan import Plan
from planning.job.plan_json import iso
from planning.job.progress import read_progress
from planning.job.step import Step
from planning.job.words import Instant
from planning.quantities.show import show_moment
from planning.schedule.no_plan import NoPlan
from tui.cli import names, note_trouble
from tui.cli.note_kinds import FORMS, Form, help_text
from tui.cli.opening import at_once, job_of, open_session
from tui.cli.out import print_json
from tui.cli.plan_text import moved_lines
from tui.cli.times import read_time
from tui.cli.wrong import DONE, NO_PLAN, WrongUse
from tui.session import Session

ABOUT_KEYS = {"step": "step", "room": "room", "who": "who", "visit": "visit", "answer": "answer", "errand": "errand",
              "class": "class"}  # fmt: skip

AFTER_PLAN = frozenset(("late", "tacky"))
"""Reports that are counted from the time a plan gives: without a plan, one is made first."""

LEAST_OF_STEP = 2
"""`used CLASS NUMBER` is beside the plan; one word more names the step first."""


def run(args: argparse.Namespace) -> int:
    """Note one thing. Raises WrongUse for words that fit nothing, NotSaved when it is not on disk."""
    if args.kind == "help":
        sys.stdout.write(help_text(args.job))
        return DONE
    form = _form(args.kind)
    session = open_session(args, at_once=False, save=True)
    before = session.plan
    if before is None and args.kind in AFTER_PLAN:
        # Wrong words are told at once, not after the planner has worked for them.
        _Noting(session, args, form).read()
        before = session.replan()
        if before is None:
            raise session.none_fits or NoPlan([f"{args.kind} is counted from a plan, and none was made"])
    known = {step.id for step in session.steps}
    event = _Noting(session, args, form).write()
    return _say(args, session, event, before, [step for step in session.steps if step.id not in known])


def _form(kind: str) -> Form:
    named = kind.replace("-", "_")
    if named in FORMS:
        return FORMS[named]
    if named == "plan_accepted":
        raise WrongUse("a plan is taken with mudday take JOB [N]")
    if named == "undone":
        raise WrongUse("the last thing is taken back with mudday undo JOB")
    if named in EVENT_KINDS:
        raise WrongUse(f"{kind} is noted by the screen only")
    raise WrongUse(f"there is no kind {kind!r}; " + names.pick_hint(kind, FORMS))


class _Noting:
    """Reads the words of one report against the job."""

    def __init__(self, session: Session, args: argparse.Namespace, form: Form) -> None:
        self.session = session
        self.job = job_of(session)
        self.kind = args.kind.replace("-", "_")
        self.form = form
        self.words: list[str] = list(args.about)
        self.why: str | None = args.why
        self.at: Instant | None = None if args.at is None else self._time(args.at)

    @cached_property
    def plan(self) -> Plan | None:
        """The plan that names the pieces of steps."""
        return self.session.plan or at_once(self.session)

    def read(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """What it is about, and the value. Raises WrongUse."""
        about = self._about()
        value = self._value()
        if self.words:
            raise WrongUse(f"{' '.join(self.words)!r} is left over; write it as {self._example()}")
        self._refuse_again(str(about.get("step", "")))
        if self.kind == "class_swapped":
            self._refuse_swap({**about, **value})
        return about, value

    def write(self) -> Event:
        """Write the event. Raises WrongUse, NotSaved."""
        about, value = self.read()
        step = str(about.get("step", ""))
        if self.kind == "late":
            return self.session.late(step, int(value["value"]), self.at, self.why)
        if self.kind == "tacky":
            return self.session.tacky(step)
        if self.kind == "corrected":
            try:
                return self.session.really_at(step, int(value["until"]))
            except KeyError as unmarked:
                raise WrongUse(str(unmarked.args[0])) from unmarked
        body = {**about, **value}
        if self.why:
            body["why"] = self.why
        return self.session.note(self.kind, body, self.at)

    def _refuse_again(self, step: str) -> None:
        """A second mark of the same kind is a slip of the hand: a wrong time is put right, not noted twice."""
        progress = read_progress(self.job, self.session.events)
        marks = {"started": progress.started, "finished": progress.finished}.get(self.kind, {})
        if step in marks:
            marked = show_moment(marks[step], self.job.zone)
            raise WrongUse(f"{step} is marked {self.kind} already, {marked}; "
                           f"mudday note JOB corrected {step} TIME changes that")  # fmt: skip

    def _refuse_swap(self, body: dict[str, Any]) -> None:
        """A swap that the trade does not know, or that changes nothing here, is told at once."""
        from planning.trade.mending.swapped import why_no_swap

        wrong = why_no_swap(self.job, self.session.events, body)
        if wrong is not None:
            raise WrongUse(wrong)

    def _about(self) -> dict[str, Any]:
        what = self.form.about.rstrip("?")
        may_lack = self.form.about.endswith("?")
        if not what or (may_lack and len(self.words) < 2):
            return {}
        if self.kind == "used" and len(self.words) > LEAST_OF_STEP:
            step = self._named("step", self.words.pop(0))
            return {**step, **self._named(what, self.words.pop(0))}
        if not self.words:
            raise WrongUse(f"{self.kind} of which {what}? Write it as {self._example()}")
        try:
            found = self._named(what, self.words[0])
        except WrongUse:
            if may_lack:
                return {}
            raise
        self.words.pop(0)
        return found

    def _named(self, what: str, text: str) -> dict[str, Any]:
        match what:
            case "step":
                done = read_progress(self.job, self.session.events).finished if self.kind != "corrected" else {}
                return {"step": self._step_named(text, done)}
            case "place":
                try:
                    return {"room": names.room_named(text, self.job)}
                except WrongUse:
                    return {"step": self._step_named(text)}
            case "delivery":
                try:
                    return {"delivery": names.delivery_named(text, self.job)}
                except WrongUse:
                    return {"class": names.class_named(text, self.job)}
            case "service":
                return {"service": note_trouble.service(text)}
            case "visit":
                return {"visit": names.visit_named(text, self.job, self.plan)}
        finders: dict[str, Callable[..., str]] = {
            "room": names.room_named, "who": names.person_named, "answer": names.answer_named,
            "errand": names.errand_named, "class": names.class_named,
        }  # fmt: skip
        return {ABOUT_KEYS[what]: finders[what](text, self.job)}

    def _step_named(self, text: str, done: Iterable[str] = ()) -> str:
        if self.session.plan is None and not text.startswith("errand"):
            # Wrong words are told at once, not after a plan was made for the names of pieces.
            names.step_named(text, None, self.session.steps)
        return names.step_named(text, self.plan, self.session.steps, done)

    def _value(self) -> dict[str, Any]:
        how = self.form.value.rstrip("?")
        if not how:
            return {}
        if not self.words:
            if self.form.value.endswith("?"):
                return {}
            raise WrongUse(f"the value is missing; write it as {self._example()}")
        if how in ("word", "class", "tick"):
            return self._short_value(how)
        text = " ".join(self.words)
        self.words = []
        if how in note_trouble.VALUES:
            return note_trouble.VALUES[how](text)
        match how:
            case "time":
                return {"until": self._time(text)}
            case "hold":
                return {"value": text} if text in ("on", "off") else {"until": self._time(text)}
            case "minutes":
                return {"value": self._minutes(text)}
            case "number":
                return {"value": _number(text)}
            case "air":
                return {"value": _air(text)}
            case "label":
                return {"value": _label(text)}
        return {"value": text}

    def _short_value(self, how: str) -> dict[str, Any]:
        word = self.words.pop(0)
        if how == "word":
            return {"value": word}
        key = names.class_named(word, self.job)
        if how == "class":
            room = {"room": names.room_named(self.words.pop(0), self.job)} if self.words else {}
            return {"value": key, **room}
        return {"class": key, "value": self.words.pop(0) if self.words else "on"}

    def _time(self, text: str) -> Instant:
        return read_time(text, self.job.zone, self.session.now())

    def _minutes(self, text: str) -> int:
        if text.lstrip("-").isdigit():
            return int(text)
        from planning.quantities.units import UnitProblem, minutes

        try:
            return minutes(text)
        except UnitProblem as wrong:
            raise WrongUse(str(wrong)) from wrong

    def _example(self) -> str:
        return f"mudday note JOB {self.form.example}"


def _number(text: str) -> float:
    words = text.split()
    try:
        return float(words[0])
    except ValueError:
        raise WrongUse(f"{text!r} is not a number; write it as 2") from None


def _air(text: str) -> dict[str, float]:
    from planning.quantities.units import UnitProblem, air

    try:
        read = air(text)
    except UnitProblem as wrong:
        raise WrongUse(str(wrong)) from wrong
    return {"air_c": read.air_c, "humidity": read.humidity, "surface_c": read.surface_c}


def _label(text: str) -> str:
    from planning.job.problem import UnreadableError
    from planning.trade.labels import label_words

    try:
        label_words(text)
    except UnreadableError as wrong:
        raise WrongUse(str(wrong)) from wrong
    return text


def _say(
    args: argparse.Namespace, session: Session, event: Event, before: Plan | None, put_in: Sequence[Step]
) -> int:  # fmt: skip
    job = job_of(session)
    if args.format != "json":
        # It is on disk: the answer does not wait for the planner.
        print(f"Noted: {session.words(event)}.", end="", flush=True)
    if before is not None:
        session.catch_up()
    waits = session.offered is not None
    if args.format == "json":
        print_json({"job": job.name, "noted": {"id": event.id, "kind": event.kind, "at": iso(event.minute, job.zone),
                                               "body": dict(event.body)}, "choice_waits": waits,
                    "put_in": [step.id for step in put_in], "trouble": session.trouble})  # fmt: skip
    else:
        print(_after(args, session, event, before))
        for line in note_trouble.put_in_lines(job, event, put_in):
            print(f"  {line}")
        made = session.offered
        for line in moved_lines(made, job, session.now()) if made is not None else ():
            print(f"  {line}")
    if session.label_trouble is not None:
        print(session.label_trouble, file=sys.stderr)
    if session.trouble is not None:
        print(f"no plan: {session.trouble}", file=sys.stderr)
        return NO_PLAN
    return DONE


def _after(args: argparse.Namespace, session: Session, event: Event, before: Plan | None) -> str:
    if session.offered is not None:
        return f" A choice waits: mudday choices {args.job}"
    if before is None:
        return f" There is no plan yet: mudday plan {args.job}"
    if session.plan is None or session.trouble is not None:
        return ""
    was = {step.id: step.start for step in before.steps if step.id != event.body.get("step")}
    moved = sum(1 for step in session.plan.steps if was.get(step.id, step.start) != step.start)
    return " Nothing else moved." if not moved else f" {moved} step{'s move' if moved > 1 else ' moves'}."
