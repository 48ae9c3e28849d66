"""`mudday record JOB`: what was noted, in the order of noting."""

import argparse
from typing import Any

from planning.job.events import Event, standing
from planning.quantities.show import show_moment
from tui.cli.opening import job_of, open_session
from tui.cli.out import print_json
from tui.cli.wrong import DONE
from tui.session import Session


def run(args: argparse.Namespace) -> int:
    """Print the record; undone lines are marked."""
    session = open_session(args)
    job = job_of(session)
    kept = {event.id for event in standing(session.events)}
    if args.format == "json":
        print_json({"job": job.name, "events": [_as_dict(e, e.id in kept) for e in session.events]})  # fmt: skip
        return DONE
    for event in session.events:
        mark = " " if event.id in kept else "U"
        moment = show_moment(event.minute, job.zone)
        print(f"{event.seq:>5} {mark} {moment:<20} {_words(event, session)}")
    if not session.events:
        print("Nothing was noted yet.")
    return DONE


def _words(event: Event, session: Session) -> str:
    """An undo says what it took back (or had back, when it took back an undo)."""
    if event.kind != "undone":
        return session.words(event)
    target = next((each for each in session.events if each.id == event.body.get("event")), None)
    if target is None:
        return "took back something that is not here"
    if target.kind == "undone":
        return f"had back: {_words(target, session).removeprefix('took back: ')}"
    return f"took back: {session.words(target)}"


def _as_dict(event: Event, stands: bool) -> dict[str, Any]:
    return {"seq": event.seq, "id": event.id, "kind": event.kind, "at": event.at.isoformat(), "stands": stands,
            "body": dict(event.body)}  # fmt: skip
