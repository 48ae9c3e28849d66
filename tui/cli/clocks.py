"""`mudday clocks JOB`: the windows that run, the worst first."""

import argparse

from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.plan_json import iso
from planning.job.words import Instant
from planning.quantities.show import show_clock, show_minutes
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.out import print_json
from tui.cli.plan_text import room_words
from tui.cli.wrong import DONE
from tui.mixes import mixes
from tui.pour_clock import all_running, mixes_of
from tui.running import Running, next_end
from tui.words import WINDOW_WORDS


def run(args: argparse.Namespace) -> int:
    """Print every window that runs."""
    session = open_session(args)
    job, plan, now = job_of(session), current_plan(session), session.now()
    mixed = mixes_of(mixes(plan, job, session.steps, session.events, now))
    found = all_running(plan, session.events, mixed, session.earliest(), session.latest())
    if args.format == "json":
        print_json({"job": job.name, "now": iso(now, job.zone), "clocks": [_as_dict(each, job) for each in found]})
        return DONE
    for each in found:
        print(_line(each, plan, job, now))
    if not found:
        print("No window runs now.")
    return DONE


def _line(each: Running, plan: Plan, job: Job, now: Instant) -> str:
    due = next_end(each)
    if each.state in ("not_yet", "soon"):
        tail = f"opens {show_clock(due, job.zone, now)}, in {show_minutes(due - now)}"
    elif each.shuts is None:
        tail = ""
    elif each.state == "shut":
        tail = f"{show_minutes(now - due)} ago. {each.step.recovery or ''}"
    else:
        tail = f"shuts {show_clock(due, job.zone, now)}, {show_minutes(due - now)} left"
    what = {"start": each.step.title, "walk": f"walk on it ({each.step.title})"}.get(each.what, each.what)
    return f"{WINDOW_WORDS[each.state]:<8} {room_words(plan, each.step)}, {what}: {tail}".rstrip(": ")


def _as_dict(each: Running, job: Job) -> dict[str, str | None]:
    def text(at: Instant | None) -> str | None:
        return None if at is None else iso(at, job.zone)

    return {"step": each.step.id, "what": each.what, "opens": text(each.opens), "shuts": text(each.shuts),
            "state": each.state}  # fmt: skip
