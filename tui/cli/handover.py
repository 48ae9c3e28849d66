"""`mudday snapshot|stay-off|release|calendar JOB`: what other people read."""

import argparse
import sys

from planning.handover.evening import evening
from planning.handover.release import WORDS, release_table, releases
from planning.handover.snapshot import sections, snapshot
from planning.handover.stay_off import rooms_off, stay_off_sheet
from planning.job.hours import local
from planning.job.plan_json import iso
from tui.cli.names import room_named
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.out import print_json
from tui.cli.times import read_day
from tui.cli.transfer import export_beside
from tui.cli.wrong import DONE, WrongUse


def run_snapshot(args: argparse.Namespace) -> int:
    """Print the note for tonight, or for the evening of another day."""
    session = open_session(args)
    job, plan = job_of(session), current_plan(session)
    now = session.now()
    if args.day is not None:
        moment = local(job.zone, now)
        day = read_day(args.day)
        now = int(moment.replace(year=day.year, month=day.month, day=day.day).timestamp() // 60)
    if args.format == "json":
        facts = evening(plan, job, session.steps, session.events, now)
        table = dict(sections(facts, args.long))
        print_json({"job": job.name, "day": facts.today.isoformat(), "sections": table})  # fmt: skip
    else:
        sys.stdout.write(snapshot(plan, job, session.steps, session.events, now, args.long))
    if args.now is None:
        export_beside(session.job_path)
    return DONE


def run_stay_off(args: argparse.Namespace) -> int:
    """Print a sheet for each room that nobody may walk in, or for one room."""
    session = open_session(args)
    job = job_of(session)
    offs = rooms_off(current_plan(session), job, session.steps, session.events, session.now())
    if args.room is not None:
        room = room_named(args.room, job)
        if room not in offs:
            raise WrongUse(f"nobody must stay off the {job.room(room).name} now")
        offs = {room: offs[room]}
    if args.format == "json":
        table = [
            {"room": each.room, "part": each.part, "until": None if each.until is None else iso(each.until, job.zone),
             "told": each.told, "step": each.step}
            for listed in offs.values() for each in listed
        ]  # fmt: skip
        print_json({"job": job.name, "stay_off": table})
    else:
        sheets = [stay_off_sheet(room, listed, job) for room, listed in offs.items()]
        sys.stdout.write("\n".join(sheets) or "Nobody must stay off any floor now.\n")
    return DONE


def run_release(args: argparse.Namespace) -> int:
    """Print from when each floor may be walked on, wetted or loaded."""
    session = open_session(args)
    job, plan = job_of(session), current_plan(session)
    if args.format == "json":
        table = [
            {"room": each.room, "part": each.part, "for": WORDS[each.what], "step": each.step, "told": each.told,
             "until": None if each.until is None else iso(each.until, job.zone)}
            for each in releases(plan, job, session.steps, session.events)
        ]  # fmt: skip
        print_json({"job": job.name, "releases": table})
    else:
        sys.stdout.write(release_table(plan, job, session.steps, session.events, session.now()))
    return DONE


def run_calendar(args: argparse.Namespace) -> int:
    """Print the phone calendar; send it to a file: mudday calendar JOB > job.ics."""
    from planning.handover.calendar import phone_calendar

    session = open_session(args)
    made = phone_calendar(current_plan(session), job_of(session), session.steps, session.events, session.now())
    sys.stdout.flush()
    # Lines end in CR LF by the standard: text mode would double the CR on Windows.
    sys.stdout.buffer.write(made)
    return DONE
