"""The record of a job: what happened, one event after another, never changed, never lost once `append` returned."""

import hashlib
import secrets
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self
from zoneinfo import ZoneInfo

from planning.job.events import Event
from planning.records import record_file
from planning.records.clock import Clock, Mark, doubt_since
from planning.records.not_saved import NotSaved, one_line
from planning.records.record_check import READ_ERRORS, Noted, read_rows
from planning.records.record_faults import is_passing, reason_of
from planning.records.record_file import DamagedError
from planning.records.record_open import Opened, given_up, open_record
from planning.records.record_row import Row, body_text, boot_text, check_event, clean, mark_of, offset_min

BACKDATED_S = 60.0
"""An event said to have happened this far from its noting keeps the time of noting too."""

INSERT = "INSERT INTO event (seq, id, at_utc, utc_offset, kind, body, boot, crc) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"


class Record:
    """A job's events on disk. Open with `Record.open`; use from one thread.

    `trouble` is None, or one line for the setter that says why nothing can be noted (read-only, damaged); what can
    be read is then still given by `events`. The file is made by the first append; its first event names the job
    file's SHA-256. `clock` may be replaced by a ClockWatch on it.
    """

    def __init__(self, job_path: Path, clock: Clock, read_only: bool, zone: ZoneInfo | None, afresh: bool) -> None:
        self.job_path = job_path
        self.path = record_file.record_path(job_path)
        self.clock = clock
        self.trouble: str | None = None
        self._read_only = read_only
        self._afresh = afresh
        self.zone = zone
        self._link: sqlite3.Connection | None = None
        self._file: tuple[int, int] | None = None
        self._rows: list[Row] = []
        self._events: tuple[Event, ...] = ()
        self._version = -1
        self._shown_version = -1
        self._damaged = False

    @classmethod
    def open(
        cls, job_path: Path, clock: Clock, read_only: bool = False, zone: ZoneInfo | None = None, afresh: bool = False
    ) -> Self:
        """Open the record beside a job file; there need not be one yet. Never raises for what is in the file.

        `read_only`: for viewing. `zone`: the site's; each event keeps the zone's UTC offset at its time.
        `afresh`: begin a new record where there is none, though files beside it tell of things noted.
        """
        record = cls(Path(job_path), clock, read_only, zone, afresh)
        record._connect()
        return record

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, wrong: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file. What was appended is on disk already; closing saves nothing."""
        if self._link is not None:
            record_file.close(self._link)
        self._link = None

    @property
    def writable(self) -> bool:
        """May events be noted, as far as is known?"""
        return self.trouble is None and not self._read_only

    @property
    def damaged(self) -> bool:
        """Is the file not as it was written? It is then left alone; `rescue` makes a new one of what can be read."""
        return self._damaged

    def events(self) -> tuple[Event, ...]:
        """All events in the order of noting, those another window noted since included."""
        if not self._damaged:
            if self._replaced() or (self._link is None and self.path.exists()):
                self._connect()
            self._refresh()
        return self._events

    def changed(self) -> bool:
        """Has another window (or another program) noted something since this was last asked? Cheap: ask each second."""
        if self._link is None or self._replaced():
            before = len(self._rows), self.trouble
            self._connect()
            return before != (len(self._rows), self.trouble)
        before_version = self._shown_version
        with suppress(sqlite3.Error):
            self._shown_version = self._data_version()
        return before_version != self._shown_version

    def append(
        self, kind: str, body: Mapping[str, Any], at: datetime | None = None, event_id: str | None = None
    ) -> Event:
        """Note that something happened; once this returns the event survives a crash and a power cut.

        `at`: when it happened (aware; now when None). If it was noted a minute or more from then, the body gets
        "noted_at". `event_id`: give the same one to try again after NotSaved; an event noted already is returned as
        it is. Raises NotSaved with one clear line when nothing was saved, ValueError for a kind or body that cannot be.
        """
        event_id = clean(event_id) if event_id else secrets.token_hex(8)
        draft = self._draft(kind, body, at, event_id)
        with self._saving(event_id):
            return self._commit([draft])[0]

    def append_all(self, notes: Iterable[tuple[str, Mapping[str, Any]]]) -> tuple[Event, ...]:
        """Note several events (kind, body) of this moment that belong together: all or none. Raises as `append`."""
        drafts = [self._draft(kind, body, None, secrets.token_hex(8)) for kind, body in notes]
        with self._saving(None):
            return self._commit(drafts)

    @contextmanager
    def _saving(self, event_id: str | None) -> Iterator[None]:
        """Whatever goes wrong inside is one NotSaved."""
        try:
            yield
        except NotSaved as wrong:
            raise NotSaved(wrong.reason, event_id) from wrong
        except DamagedError as wrong:
            self._take_damage(wrong)
            raise NotSaved(str(self.trouble), event_id) from wrong
        except (OSError, *READ_ERRORS) as wrong:
            raise NotSaved(reason_of(self.path, wrong), event_id) from wrong

    def append_rows(self, rows: Iterable[Row]) -> int:
        """Take over events of another record (import): those whose id is not here yet, in their order, all or none.

        Returns how many were added. Raises NotSaved.
        """
        with self._saving(None), self._transaction(job_file_first=False) as link:
            known = {each for (each,) in link.execute("SELECT id FROM event")}
            fresh = [row for row in rows if row.id not in known]
            for row in fresh:
                self._insert(link, row)
        return len(fresh)

    def rows(self) -> tuple[Row, ...]:
        """The events as stored, for export."""
        self.events()
        return tuple(self._rows)

    def job_file_sha(self) -> str:
        """The SHA-256 of the job file as it is now, "" when it cannot be read."""
        try:
            return hashlib.sha256(self.job_path.read_bytes()).hexdigest()
        except OSError:
            return ""

    def job_file_changed(self) -> bool:
        """Was the job file edited since it was last noted here? (Once taken over, append a new "job_file" event.)"""
        noted = [event.body.get("sha256") for event in self.events() if event.kind == "job_file"]
        return bool(noted) and noted[-1] != self.job_file_sha()

    def note_job_file(self) -> Event | None:
        """Note the job file as it is now when it changed; None when there is nothing to note. Raises NotSaved."""
        return self.append("job_file", self._job_file_body()) if self.job_file_changed() else None

    def doubt(self) -> float:
        """By how many seconds the clock is ahead (+) or behind (-) of what the last event allows.

        Ask before the first append of a session and give it to ClockWatch. 0.0: no reason to doubt. Events noted on
        a clock that stood still (`--now`) say nothing here.
        """
        self.events()
        last = next((row for row in reversed(self._rows) if row.boot), None)
        return doubt_since(None if last is None else mark_of(last), self.clock)

    # -- reading

    def _connect(self) -> None:
        if self._damaged:
            return
        self.close()
        found = self._stat()
        if found is None and self._file is not None:
            self.trouble = one_line(f"{self.path.name} is gone; put it back: nothing can be noted until then")
            return
        if found != self._file:
            self._rows, self._events = [], ()
        self._file = found
        self._take_up(open_record(self.path, self._read_only, self._afresh))
        self._refresh()
        self._shown_version = self._version

    def _take_up(self, opened: Opened) -> None:
        self._link, self.trouble, self._damaged = opened.link, opened.trouble, opened.damaged
        self._version = -1
        # What was read while the file was whole stays in view though it cannot be read any more.
        if len(opened.noted) > len(self._rows):
            self._rows, self._events = [], ()
            self._take_in(opened.noted)

    def _refresh(self) -> None:
        """Read what is new. Keeps what it has while the file cannot be read."""
        if self._link is None:
            return
        try:
            version = self._data_version()
            if version != self._version:
                self._take_in(self._unread(self._link))
                self._version = version
        except DamagedError as wrong:
            self._take_damage(wrong)
        except READ_ERRORS as wrong:
            if not is_passing(wrong):
                self._take_damage(DamagedError("is damaged: it cannot be read"))

    def _take_damage(self, why: DamagedError) -> None:
        if self._link is not None:
            self._link.close()
        self._link = None
        self._take_up(given_up(self.path, why))

    def _unread(self, link: sqlite3.Connection) -> tuple[Noted, ...]:
        if not link.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
            if self._rows:
                raise DamagedError("is damaged: everything in it is gone")
            return ()
        return read_rows(link, self._rows[-1].seq if self._rows else 0)

    def _take_in(self, noted: tuple[Noted, ...]) -> None:
        self._rows.extend(row for row, _ in noted)
        self._events += tuple(event for _, event in noted)

    def _data_version(self) -> int:
        return -1 if self._link is None else int(self._link.execute("PRAGMA data_version").fetchone()[0])

    def _stat(self) -> tuple[int, int] | None:
        try:
            found = self.path.stat()
        except OSError:
            return None
        return found.st_dev, found.st_ino

    def _replaced(self) -> bool:
        # A commit into a file that was moved away or replaced would be lost with it.
        return self._file is not None and self._stat() != self._file

    # -- writing

    def _draft(self, kind: str, body: Mapping[str, Any], at: datetime | None, event_id: str) -> Row:
        check_event(kind, body)
        now = self.clock.wall()
        happened = now if at is None else at
        offset = offset_min(happened)
        whole = dict(body)
        if abs((happened - now).total_seconds()) >= BACKDATED_S:
            whole["noted_at"] = now.astimezone(UTC).isoformat()
        if self.zone is not None:
            offset = offset_min(happened.astimezone(self.zone))
        mark = boot_text(Mark(now, self.clock.boot(), self.clock.boot_id()))
        return Row(0, event_id, happened.astimezone(UTC).isoformat(), offset, kind, body_text(whole), mark)

    def _job_file_body(self) -> dict[str, Any]:
        return {"file": clean(self.job_path.name), "sha256": self.job_file_sha()}

    def _begin(self) -> sqlite3.Connection:
        """A connection inside a write transaction, in a file that still lies at its path."""
        if self._read_only:
            raise NotSaved("the record was opened for viewing; open the job to work on it")
        if self._link is None or self._replaced() or self.trouble is not None:
            self._connect()
        if self.trouble is not None:
            raise NotSaved(self.trouble)
        if self._link is None:
            self._link = record_file.open_to_write(self.path)
            self._file, self._version = self._stat(), -1
            self._shown_version = self._data_version()
        self._link.execute("BEGIN IMMEDIATE")
        if self._replaced():
            self._roll_back()
            raise NotSaved(f"{self.path.name} was moved or replaced just now; do it again")
        return self._link

    def _commit(self, drafts: Iterable[Row]) -> tuple[Event, ...]:
        numbers = []
        with self._transaction() as link:
            for draft in drafts:
                known = link.execute("SELECT seq FROM event WHERE id = ?", (draft.id,)).fetchone()
                numbers.append(int(known[0]) if known else self._insert(link, draft))
        return tuple(self._events[number - 1] for number in numbers)

    @contextmanager
    def _transaction(self, job_file_first: bool = True) -> Iterator[sqlite3.Connection]:
        """One write transaction, all or nothing; what it added is in `_rows` afterwards."""
        link = self._begin()
        try:
            fresh = record_file.create_in(link)
            if fresh and self._rows:
                raise DamagedError("is damaged: everything in it is gone")
            if fresh and job_file_first:
                self._insert(link, self._draft("job_file", self._job_file_body(), None, secrets.token_hex(8)))
            yield link
            # Read before the commit: once it returned, nothing may fail that would call a saved event not saved.
            added = self._unread(link)
            link.execute("COMMIT")
        except BaseException:
            self._roll_back()
            raise
        self._take_in(added)

    def _roll_back(self) -> None:
        if self._link is None:
            return
        self._version = -1
        try:
            if self._link.in_transaction:
                self._link.execute("ROLLBACK")
        except sqlite3.Error:
            # A connection that cannot even roll back is of no use; the next append opens another one.
            self._link.close()
            self._link = None

    def _insert(self, link: sqlite3.Connection, draft: Row) -> int:
        seq = int(link.execute("SELECT coalesce(max(seq), 0) + 1 FROM event").fetchone()[0])
        row = replace(draft, seq=seq)
        link.execute(INSERT, (seq, row.id, row.at_utc, row.utc_offset, row.kind, row.body, row.boot, row.crc))
        return seq
