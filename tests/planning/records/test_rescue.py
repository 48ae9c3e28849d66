"""After damage: the damaged file is kept, what can be read goes on in a new record."""

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record
from planning.records.rescue import rescue

SEVEN = datetime(2026, 6, 1, 13, 0, tzinfo=UTC)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "house.toml"
    path.write_text("x")
    with Record.open(path, FrozenClock(SEVEN)) as record:
        for n in range(9):
            record.append("note", {"value": f"marker-{n}"})
    return path


def damage(job: Path) -> bytes:
    path = job.with_suffix(".record")
    path.write_bytes(path.read_bytes().replace(b"marker-4", b"marker-x"))
    return path.read_bytes()


def test_a_damaged_record_goes_on_without_the_lost_event(job: Path) -> None:
    damaged = damage(job)
    done = rescue(job, FrozenClock(SEVEN))
    assert (done.events, done.lost) == (9, 1)
    assert done.kept.read_bytes() == damaged
    with Record.open(job, FrozenClock(SEVEN)) as record:
        values = [e.body.get("value") for e in record.events()]
        assert values[1:9] == [f"marker-{n}" for n in range(9) if n != 4]
        assert "9 events taken over from house.damaged-1.record, 1 could not" in str(values[-1])
        record.append("note", {})
        assert record.trouble is None


def test_a_second_damage_is_kept_under_a_name_of_its_own(job: Path) -> None:
    damage(job)
    first = rescue(job, FrozenClock(SEVEN)).kept
    path = job.with_suffix(".record")
    path.write_bytes(b"nothing of use")
    second = rescue(job, FrozenClock(SEVEN))
    assert (first.name, second.kept.name) == ("house.damaged-1.record", "house.damaged-2.record")
    assert (second.events, second.kept.read_bytes()) == (0, b"nothing of use")


def test_a_whole_record_is_not_rescued(job: Path) -> None:
    before = job.with_suffix(".record").read_bytes()
    with pytest.raises(NotSaved, match="not damaged"):
        rescue(job, FrozenClock(SEVEN))
    assert job.with_suffix(".record").read_bytes() == before


def test_a_journal_of_the_damaged_file_is_never_played_into_the_new_one(job: Path) -> None:
    damage(job)
    path = job.with_suffix(".record")
    link = sqlite3.connect(path, isolation_level=None)
    link.execute("PRAGMA cache_size=1")
    link.execute("BEGIN IMMEDIATE")
    link.execute("DROP TRIGGER event_next")
    for n in range(11, 200):
        link.execute("INSERT INTO event VALUES (?, ?, 'x', 0, 'note', '{}', '', 0)", (n, "x" * 200 + str(n)))
    journal = path.with_name(path.name + "-journal")
    half, hot = path.read_bytes(), journal.read_bytes()
    link.execute("ROLLBACK")
    link.close()
    path.write_bytes(half)
    journal.write_bytes(hot)
    done = rescue(job, FrozenClock(SEVEN))
    assert (done.events, done.lost) == (9, 1)
    with Record.open(job, FrozenClock(SEVEN)) as record:
        assert record.trouble is None
        assert len(record.events()) == 10
