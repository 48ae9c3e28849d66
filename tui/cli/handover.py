"""`mudday snapshot|told|drive-off JOB`: the note for tonight, what was told before, and the list before driving off."""

import argparse
import sys
from collections.abc import Mapping
from typing import Any

from planning.handover.as_page import note_page
from planning.handover.as_text import note_markdown, note_text
from planning.handover.drive_off import drive_off, drive_off_text
from planning.handover.evening import Evening, end_of, evening
from planning.handover.note import Note
from planning.handover.sections.questions import Question, open_questions
from planning.handover.snapshot import make_note
from planning.handover.told import told_body, told_notes, was_told
from planning.job.plan_json import iso
from planning.job.words import Instant
from planning.quantities.show import show_moment
from planning.records.not_saved import NotSaved
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.out import print_json
from tui.cli.times import read_day
from tui.cli.transfer import export_beside
from tui.cli.wrong import DONE, WrongUse
from tui.session import Session


def facts_of(session: Session, now: Instant | None = None) -> Evening:
    """What the pages of a session are written from, at its own time or at another: then as was known at that time."""
    moment = session.now() if now is None else now
    known = [event for event in session.events if event.minute <= moment] if now is not None else session.events
    return evening(current_plan(session), job_of(session), session.steps, known, moment)


def run_snapshot(args: argparse.Namespace) -> int:
    """Print the note for tonight and keep it as told, or look at the evening of another day and keep nothing."""
    keep = not args.look and args.day is None
    session = open_session(args, save=keep)
    now = None if args.day is None else end_of(job_of(session), read_day(args.day))
    facts = facts_of(session, now)
    note = make_note(facts, args.reader, args.long)
    for question in open_questions(facts):
        print(f"OPEN QUESTION  {question.words} mudday note {args.job} {question.answer}", file=sys.stderr)
    if session.offered is not None:
        print(f"A choice waits: the note goes by the plan not taken yet. mudday choices {args.job}", file=sys.stderr)
    if keep:
        _keep(session, note)
    if args.format == "json":
        print_json(_as_dict(note, session, open_questions(facts)))
    else:
        sys.stdout.write({"md": note_markdown, "html": note_page}.get(args.format, note_text)(note))
    return DONE


def _keep(session: Session, note: Note) -> None:
    """The note as an event, so that the next one can say what moved, and a spare copy of job and record with it."""
    body = told_body(note, note_text(note))
    if not was_told(session.events, body):
        keep_told(session, body)
    export_beside(session.job_path)


def keep_told(session: Session, body: Mapping[str, Any]) -> None:
    """Write what was handed over. The page is printed all the same when it cannot be kept: stderr says so."""
    try:
        session.note("told", body)
    except NotSaved as wrong:
        print(f"NOT KEPT as told: {wrong.reason}", file=sys.stderr)


def _as_dict(note: Note, session: Session, asked: tuple[Question, ...]) -> dict[str, Any]:
    zone = job_of(session).zone
    return {
        "job": note.job,
        "day": note.day.isoformat(),
        "for": note.audience,
        "on_site": note.on_site,
        "questions": [{"words": each.words, "answer": each.answer} for each in asked],
        "sections": {each.key: list(each.lines) for each in note.sections},
        "rooms": [{"room": each.room, "done": each.done, "today": each.today} for each in note.shares],
        "dates": [
            {"of": each.label, "until": None if each.until is None else iso(each.until, zone)}
            for each in note.dates.values()
        ],
    }


def run_told(args: argparse.Namespace) -> int:
    """List the notes handed over, or show one again as it was."""
    session = open_session(args)
    zone = job_of(session).zone
    notes = told_notes(session.events)
    if args.number is not None:
        if not 1 <= args.number <= len(notes):
            raise WrongUse(f"there is no note {args.number}; there are {len(notes)}: mudday told {args.job}")
        notes = notes[args.number - 1 : args.number]
    if args.format == "json":
        print_json([{"at": iso(each.at, zone), "day": each.day.isoformat(), "for": each.audience, "text": each.text}
                    for each in notes])  # fmt: skip
    elif args.number is not None:
        sys.stdout.write(notes[0].text)
    else:
        rows = [f"{n:>3}  {show_moment(each.at, zone)}  {each.audience}" for n, each in enumerate(notes, start=1)]
        sys.stdout.write("\n".join(rows or ["Nobody was told anything yet: mudday snapshot JOB."]) + "\n")
    return DONE


def run_drive_off(args: argparse.Namespace) -> int:
    """Show the list before driving off; with line numbers, tick those first."""
    session = open_session(args, save=bool(args.lines))
    facts = facts_of(session)
    lines = drive_off(facts)
    wrong = [n for n in args.lines if not 1 <= n <= len(lines)]
    if wrong:
        raise WrongUse(f"there is no line {wrong[0]}; there are {len(lines)}: mudday drive-off {args.job}")
    for n in dict.fromkeys(args.lines):
        session.note("ticked", {"leave": lines[n - 1].key, "day": facts.today.isoformat(),
                                "value": "off" if args.off else "on"})  # fmt: skip
    if args.lines:
        facts = facts_of(session)
    if args.format == "json":
        print_json([{"key": each.key, "words": each.words, "done": each.done} for each in drive_off(facts)])
    else:
        sys.stdout.write(drive_off_text(facts))
    return DONE
