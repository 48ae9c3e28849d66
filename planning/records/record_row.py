"""One event as a row of the record, with a checksum of its own, and back."""

import json
import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from planning.job.events import EVENT_KINDS, Event
from planning.records.clock import Mark

MAX_BODY = 4_000_000
"""Characters of JSON in one event; an accepted plan of 1,000 steps takes about a tenth of a million."""


@dataclass(frozen=True, slots=True)
class Row:
    """An event as it is stored. `boot` is "boot id, boot seconds" of the noting, "" where not known."""

    seq: int
    id: str
    at_utc: str
    utc_offset: int
    kind: str
    body: str
    boot: str

    @property
    def crc(self) -> int:
        """CRC-32 of all other columns; any single flipped bit changes it."""
        text = f"{self.seq}\0{self.id}\0{self.at_utc}\0{self.utc_offset}\0{self.kind}\0{self.body}\0{self.boot}"
        return zlib.crc32(text.encode())


COLUMNS = ("seq", "id", "at_utc", "utc_offset", "kind", "body", "boot")


class BadRowError(ValueError):
    """A stored row is not what was written."""


def body_text(body: Mapping[str, Any]) -> str:
    """An event's body as JSON text. Raises ValueError on what JSON cannot hold, and on more than MAX_BODY."""
    try:
        text = json.dumps(dict(body), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        json.loads(text)
    except (TypeError, ValueError, RecursionError) as wrong:
        raise ValueError(f"event body cannot be saved as JSON ({wrong}); give text, numbers, lists, tables") from wrong
    if len(text) > MAX_BODY:
        raise ValueError(f"event body has {len(text)} characters; at most {MAX_BODY}")
    return clean(text)


def clean(text: str) -> str:
    """Text without half characters (a wrong byte on the command line), which no file can hold."""
    return text.encode("utf-8", "replace").decode("utf-8")


def boot_text(mark: Mark) -> str:
    """A mark's boot part as stored."""
    return f"{mark.boot_id},{mark.boot:.3f}" if mark.boot_id else ""


def mark_of(row: Row) -> Mark:
    """When the row was noted: wall time (its own, or the one kept in a backdated body) and boot time."""
    noted = json.loads(row.body).get("noted_at", row.at_utc)
    boot_id, _, seconds = row.boot.partition(",")
    return Mark(datetime.fromisoformat(str(noted)).astimezone(UTC), float(seconds or 0.0), boot_id)


def event_of(row: Row) -> Event:
    """The event in a row, fit to be shown: what could move a screen's cursor or turn its text round is taken out of the
    words (the row keeps them). Raises BadRowError when a column has the wrong form.
    """
    try:
        body = json.loads(row.body)
        at = datetime.fromisoformat(row.at_utc)
    except (ValueError, RecursionError, TypeError) as wrong:
        raise BadRowError(f"event {row.seq} is not as it was written") from wrong
    if not isinstance(body, dict) or at.tzinfo is None:
        raise BadRowError(f"event {row.seq} is not as it was written")
    if _UNSEEMLY_JSON.search(row.body):
        body = _seemly(body)
    kind = row.kind if row.kind.isprintable() else str(_seemly(row.kind))
    return Event(row.id, kind, at.astimezone(UTC), body, row.seq, row.utc_offset)


_SIGNS = "\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff\U000e0000-\U000e007f"
"""What no line may hold beside ASCII's control characters: C1 controls, marks that turn text round, hidden tags."""

_BLANK = re.compile(r"[\t\n\r\v\f\x85\u2028\u2029]+")
_UNSEEMLY = re.compile(f"[\\x00-\\x1f{_SIGNS}]")
_UNSEEMLY_JSON = re.compile(rf"\\[bfnrtu]|[{_SIGNS}]")
"""The same as JSON text has it, so that an event of a thousand steps is looked through at once."""


def _seemly(value: Any) -> Any:
    if isinstance(value, str):
        return _UNSEEMLY.sub("?", _BLANK.sub(" ", value))
    if isinstance(value, list):
        return [_seemly(each) for each in value]
    if isinstance(value, dict):
        return {_seemly(key): _seemly(each) for key, each in value.items()}
    return value


def row_of(stored: tuple[Any, ...]) -> Row:
    """A row as the file gave it: columns and checksum. Raises BadRowError when they do not belong together."""
    row = Row(*stored[:-1])
    if tuple(map(type, stored)) != _TYPES or row.crc != stored[-1]:
        raise BadRowError(f"event {row.seq} is not as it was written")
    return row


_TYPES = (int, str, str, int, str, str, str, int)


def check_event(kind: str, body: Mapping[str, Any]) -> None:
    """Raise ValueError on a kind that does not exist, and on an undo or a correction that does not say of what."""
    if kind not in EVENT_KINDS:
        raise ValueError(f"no event of kind {kind!r}; one of: {', '.join(EVENT_KINDS)}")
    if kind in ("undone", "corrected") and not isinstance(body.get("event"), str):
        raise ValueError(f'{kind} needs "event", the id of another event')
    if kind == "corrected" and datetime.fromisoformat(str(body.get("at"))).tzinfo is None:
        raise ValueError(f'corrected needs "at" with an offset, not {body.get("at")!r}; write 2026-06-03T07:20-06:00')


def offset_min(at: datetime) -> int:
    """The UTC offset of an aware time in whole minutes. Raises ValueError for a time without a zone."""
    offset = at.utcoffset()
    if offset is None:
        raise ValueError(f"time {at} has no zone; give an aware datetime")
    return round(offset / timedelta(minutes=1))


def in_offset(event: Event) -> datetime:
    """When it happened, on the wall clock of the place where it was noted."""
    return event.at.astimezone(timezone(timedelta(minutes=event.utc_offset_min)))
