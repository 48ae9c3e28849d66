"""`mudday plan JOB`: the plan as text, or as JSON of version 1."""

import argparse
import sys
from datetime import date

from planning.job.hours import local
from planning.job.plan import Plan
from planning.job.plan_json import iso, to_json
from planning.quantities.show import show_moment
from tui.cli.names import step_named
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.out import print_json
from tui.cli.times import read_day
from tui.cli.wrong import DONE
from tui.session import Session


def run(args: argparse.Namespace) -> int:
    """Print the plan. Raises NoPlan when nothing fits."""
    session = open_session(args)
    plan = current_plan(session)
    if args.latest is not None:
        return _latest(args, session, plan)
    if args.format == "json":
        sys.stdout.write(to_json(plan))
        return DONE
    from tui.cli.plan_text import plan_text

    days = days_asked(args.day, plan, session)
    sys.stdout.write(plan_text(plan, job_of(session), session.events, session.now(), days))
    if session.offered is not None:
        print(f"A choice waits: mudday choices {args.job}", file=sys.stderr)
    return DONE


def _latest(args: argparse.Namespace, session: Session, plan: Plan) -> int:
    """How late a step may start: in the plan's order, and in any order."""
    from planning.schedule.latest import latest_in_any_order

    job = job_of(session)
    step = plan.step(step_named(args.latest, plan, session.steps))
    found = latest_in_any_order(job, session.events, plan, step.id)
    if args.format == "json":
        here = None if step.latest_start is None else iso(step.latest_start, job.zone)
        any_order = None if found is None else {"latest": iso(found.latest, job.zone), "proved": found.proved}
        print_json({"step": step.id, "latest_start": here, "lost_then": step.lost_then, "any_order": any_order})
        return DONE
    print(f"{step.title.upper()}: planned {show_moment(step.start, job.zone)}.")
    if step.latest_start is not None:
        print(f"  in this order: start by {show_moment(step.latest_start, job.zone)}, then {step.lost_then}.")
    else:
        print("  in this order: nothing is lost however late.")
    if found is not None:
        sure = "no order lets it start later (proved)" if found.proved else "the latest found, not proved"
        print(f"  in any order: start by {show_moment(found.latest, job.zone)}; {sure}.")
    else:
        print("  in any order: not known; it has begun, or the plan breaks something already.")
    return DONE


def days_asked(asked: str | None, plan: Plan, session: Session) -> list[date]:
    """The days to show: the one named, all that have work, or today (or the next day with work)."""
    job = job_of(session)
    working = sorted({local(job.zone, step.start).date() for step in plan.steps})
    if asked == "all":
        return working
    if asked is not None:
        return [read_day(asked)]
    today = local(job.zone, session.now()).date()
    return [today] if today in working else [day for day in working if day > today][:1]
