"""Is the record whole? And what can still be read when it is not. Nothing here writes."""

import contextlib
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from planning.job.events import Event
from planning.records import record_file
from planning.records.record_faults import is_passing
from planning.records.record_file import DamagedError
from planning.records.record_row import COLUMNS, BadRowError, Row, event_of, row_of

SELECT = f"SELECT {', '.join(COLUMNS)}, crc FROM event"

Noted = tuple[Row, Event]
"""An event as stored and as read."""

READ_ERRORS = (sqlite3.Error, UnicodeDecodeError, TypeError, ValueError, OverflowError, MemoryError)
"""What reading a damaged SQLite file was seen to raise, beside its own errors."""


def read_rows(link: sqlite3.Connection, after: int = 0) -> tuple[Noted, ...]:
    """All events after a number, checked by checksum. Raises DamagedError, or sqlite3.Error when kept from reading."""
    try:
        stored = link.execute(f"{SELECT} WHERE seq > ? ORDER BY seq", (after,))
        rows = tuple((row, event_of(row)) for row in map(row_of, stored))
    except BadRowError as wrong:
        raise DamagedError(f"is damaged: {wrong}") from wrong
    except READ_ERRORS as wrong:
        if is_passing(wrong):
            raise
        raise DamagedError("is damaged: an event cannot be read") from wrong
    if [row.seq for row, _ in rows] != list(range(after + 1, after + 1 + len(rows))):
        raise DamagedError("is damaged: events are missing from the middle")
    return rows


def check(link: sqlite3.Connection) -> None:
    """Look at every page and at what the file says it is. Raises DamagedError, or sqlite3.Error when kept from it."""
    try:
        found = [str(line) for (line,) in link.execute("PRAGMA integrity_check(1)")]
        kept = dict(link.execute("SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL"))
    except READ_ERRORS as wrong:
        if is_passing(wrong):
            raise
        raise DamagedError("is damaged: its pages do not fit together") from wrong
    if found != ["ok"]:
        raise DamagedError("is damaged: its pages do not fit together")
    if kept != record_file.SCHEMA:
        raise DamagedError("is damaged: its table is not the one of a record")


@dataclass(frozen=True, slots=True)
class Salvage:
    """What could be read of a damaged record: events whose checksum holds, and how many more there must have been."""

    noted: tuple[Noted, ...]
    lost: int


def salvage(path: Path) -> Salvage:
    """Read whatever can be read, from the front and from the back, leaving the file as it is. Never raises."""
    found: dict[int, Noted] = {}
    bad: set[int] = set()
    for ignore_locks in (False, True):
        for order in ("ASC", "DESC"):
            with (
                contextlib.suppress(*READ_ERRORS),
                contextlib.closing(record_file.open_to_read(path, ignore_locks)) as db,
            ):
                db.execute("PRAGMA trusted_schema=OFF")
                _collect(db.execute(f"{SELECT} ORDER BY seq {order}"), found, bad)
        if found:
            break
    highest = max(found, default=0)
    return Salvage(tuple(found[seq] for seq in sorted(found)), max(highest - len(found), len(bad - set(found))))


def _collect(cursor: Iterator[tuple[object, ...]], found: dict[int, Noted], bad: set[int]) -> None:
    for stored in cursor:
        try:
            row = row_of(stored)
            noted = row, event_of(row)
        except READ_ERRORS:
            if isinstance(stored[0], int):
                bad.add(stored[0])
        else:
            found.setdefault(row.seq, noted)
