"""`mudday plan JOB`: the plan as text, or as JSON of version 1."""

import argparse
import sys
from datetime import date

from planning.job.hours import local
from planning.job.plan import Plan
from planning.job.plan_json import to_json
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.times import read_day
from tui.cli.wrong import DONE
from tui.session import Session


def run(args: argparse.Namespace) -> int:
    """Print the plan. Raises NoPlan when nothing fits."""
    session = open_session(args)
    plan = current_plan(session)
    if args.format == "json":
        sys.stdout.write(to_json(plan))
        return DONE
    from tui.cli.plan_text import plan_text

    days = days_asked(args.day, plan, session)
    sys.stdout.write(plan_text(plan, job_of(session), session.events, session.now(), days))
    if session.offered is not None:
        print(f"A choice waits: mudday choices {args.job}", file=sys.stderr)
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
