"""`mudday note JOB KIND [STEP|ROOM|WHO] [VALUE]`: one report onto the record, then what it changes."""

import argparse
import sys
from collections.abc import Callable
from typing import Any

from planning.job.events import EVENT_KINDS, Event
from planning.job.plan import Plan
from planning.job.plan_json import iso
from planning.job.progress import read_progress
from planning.job.words import Instant
from planning.quantities.show import show_moment
from tui.cli import names
from tui.cli.note_kinds import FORMS, Form, help_text
from tui.cli.opening import job_of, open_session
from tui.cli.out import print_json
from tui.cli.plan_text import moved_lines
from tui.cli.times import read_time
from tui.cli.wrong import DONE, NO_PLAN, WrongUse
from tui.session import Session

ABOUT_KEYS = {"step": "step", "room": "room", "who": "who", "visit": "visit", "answer": "answer", "errand": "errand",
              "class": "class"}  # fmt: skip


def run(args: argparse.Namespace) -> int:
    """Note one thing. Raises WrongUse for words that fit nothing, NotSaved when it is not on disk."""
    if args.kind == "help":
        sys.stdout.write(help_text(args.job))
        return DONE
    form = _form(args.kind)
    session = open_session(args, save=True)
    before = session.plan
    if before is None:
        # Wrong words are told at once, not after the planner has worked for them.
        _Noting(session, args, form).read()
        before = session.replan()
    event = _Noting(session, args, form).write()
    return _say(args, session, event, before)


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

    def read(self) -> tuple[dict[str, Any], dict[str, Any]]:
        """What it is about, and the value. Raises WrongUse."""
        about = self._about()
        value = self._value()
        if self.words:
            raise WrongUse(f"{' '.join(self.words)!r} is left over; write it as {self._example()}")
        self._refuse_again(str(about.get("step", "")))
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

    def _about(self) -> dict[str, Any]:
        what = self.form.about.rstrip("?")
        may_lack = self.form.about.endswith("?")
        if not what or (may_lack and len(self.words) < 2):
            return {}
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
        plan = self.session.plan
        match what:
            case "step":
                done = read_progress(self.job, self.session.events).finished if self.kind != "corrected" else {}
                return {"step": names.step_named(text, plan, self.session.steps, done)}
            case "place":
                try:
                    return {"room": names.room_named(text, self.job)}
                except WrongUse:
                    return {"step": names.step_named(text, plan, self.session.steps)}
            case "delivery":
                try:
                    return {"delivery": names.delivery_named(text, self.job)}
                except WrongUse:
                    return {"class": names.class_named(text, self.job)}
            case "visit":
                return {"visit": names.visit_named(text, self.job, plan)}
        finders: dict[str, Callable[..., str]] = {
            "room": names.room_named, "who": names.person_named, "answer": names.answer_named,
            "errand": names.errand_named, "class": names.class_named,
        }  # fmt: skip
        return {ABOUT_KEYS[what]: finders[what](text, self.job)}

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
        return {"value": text}

    def _short_value(self, how: str) -> dict[str, Any]:
        word = self.words.pop(0)
        if how == "word":
            return {"value": word}
        key = names.class_named(word, self.job)
        if how == "class":
            return {"value": key}
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


def _say(args: argparse.Namespace, session: Session, event: Event, before: Plan | None) -> int:
    job = job_of(session)
    words = session.words(event)
    waits = session.offered is not None
    if args.format == "json":
        print_json({"job": job.name, "noted": {"id": event.id, "kind": event.kind, "at": iso(event.minute, job.zone),
                                               "body": dict(event.body)}, "choice_waits": waits,
                    "trouble": session.trouble})  # fmt: skip
    else:
        print(f"Noted: {words}.{_after(args, session, event, before)}")
        made = session.offered
        for line in moved_lines(made, job, session.now()) if made is not None else ():
            print(f"  {line}")
    if session.trouble is not None:
        print(f"no plan: {session.trouble}", file=sys.stderr)
        return NO_PLAN
    return DONE


def _after(args: argparse.Namespace, session: Session, event: Event, before: Plan | None) -> str:
    if session.offered is not None:
        return f" A choice waits: mudday choices {args.job}"
    if before is None or session.plan is None or session.trouble is not None:
        return ""
    was = {step.id: step.start for step in before.steps if step.id != event.body.get("step")}
    moved = sum(1 for step in session.plan.steps if was.get(step.id, step.start) != step.start)
    return " Nothing else moved." if not moved else f" {moved} step{'s move' if moved > 1 else ' moves'}."
