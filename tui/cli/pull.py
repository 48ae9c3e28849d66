"""`mudday pull|slip|batch JOB`: what to carry, one person's page for a day, the batch card of a pour."""

import argparse
import sys

from planning.quantities.show import show_when
from planning.supply.pages import batch_card, batch_steps, helper_slip, pull_page
from planning.supply.pull_json import pull_dict
from planning.supply.pull_list import PullList, day_of, pull_list
from planning.supply.shortages import ErrandOffer, shortage_errands, shortages
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.out import print_json
from tui.cli.times import read_day
from tui.cli.wrong import DONE, WrongUse
from tui.session import Session


def run(args: argparse.Namespace) -> int:
    """Print the pull-list of a day (text) or of all days (JSON, unless one is named); `--run` plans a supply run."""
    session = open_session(args, save=True if args.run is not None else None)
    if args.run is not None:
        return _run(args, session)
    listed = _listed(args, session, every_day=args.format == "json")
    if args.format == "json":
        print_json(pull_dict(listed, job_of(session).zone))
        return DONE
    every = pull_list(current_plan(session), job_of(session), session.steps, session.events)
    last = listed.days[-1] if listed.days else None
    pages = [
        pull_page(day, job_of(session), session.now(), shortages(every) if day is last else ()) for day in listed.days
    ]
    sys.stdout.write("\n".join(pages) or "Nothing to carry.\n")
    if args.day != "all" and (offers := _offers(session)):
        print(f"\n{offers[0].title}: mudday pull {args.job} --run {offers[0].who}")
    return DONE


def _offers(session: Session) -> tuple[ErrandOffer, ...]:
    return shortage_errands(job_of(session), current_plan(session), session.steps, session.events, session.now())


def _run(args: argparse.Namespace, session: Session) -> int:
    """Put a supply run for what is short into the plan: the first driver's, or that person's."""
    offers = _offers(session)
    if not offers:
        print("Nothing that was counted runs short: no supply run is needed.")
        return DONE
    chosen = next((each for each in offers if each.who == args.run), None) if args.run else offers[0]
    if chosen is None:
        raise WrongUse(f"{args.run} does not drive; write one of {', '.join(each.who for each in offers)}")
    session.note(chosen.draft.kind, dict(chosen.draft.body))
    plan = current_plan(session)
    drive = plan.step(str(chosen.draft.body["id"]))
    when = show_when(drive.start, job_of(session).zone, session.now())
    print(f"Noted: {chosen.title}, {when}.")
    if session.offered is not None:
        print(f"A choice waits: mudday choices {args.job}")
    return DONE


def run_slip(args: argparse.Namespace) -> int:
    """Print a page for everybody of a day but the first person, who has the screen."""
    session = open_session(args)
    job, plan = job_of(session), current_plan(session)
    listed = _listed(args, session)
    names = [person.name for person in job.people[1:]] or [job.people[0].name]
    day = listed.days[0] if listed.days else None
    sys.stdout.write("\n".join(helper_slip(name, day, plan, job, session.now(), session.steps) for name in names))
    return DONE


def run_batch(args: argparse.Namespace) -> int:
    """Print the batch card of every pour and float of a day."""
    session = open_session(args)
    job = job_of(session)
    cards = [
        batch_card(pulled, step, job, session.events)
        for day in _listed(args, session).days
        for pulled, step in batch_steps(session.steps, day)
    ]
    sys.stdout.write("\n".join(cards) or "No pour or float on this day.\n")
    return DONE


def _listed(args: argparse.Namespace, session: Session, every_day: bool = False) -> PullList:
    plan = current_plan(session)
    day = None
    if args.day is not None and args.day != "all":
        day = read_day(args.day)
    elif args.day is None and not every_day:
        day = day_of(plan, session.now())
    return pull_list(plan, job_of(session), session.steps, session.events, day)
