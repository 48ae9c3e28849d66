"""What happened: immutable events in the order they were noted, with undo and correction as events of their own."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any

from planning.job.words import Instant

EVENT_KINDS: tuple[str, ...] = (
    "started",
    "finished",
    "late",
    "tacky",
    "found",
    "gone",
    "came",
    "visit_moved",
    "visit_result",
    "delivered",
    "short",
    "delivery_moved",
    "service_out",
    "service_back",
    "answered",
    "agreed",
    "reading",
    "ticked",
    "used",
    "photo",
    "gauge",
    "note",
    "told",
    "plan_accepted",
    "stay_until",
    "class_swapped",
    "extra_work",
    "errand",
    "van_has",
    "heard",
    "bucket",
    "water_in",
    "held",
    "label",
    "undone",
    "corrected",
    "clock_changed",
    "job_file",
    "ways",
)


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened.

    `at` is when it happened (aware, UTC); `seq` is the order in which things were noted and never changes.
    `body` holds {step | room | who | class, value, until, why}; `undone` names the event it takes back
    (`body["event"]`), `corrected` the event whose time was wrong (`body["event"]`, `body["at"]` as ISO text).
    """

    id: str
    kind: str
    at: datetime
    body: Mapping[str, Any] = field(default_factory=dict)
    seq: int = 0
    utc_offset_min: int = 0

    @property
    def minute(self) -> Instant:
        """The instant rounded down to the minute: when something began, or a maximum counts from."""
        return int(self.at.timestamp() // 60)

    @property
    def minute_up(self) -> Instant:
        """The instant rounded up to the minute: when something was over, so that no wait opens early."""
        return -int(-self.at.timestamp() // 60)


def standing(events: Iterable[Event]) -> tuple[Event, ...]:
    """The events nobody took back, undos and redos themselves included, in the order they were noted."""
    listed = sorted(events, key=lambda event: event.seq)
    taken_back: set[str] = set()
    for event in reversed(listed):
        if event.kind == "undone" and event.id not in taken_back:
            taken_back.add(str(event.body.get("event")))
    return tuple(event for event in listed if event.id not in taken_back)


def effective(events: Iterable[Event]) -> tuple[Event, ...]:
    """The events that stand: undone ones taken out (an undone undo puts its event back), times corrected, in order."""
    kept = [event for event in standing(events) if event.kind != "undone"]
    times = {
        str(event.body["event"]): datetime.fromisoformat(str(event.body["at"])).astimezone(UTC)
        for event in kept
        if event.kind == "corrected"
    }
    return tuple(
        replace(event, at=times[event.id]) if event.id in times else event
        for event in kept
        if event.kind != "corrected"
    )
