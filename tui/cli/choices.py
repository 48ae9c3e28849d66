"""`mudday choices|take|undo|redo JOB`: the ways to go on, taking one, and taking things back."""

import argparse

from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan_json import iso, to_dict
from planning.quantities.show import show_day, show_moment
from tui.cli.opening import job_of, open_session
from tui.cli.out import print_json
from tui.cli.plan_text import moved_lines
from tui.cli.wrong import DONE, WrongUse
from tui.session import Session


def run_choices(args: argparse.Namespace) -> int:
    """Print the choices, numbered, each with its cost and what it moves. Raises NoPlan."""
    session = open_session(args, at_once=False)
    job = job_of(session)
    choices = session.choices()
    if args.format == "json":
        listed = [
            {"n": n, "title": each.title, "costs": each.costs, "finish": iso(each.finish, job.zone),
             "breaks": list(each.broke), "events": [{"kind": e.kind, "body": dict(e.body)} for e in each.events],
             "plan": to_dict(each.plan)}
            for n, each in enumerate(choices, start=1)
        ]  # fmt: skip
        print_json({"job": job.name, "choices": listed})
        return DONE
    for n, each in enumerate(choices, start=1):
        done = show_moment(each.finish, job.zone)
        print(f"{n}  {each.title}. Costs: {each.costs}. Job done {done}.")
        for line in (*(f"breaks: {broke}" for broke in each.broke), *moved_lines(each.plan, job, session.now())):
            print(f"     {line}")
    print(f"mudday take {args.job} N takes one; mudday undo {args.job} brings the old plan back.")
    return DONE


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
