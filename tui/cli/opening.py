"""From the words of a command to a loaded session: the job file found and read, the time, a plan if one is due."""

import argparse
import sys
from contextlib import suppress
from pathlib import Path
from zoneinfo import ZoneInfo

from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.records.clock import Clock, FrozenClock, SystemClock
from planning.schedule.no_plan import NoPlan
from tui.cli.planner import HerePlanner
from tui.cli.times import read_time
from tui.cli.wrong import WrongUse
from tui.reports import as_moment
from tui.session import Session
from tui.words import clock_went


def job_path(text: str) -> Path:
    """The job file that was named; its `.toml` may be left off. Raises WrongUse when there is no such file."""
    path = Path(text)
    if path.is_dir():
        raise WrongUse(f"{text} is a folder; give the job file in it, NAME.toml")
    named = path if path.exists() or path.suffix == ".toml" else path.with_name(path.name + ".toml")
    if not named.exists():
        raise WrongUse(f"there is no job file {text}; give the path of a NAME.toml")
    return named


def open_session(args: argparse.Namespace, *, at_once: bool = True, save: bool | None = None) -> Session:
    """The session of the job that `args` names, loaded. Every problem of its file is told on stderr.

    With `--now` the clock stands at that time, and a command that only shows (`save` None) keeps no plan from it.
    Raises WrongUse when the file has a problem.
    """
    path = job_path(args.job)
    clock: Clock = SystemClock()
    session = Session(path, clock, HerePlanner(), at_once=at_once, read_only=args.now is not None and not save)
    args.closing.callback(session.close)
    session.load()
    for problem in session.problems:
        print(problem, file=sys.stderr)
    if session.job is None or session.problems:
        raise WrongUse(f"{path.name} cannot be planned until {_lines(len(session.problems))} above is put right")
    if args.now is not None:
        session.use_clock(FrozenClock(as_moment(read_time(args.now, session.job.zone, session.now()))))
    if not save and session.not_saved is not None:
        # Whoever notes something hears it as the reason why it is not saved.
        print(f"mudday: {session.not_saved}", file=sys.stderr)
    if session.doubt:
        print(f"mudday: {clock_went(session.doubt)} mudday time {args.job} tells more", file=sys.stderr)
    return session


def _lines(count: int) -> str:
    return "the line" if count == 1 else f"each of the {count} lines"


def job_of(session: Session) -> Job:
    """The job of a session that `open_session` gave."""
    if session.job is None:
        raise WrongUse("there is no job")
    return session.job


def zone_of(session: Session) -> ZoneInfo:
    """The site's zone."""
    return job_of(session).zone


def at_once(session: Session) -> Plan | None:
    """A plan for the names of its pieces, made within a second; it is not put up, and nobody is promised its times."""
    from planning.schedule.make_plan import make_plan

    with suppress(NoPlan):
        return make_plan(job_of(session), session.events, session.now(), improve=False)
    return None


def current_plan(session: Session) -> Plan:
    """The plan as of now: the one on the wall while it holds, else a new one (also when a choice waits).

    Raises NoPlan.
    """
    if session.needs_plan() or _never_taken(session):
        session.replan()
        if session.trouble is not None:
            raise session.none_fits or NoPlan([session.trouble])
    plan = session.offered or session.plan
    if plan is None:
        raise NoPlan(["no plan was made"])
    return plan


def _never_taken(session: Session) -> bool:
    """Nobody works to this plan yet and its first hours have passed: then it is only an old guess."""
    if session.plan is None or session.accepted is not None:
        return False
    now: Instant = session.now()
    return any(step.start < now and step.state in ("wait", "ready") for step in session.plan.steps)
