"""The clock was set while a job runs: the answer is noted, and what was noted on the wrong clock moves with it."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from planning.job.events import effective
from planning.records.clock import FrozenClock
from planning.records.clock_change import settle, watch_record
from planning.records.not_saved import NotSaved
from planning.records.record import Record

SEVEN = datetime(2026, 6, 1, 13, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture
def clock() -> FrozenClock:
    return FrozenClock(SEVEN, boot=100.0, boot_id="b1")


@pytest.fixture
def record(tmp_path: Path, clock: FrozenClock) -> Record:
    return Record.open(tmp_path / "house.toml", clock)


def times(record: Record) -> dict[str, datetime]:
    return {str(event.body.get("step")): event.at for event in effective(record.events()) if "step" in event.body}


def test_with_the_wall_clock_right_earlier_notes_of_the_session_move_and_stay_as_long_ago(
    record: Record, clock: FrozenClock
) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.advance(2400)
    clock.jump_wall(3600)
    noted = settle(record, watch, trust_wall=True)
    assert [event.kind for event in noted] == ["clock_changed", "corrected"]
    assert noted[0].body == {"value": 3600, "trust": "wall"}
    assert times(record) == {"a": SEVEN + HOUR}
    assert watch.wall() - times(record)["a"] == timedelta(seconds=2400)


def test_with_counted_time_right_nothing_moves(record: Record, clock: FrozenClock) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(-86400)
    clock.advance(60)
    record.append("started", {"step": "b"})
    assert [event.kind for event in settle(record, watch, trust_wall=False)] == ["clock_changed"]
    clock.advance(60)
    record.append("started", {"step": "c"})
    minute = timedelta(minutes=1)
    assert times(record) == {"a": SEVEN, "b": SEVEN + minute, "c": SEVEN + 2 * minute}
    assert settle(record, watch, trust_wall=True) == ()


def test_notes_of_an_earlier_boot_do_not_move(tmp_path: Path, record: Record, clock: FrozenClock) -> None:
    record.append("started", {"step": "yesterday"})
    record.close()
    today = FrozenClock(SEVEN + 24 * HOUR, boot=5.0, boot_id="b2")
    with Record.open(tmp_path / "house.toml", today) as later:
        watch = watch_record(later)
        later.append("started", {"step": "a"})
        today.jump_wall(3600)
        settle(later, watch, trust_wall=True)
        assert times(later) == {"yesterday": SEVEN, "a": SEVEN + 25 * HOUR}


def test_a_clock_set_while_the_program_was_closed_is_doubted_at_the_start(
    tmp_path: Path, record: Record, clock: FrozenClock
) -> None:
    record.append("started", {"step": "a"})
    record.close()
    clock.advance(600)
    clock.jump_wall(86400)
    with Record.open(tmp_path / "house.toml", clock) as later:
        watch = watch_record(later)
        assert watch.doubt_s == 86400
        assert watch.earliest() == SEVEN + timedelta(seconds=600)
        settle(later, watch, trust_wall=True)
        assert watch.wall() - times(later)["a"] == timedelta(seconds=600)


def test_watching_twice_is_one_watch(record: Record) -> None:
    assert watch_record(record) is watch_record(record)


def test_an_answer_holds_over_a_restart(tmp_path: Path, record: Record, clock: FrozenClock) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(3600)
    settle(record, watch, trust_wall=True)
    record.close()
    with Record.open(tmp_path / "house.toml", clock) as later:
        assert watch_record(later).doubt_s == 0


def test_an_answer_that_cannot_be_saved_leaves_the_question_open(record: Record, clock: FrozenClock) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(3600)
    away = record.path.rename(record.path.with_suffix(".away"))
    with pytest.raises(NotSaved):
        settle(record, watch, trust_wall=True)
    assert watch.doubt_s == 3600
    away.rename(record.path)
    settle(record, watch, trust_wall=True)
    assert times(record) == {"a": SEVEN + HOUR}
