"""A choice the setter has when the day breaks: a plan with its cost, and the events that taking it would write."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from planning.job.plan import Plan
from planning.job.words import Instant


@dataclass(frozen=True, slots=True)
class EventDraft:
    """An event that taking a choice would write."""

    kind: str
    body: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to go on: what it is, what it costs, the plan it gives, the events it takes, and what it breaks."""

    title: str
    costs: str
    finish: Instant
    plan: Plan
    events: tuple[EventDraft, ...] = ()
    broke: tuple[str, ...] = ()
