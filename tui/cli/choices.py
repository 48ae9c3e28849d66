"""`mudday choices|take|undo|redo JOB`: the ways to go on, taking one, and taking things back."""

import argparse
from typing import Any

from planning.job.choice import Choice
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan_json import iso, to_dict
from planning.quantities.show import show_day, show_moment
from tui.cli.opening import job_of, open_session
from tui.cli.out import print_json
from tui.cli.plan_text import moved_lines
from tui.cli.wrong import DONE, WrongUse
from tui.session import Session

UNCHANGED = ("", "order", "later")
"""Kinds of choices that ask nothing new of anybody: with one of them, a plan fits as the job is."""


def run_choices(args: argparse.Namespace) -> int:
    """Print the choices, numbered, each with its cost and what it moves. Raises NoPlan."""
    session = open_session(args, at_once=False)
    job = job_of(session)
    choices = session.choices()
    if args.format == "json":
        listed = [{**choice_dict(n, each, job), "plan": to_dict(each.plan)} for n, each in enumerate(choices, start=1)]
        print_json({"job": job.name, "choices": listed})
        return DONE
    if not any(each.kind in UNCHANGED for each in choices):
        print("NO PLAN FITS as it is; mudday check says why. With each of these one does:")
    for n, each in enumerate(choices, start=1):
        print(choice_line(n, each, job))
        for line in (*(f"breaks: {broke}" for broke in each.broke), *moved_lines(each.plan, job, session.now())):
            print(f"     {line}")
    print(f"mudday take {args.job} N takes one; mudday undo {args.job} brings the old plan back.")
    return DONE


def choice_dict(n: int, choice: Choice, job: Job) -> dict[str, Any]:
    """A choice for JSON, without its plan."""
    return {
        "n": n, "title": choice.title, "kind": choice.kind, "costs": choice.costs, "cost": choice.cost.as_dict(),
        "finish": iso(choice.finish, job.zone), "breaks": list(choice.broke),
        "events": [{"kind": each.kind, "body": dict(each.body)} for each in choice.events],
    }  # fmt: skip


def choice_line(n: int, choice: Choice, job: Job) -> str:
    """`2  Stay till 4:10. Costs: 40 min each, you and helper, tonight. Job done Tue 16 Jun 10:20.`"""
    return f"{n}  {choice.title}. Costs: {choice.costs}. Job done {show_moment(choice.finish, job.zone)}."


def run_take(args: argparse.Namespace) -> int:
    """Take choice N: write it, and say what was taken. Raises NoPlan, NotSaved."""
    session = open_session(args, at_once=False, save=True)
    try:
        event = session.take(args.choice)
    except ValueError as wrong:
        raise WrongUse(f"{wrong}; mudday choices {args.job} lists them") from wrong
    job = job_of(session)
    return _say(args, session, job, f"Taken: {event.body['choice']}. {_done(session, job)}")


def run_undo(args: argparse.Namespace) -> int:
    """Take back the last thing noted, whatever its day."""
    session = open_session(args, save=True)
    said = session.undo(any_day=True)
    if said is None:
        raise WrongUse("there is nothing to take back")
    return _say(args, session, job_of(session), f"Undone: {said}. mudday redo {args.job} has it back.")


def run_redo(args: argparse.Namespace) -> int:
    """Have the last undone thing back."""
    session = open_session(args, save=True)
    said = session.redo()
    if said is None:
        raise WrongUse("nothing was undone last, so there is nothing to have back")
    return _say(args, session, job_of(session), f"Back again: {said}.")


def _done(session: Session, job: Job) -> str:
    if session.plan is None:
        return ""
    return f"Job done {show_day(local(job.zone, session.plan.finish).date())}."


def _say(args: argparse.Namespace, session: Session, job: Job, text: str) -> int:
    if args.format == "json":
        finish = None if session.plan is None else iso(session.plan.finish, job.zone)
        print_json({"job": job.name, "said": text, "finish": finish})
    else:
        print(text)
    return DONE
