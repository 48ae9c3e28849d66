"""Reports as the session writes them: which act on the plan, which ask for a choice, what is undone together."""

import hashlib
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from planning.job.events import Event, standing
from planning.job.hours import local
from planning.job.plan import Plan
from planning.job.progress import Accepted
from planning.job.words import Instant

# fmt: off
ACTS_ON_PLAN = frozenset((
    "started", "finished", "late", "tacky", "found", "gone", "came", "visit_moved", "visit_result", "delivered",
    "short", "answered", "stay_until", "class_swapped", "extra_work", "errand", "held", "water_in",
    "delivery_moved", "service_out", "service_back",
))
"""Reports by which the setter acts on the plan on the wall: the first of them accepts it."""

ASKS = frozenset((
    "late", "tacky", "found", "gone", "visit_moved", "short", "stay_until", "class_swapped", "extra_work", "held",
    "delivery_moved", "service_out",
))
"""Reports after which any move of another step is put to the setter; after the others only a loss is."""
# fmt: on

SILENT = frozenset(("heard", "clock_changed", "told", "job_file", "ways"))
"""Written by the program or for others: not what the setter means when he takes back the last thing."""

CHANGES_JOB = frozenset((
    "label", "agreed", "came", "undone", "class_swapped", "found", "visit_result", "short", "extra_work", "answered",
    "started", "finished",
))  # fmt: skip
"""Reports that change the job itself, not only where it stands: see planning.trade.noted."""

BY_CLOCK = "clock"
"""In the body of what was noted because the clock was set: no report, and not for the setter to take back."""

APART = SILENT | {"note", "ticked"}
"""No plan depends on these."""


def as_moment(at: Instant | datetime) -> datetime:
    """An instant, or an aware time, as an aware time in UTC."""
    return datetime.fromtimestamp(at * 60, UTC) if isinstance(at, int) else at.astimezone(UTC)


def file_hash(path: Path) -> str:
    """SHA-256 of a file's bytes; "" when it cannot be read."""
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


def accepted_body(plan: Plan, choice: str) -> dict[str, Any]:
    """The body of a `plan_accepted` event: start, finish and people of each step, the last finish, choice and proof."""
    proof = plan.proof
    return {
        "steps": {
            step.id: {"start": step.start, "finish": step.finish, "people": list(step.people)} for step in plan.steps
        },
        "visits": {visit.id: visit.start for visit in plan.visits},
        "finish": plan.finish,
        "choice": choice,
        "proof": {
            "best": proof.best,
            "at_most_min_sooner": proof.at_most_min_sooner,
            "cut_short": proof.cut_short,
        },
    }


def last_together(events: Sequence[Event]) -> list[Event]:
    """The last report that stands and what was written with it, in the order noted; empty when none is left."""
    kept = [event for event in standing(events) if event.kind != "undone"]
    said = [event for event in kept if event.kind not in SILENT and event.body.get("by") != BY_CLOCK]
    if not said:
        return []
    last = said[-1]
    group = {last.id, str(last.body.get("with", last.id))}
    together = [event for event in kept if event.id in group or str(event.body.get("with", "")) in group]
    return sorted(together, key=lambda event: (event.id == last.id, event.seq))


def undone_together(events: Sequence[Event]) -> list[Event]:
    """The last undo that may be taken back (nothing was reported after it), with its fellows; empty when none."""
    kept = standing(events)
    by_id = {event.id: event for event in events}
    undone = [e for e in kept if e.kind == "undone" and e.body.get("by") != BY_CLOCK and _takes_back_a_report(e, by_id)]
    if not undone or any(e.seq > undone[-1].seq for e in kept if e.kind != "undone" and e.kind not in SILENT):
        return []
    group = undone[-1].body.get("with", undone[-1].id)
    return [event for event in undone if event.body.get("with", event.id) == group]


def _takes_back_a_report(undo: Event, by_id: dict[str, Event]) -> bool:
    target = by_id.get(str(undo.body.get("event")))
    return target is not None and target.kind != "undone"


def named_by_last_ask(events: Sequence[Event]) -> str | None:
    """The step (or "") named by the last report, when that report is one that asks for a choice; else None."""
    acts = [event for event in standing(events) if event.kind in ACTS_ON_PLAN or event.kind == "plan_accepted"]
    # The acceptance written with the first report stands before it; a later one answers what was asked.
    if not acts or acts[-1].kind not in ASKS:
        return None
    return str(acts[-1].body.get("step", ""))


def loses(made: Plan, accepted: Accepted) -> bool:
    """Does the new plan cost what the setter was counting on: the last finish, a step's own day, or its people?"""
    if made.finish > accepted.finish:
        return True
    zone = ZoneInfo(made.zone)
    for step in made.steps:
        was = accepted.steps.get(step.id)
        if was is None or step.state in ("done", "curing", "hands"):
            continue
        if local(zone, was[0]).date() < local(zone, step.start).date() or set(was[2]) != set(step.people):
            return True
    return False
