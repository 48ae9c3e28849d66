"""`mudday stay-off|release|calendar|packet JOB`: the sheets and files that go to other people."""

import argparse
import sys

from planning.handover.bookings import bookings
from planning.handover.release_table import floor_rows, release_page, release_table
from planning.handover.stay_off import rooms_off, stay_off_page, stay_off_sheet
from planning.job.job import Job
from planning.job.plan_json import iso
from planning.job.words import Instant
from tui.cli.handover import facts_of, keep_told
from tui.cli.names import room_named
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.out import print_json
from tui.cli.wrong import DONE, WrongUse


def run_stay_off(args: argparse.Namespace) -> int:
    """Print a sheet for each room that nobody may walk in, or for one room."""
    session = open_session(args)
    job = job_of(session)
    offs = rooms_off(facts_of(session))
    if args.room is not None:
        room = room_named(args.room, job)
        if room not in offs:
            raise WrongUse(f"nobody must stay off the {job.room(room).name} now")
        offs = {room: offs[room]}
    if args.format == "json":
        table = [
            {"room": each.room, "part": each.part, "until": _iso(each.until, job), "told": each.told, "step": each.step}
            for listed in offs.values() for each in listed
        ]  # fmt: skip
        print_json({"job": job.name, "stay_off": table})
    elif args.format == "html":
        sys.stdout.write(stay_off_page(offs, job))
    else:
        sheets = [stay_off_sheet(room, listed, job) for room, listed in offs.items()]
        sys.stdout.write("\n".join(sheets) or "Nobody must stay off any floor now.\n")
    return DONE


def run_release(args: argparse.Namespace) -> int:
    """Print from when each floor may be walked on, worked in, wetted or loaded, and from when to book whom."""
    session = open_session(args)
    job, facts = job_of(session), facts_of(session)
    if args.format == "html":
        sys.stdout.write(release_page(facts))
    elif args.format == "json":
        floors = [
            {"room": row.room, "part": row.part, "for": each.use, "usual": _iso(each.usual, job),
             "safe": _iso(each.safe, job), "after": each.after}
            for row in floor_rows(facts) for each in row.uses
        ]  # fmt: skip
        book = [
            {"who": each.who, "room": each.room, "what": each.what, "usual": _iso(each.usual, job),
             "safe": _iso(each.safe, job), "booked": _iso(each.booked, job)}
            for each in bookings(facts.plan, job, facts.steps, facts.times, facts.progress)
        ]  # fmt: skip
        print_json({"job": job.name, "releases": floors, "book": book})
    else:
        sys.stdout.write(release_table(facts))
    return DONE


def _iso(at: Instant | None, job: Job) -> str | None:
    return None if at is None else iso(at, job.zone)


def run_calendar(args: argparse.Namespace) -> int:
    """Print the phone calendar; send it to a file: mudday calendar JOB > job.ics."""
    from planning.handover.calendar import calendar_body, phone_calendar, told_entries

    session = open_session(args, save=not args.look)
    plan, job = current_plan(session), job_of(session)
    made = phone_calendar(plan, job, session.steps, session.events, session.now(), args.reader)
    if not args.look and told_entries(session.events, args.reader) != dict(made.entries):
        keep_told(session, calendar_body(made, args.reader))
    sys.stdout.flush()
    # Lines end in CR LF by the standard: text mode would double the CR on Windows.
    sys.stdout.buffer.write(made.data)
    return DONE


def run_packet(args: argparse.Namespace) -> int:
    """Print the closing packet: what the owner keeps."""
    from planning.handover.packet import make_packet, packet_page, packet_text

    session = open_session(args)
    packet = make_packet(facts_of(session))
    if args.format == "json":
        print_json({"job": packet.job, "sections": {each.key: list(each.lines) for each in packet.sections}})
    else:
        sys.stdout.write(packet_page(packet) if args.format == "html" else packet_text(packet))
    return DONE
