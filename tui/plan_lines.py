"""What goes over the pipes between the screen and its helper process: events and plans as plain JSON tables."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from planning.job.events import Event
from planning.job.plan import Plan
from planning.job.plan_json import from_dict, to_dict


def event_table(event: Event) -> dict[str, Any]:
    """One event as JSON values."""
    return {
        "id": event.id,
        "kind": event.kind,
        "at": event.at.isoformat(),
        "body": dict(event.body),
        "seq": event.seq,
        "off": event.utc_offset_min,
    }


def event_from(table: Mapping[str, Any]) -> Event:
    """The event of such a table."""
    return Event(
        str(table["id"]), str(table["kind"]), datetime.fromisoformat(str(table["at"])), dict(table["body"]),
        int(table["seq"]), int(table["off"]),
    )  # fmt: skip


def plan_table(plan: Plan) -> dict[str, Any]:
    """A plan with what its JSON does not carry: the zone's name and the notes."""
    return {"plan": to_dict(plan), "zone": plan.zone, "notes": dict(plan.notes)}


def plan_from(table: Mapping[str, Any]) -> Plan:
    """The plan of such a table."""
    return from_dict(table["plan"], str(table["zone"]), dict(table["notes"]))
