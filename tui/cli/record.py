"""`mudday record JOB`: what was noted, in the order of noting."""

import argparse
from typing import Any

from planning.job.events import Event, standing
from planning.quantities.show import show_moment
from tui.cli.opening import job_of, open_session
from tui.cli.out import print_json
from tui.cli.wrong import DONE


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
        print(f"{event.seq:>5} {mark} {moment:<20} {session.words(event)}")
    if not session.events:
        print("Nothing was noted yet.")
    return DONE


def _as_dict(event: Event, stands: bool) -> dict[str, Any]:
    return {"seq": event.seq, "id": event.id, "kind": event.kind, "at": event.at.isoformat(), "stands": stands,
            "body": dict(event.body)}  # fmt: skip
