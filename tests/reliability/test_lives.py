"""Random lives of a record: two windows, undo, correction, crash half way, restart; always equal to a plain list."""

import json
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule, run_state_machine_as_test

from planning.job.events import Event, effective
from planning.job.job import Job
from planning.job.progress import read_progress
from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record
from planning.records.transfer import export, import_
from tests.reliability.sizes import SIZES

START = datetime(2026, 6, 1, 13, tzinfo=UTC)
JOB = Job("life", ZoneInfo("America/Denver"), date(2026, 6, 1), (), ())
STEPS = st.sampled_from([f"room/method/step-{n}" for n in range(5)])
WINDOWS = st.integers(0, 1)
COUNTS = {"lives": 0, "events": 0, "undone": 0, "crashes": 0, "restarts": 0, "carried": 0}


@dataclass
class Entry:
    """What the list remembers of one event."""

    id: str
    kind: str
    body: dict[str, Any]
    at: datetime
    undone_by: list[int] = field(default_factory=list)


class Life(RuleBasedStateMachine):
    """Two windows on one record, and a list that is told the same things."""

    def __init__(self) -> None:
        super().__init__()
        shm = Path("/dev/shm")
        self.folder = Path(tempfile.mkdtemp(dir=shm if shm.is_dir() else None))
        self.clock = FrozenClock(START, 1.0, "b1")
        self.job = self.folder / "life.toml"
        self.job.write_text("x")
        self.windows = [Record.open(self.job, self.clock), Record.open(self.job, self.clock)]
        self.list: list[Entry] = []
        COUNTS["lives"] += 1

    def teardown(self) -> None:
        COUNTS["events"] += len(self.list)
        if self.list:
            self._carry_to_another_laptop()
        for window in self.windows:
            window.close()
        shutil.rmtree(self.folder)

    def _carry_to_another_laptop(self) -> None:
        office = self.folder / "office"
        office.mkdir()
        there = import_(export(self.job, office / "x.txt"), office, clock=self.clock)
        with Record.open(there.job_path, self.clock) as copy:
            assert copy.rows() == self.windows[0].rows()
        COUNTS["carried"] += 1

    def note(self, window: int, kind: str, body: dict[str, Any], ago_s: int = 0) -> Event:
        at = self.clock.wall() - timedelta(seconds=ago_s)
        event = self.windows[window].append(kind, body, at)
        noted = {"noted_at": self.clock.wall().isoformat()} if ago_s >= 60 else {}
        self.list.append(Entry(event.id, kind, {**body, **noted}, at))
        return event

    @rule(window=WINDOWS, kind=st.sampled_from(["started", "finished", "tacky"]), step=STEPS, ago=st.integers(0, 9000))
    def report(self, window: int, kind: str, step: str, ago: int) -> None:
        self.note(window, kind, {"step": step}, ago)

    @rule(window=WINDOWS, value=st.text(max_size=20) | st.integers() | st.none())
    def remark(self, window: int, value: object) -> None:
        clean = value.encode("utf-8", "replace").decode() if isinstance(value, str) else value
        self.note(window, "note", {"value": clean})

    @precondition(lambda self: self.list)
    @rule(window=WINDOWS, data=st.data())
    def undo(self, window: int, data: st.DataObject) -> None:
        which = data.draw(st.integers(0, len(self.list) - 1))
        self.list[which].undone_by.append(len(self.list))
        self.note(window, "undone", {"event": self.list[which].id})
        COUNTS["undone"] += 1

    @precondition(lambda self: any(e.kind == "started" for e in self.list))
    @rule(window=WINDOWS, data=st.data(), minutes=st.integers(-90, 90))
    def correct(self, window: int, data: st.DataObject, minutes: int) -> None:
        entry = data.draw(st.sampled_from([e for e in self.list if e.kind == "started"]))
        at = entry.at + timedelta(minutes=minutes)
        self.note(window, "corrected", {"event": entry.id, "at": at.isoformat()})

    @precondition(lambda self: self.list)
    @rule(window=WINDOWS, data=st.data())
    def tap_again(self, window: int, data: st.DataObject) -> None:
        entry = data.draw(st.sampled_from(self.list))
        event = self.windows[window].append(entry.kind, {"event": "x", "at": START.isoformat()}, event_id=entry.id)
        assert (event.kind, event.at) == (entry.kind, entry.at)

    @rule(window=WINDOWS, step=STEPS)
    def crash_half_way(self, window: int, step: str) -> None:
        with suppress(KeyboardInterrupt), self._interrupted(window):
            self.windows[window].append("started", {"step": step})
        COUNTS["crashes"] += 1

    @contextmanager
    def _interrupted(self, window: int) -> Iterator[None]:
        """The next commit of this window is cut off after its row was written and before it counts."""
        record = self.windows[window]

        def stop(_link: object) -> tuple[()]:
            raise KeyboardInterrupt

        record._unread = stop  # type: ignore[assignment,method-assign] # a fault put in on purpose
        try:
            yield
        finally:
            del record._unread

    @rule(window=WINDOWS)
    def restart(self, window: int) -> None:
        self.windows[window].close()
        self.windows[window] = Record.open(self.job, self.clock)
        COUNTS["restarts"] += 1

    @rule(seconds=st.integers(1, 100_000))
    def time_passes(self, seconds: int) -> None:
        self.clock.advance(seconds)

    @rule(seconds=st.sampled_from((3600, -3600, 86400, -86400)))
    def somebody_sets_the_clock(self, seconds: int) -> None:
        self.clock.jump_wall(seconds)

    @rule(window=WINDOWS)
    def the_disk_refuses(self, window: int) -> None:
        away = self.folder / "away"
        record = self.windows[window]
        if record.path.exists():
            record.path.rename(away)
            with suppress(NotSaved):
                record.append("note", {"value": "must not be saved"})
                raise AssertionError("it was saved into a file that is not there")
            away.rename(record.path)

    @invariant()
    def both_windows_hold_the_list(self) -> None:
        for window in self.windows:
            kept = [(row.id, row.kind, json.loads(row.body)) for row in window.rows() if row.kind != "job_file"]
            assert kept == [(e.id, e.kind, e.body) for e in self.list]
            noted = [(e.id, e.kind, e.at) for e in window.events() if e.kind != "job_file"]
            assert noted == [(e.id, e.kind, e.at) for e in self.list]

    @invariant()
    def what_stands_is_what_the_list_says(self) -> None:
        standing = [e for n, e in enumerate(self.list) if self._stands(n) and e.kind not in ("undone", "corrected")]
        times = {e.id: e.at for e in standing}
        for number, entry in enumerate(self.list):
            if entry.kind == "corrected" and self._stands(number):
                times[entry.body["event"]] = datetime.fromisoformat(entry.body["at"])
        found = [(e.id, e.at) for e in effective(self.windows[0].events()) if e.kind != "job_file"]
        assert found == [(e.id, times[e.id]) for e in standing]

    def _stands(self, number: int) -> bool:
        return not any(self._stands(later) for later in self.list[number].undone_by)

    @invariant()
    def progress_is_as_if_what_was_undone_had_never_been_noted(self) -> None:
        events = self.windows[1].events()
        never = [
            Event(e.id, e.kind, e.at, e.body, n)
            for n, e in enumerate(self.list)
            if self._stands(n) and e.kind != "undone"
        ]
        with_undo = read_progress(JOB, [e for e in events if e.kind != "job_file"])
        assert with_undo == read_progress(JOB, never)
        assert with_undo == read_progress(JOB, [e for e in events if e.kind != "job_file"])


def test_any_life_of_a_record_equals_a_list(tell: Callable[[str], None]) -> None:
    run_state_machine_as_test(
        Life,
        settings=settings(
            max_examples=SIZES.lives,
            stateful_step_count=SIZES.life_steps,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    tell("random lives: " + ", ".join(f"{count} {what}" for what, count in COUNTS.items()) + "; always the list")
    assert COUNTS["lives"] >= SIZES.lives
    assert COUNTS["events"] >= 2 * SIZES.lives
