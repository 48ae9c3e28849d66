"""What goes over the pipes between the screen and its helper: events, plans and choices as plain JSON tables."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from planning.job.choice import Choice, EventDraft, cost_from
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


def choice_table(choice: Choice) -> dict[str, Any]:
    """A choice as JSON values."""
    return {
        "title": choice.title, "costs": choice.costs, "finish": choice.finish, "broke": list(choice.broke),
        "events": [{"kind": each.kind, "body": dict(each.body)} for each in choice.events],
        "cost": choice.cost.as_dict(), "kind": choice.kind, **plan_table(choice.plan),
    }  # fmt: skip


def choices_table(choices: Iterable[Choice]) -> dict[str, Any]:
    """Choices as an answer of the helper."""
    return {"choices": [choice_table(each) for each in choices]}


def choice_from(table: Mapping[str, Any]) -> Choice:
    """The choice of such a table."""
    drafts = tuple(EventDraft(str(each["kind"]), dict(each["body"])) for each in table["events"])
    broke = tuple(str(each) for each in table["broke"])
    return Choice(
        str(table["title"]), str(table["costs"]), int(table["finish"]), plan_from(table), drafts, broke,
        cost_from(table["cost"]), str(table["kind"]),
    )  # fmt: skip
