"""The files beside the job file as a session uses them: the record, opened when it is needed, and the saved plan."""

from collections.abc import Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4
from zoneinfo import ZoneInfo

from planning.job.events import Event
from planning.job.plan import Plan
from planning.job.words import Instant
from tui.reports import as_moment

if TYPE_CHECKING:
    from planning.records.clock_change import Answer
    from planning.records.clock_watch import ClockWatch
    from planning.records.record import Record


class Notebook:
    """Record and saved plan of one job.

    `saved_at`: when the last report reached the disk; `not_saved`: why one did not.
    """

    def __init__(self, job_path: Path, clock: "ClockWatch", read_only: bool) -> None:
        self.job_path = job_path
        self.clock = clock
        self.read_only = read_only
        self.zone: ZoneInfo | None = None
        self.saved_at: Instant | None = None
        self.not_saved: str | None = None
        self._record: Record | None = None
        self._failed: tuple[str, str] | None = None
        self._failed_id = ""
        self._heeded = 0

    def events(self) -> tuple[Event, ...]:
        """All events noted so far, another window's too."""
        from planning.records.clock_change import heed

        record = self._opened()
        events = record.events()
        self._heeded = heed(record, self.clock, self._heeded)
        if self.saved_at is None and events:
            self.saved_at = events[-1].minute
        return events

    def trouble(self) -> str | None:
        """Why nothing can be noted (damaged, read-only), or None."""
        return self._opened().trouble

    def changed(self) -> bool:
        """Did another window note something since this was last asked?"""
        return self._record is not None and self._record.changed()

    def append(
        self, kind: str, body: Mapping[str, Any], at: Instant | datetime | None = None, event_id: str | None = None
    ) -> Event:
        """Write one event; on disk when this returns. Raises NotSaved, and keeps the reason."""
        from planning.records.clock_change import ask
        from planning.records.not_saved import NotSaved

        moment = None if at is None else as_moment(at)
        try:
            record = self._opened()
            if record.writable:
                record.note_job_file()
                ask(record, self.clock)
            event = record.append(kind, dict(body), moment, event_id)
        except NotSaved as wrong:
            self.not_saved = wrong.reason
            raise
        self.not_saved = None
        self.saved_at = int(self.clock.wall().timestamp() // 60)
        return event

    def ask_clock(self) -> None:
        """Note that it is open which time is right, or open no more; when that cannot be kept, all else goes on."""
        from planning.records.clock_change import ask
        from planning.records.not_saved import NotSaved

        record = self._opened()
        # While nothing is noted, nothing depends on the clock.
        if record.events():
            with suppress(NotSaved):
                ask(record, self.clock)

    def settle_clock(self, answer: "Answer") -> None:
        """Note which time is right, and move what was noted on the wrong one. Raises NotSaved, and keeps the reason."""
        from planning.records.clock_change import settle
        from planning.records.not_saved import NotSaved

        try:
            settle(self._opened(), self.clock, answer)
        except NotSaved as wrong:
            self.not_saved = wrong.reason
            raise
        self.not_saved = None

    def id_for(self, kind: str, body: Mapping[str, Any]) -> str:
        """A new event id, or the last one's when that report was not saved and is tried again: it counts once."""
        asked = (kind, repr(sorted(body.items(), key=lambda item: item[0])))
        if self.not_saved is None or self._failed != asked:
            self._failed, self._failed_id = asked, uuid4().hex
        return self._failed_id

    def save_plan(self, plan: Plan, inputs: str, extra: Mapping[str, Any]) -> None:
        """Keep the plan for the next first frame. Only a cache: when it cannot be kept, nothing is lost."""
        from planning.records.saved_plan import write_saved

        record = self._opened()
        # The plan of before still tells how much a record held that is damaged or gone now.
        if not self.read_only and not record.damaged:
            write_saved(self.job_path, plan, inputs, extra, len(record.rows()))

    def close(self) -> None:
        """Let go of the record; the next call opens it again."""
        if self._record is not None:
            self._record.close()
            self._record = None

    def _opened(self) -> "Record":
        from planning.records.clock_change import watch_record
        from planning.records.record import Record

        if self._record is None:
            self._record = Record.open(self.job_path, self.clock, self.read_only, self.zone)
            watch_record(self._record)
            self._heeded = len(self._record.rows())
        return self._record
