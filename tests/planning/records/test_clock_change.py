"""The clock was set while a job runs: the answer is noted, and what was noted on the wrong clock moves with it."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from planning.job.events import effective
from planning.records.clock import FrozenClock
from planning.records.clock_change import ANSWERS, Answer, ask, heed, settle, watch_record
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
    noted = settle(record, watch, "clock")
    assert [event.kind for event in noted] == ["clock_changed", "corrected"]
    assert noted[0].body == {"value": 3600, "trust": "clock"}
    assert times(record) == {"a": SEVEN + HOUR}
    assert watch.wall() - times(record)["a"] == timedelta(seconds=2400)


def test_with_counted_time_right_nothing_moves(record: Record, clock: FrozenClock) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(-86400)
    clock.advance(60)
    record.append("started", {"step": "b"})
    assert [event.kind for event in settle(record, watch, "counted")] == ["clock_changed"]
    clock.advance(60)
    record.append("started", {"step": "c"})
    minute = timedelta(minutes=1)
    assert times(record) == {"a": SEVEN, "b": SEVEN + minute, "c": SEVEN + 2 * minute}
    assert settle(record, watch, "clock") == ()


def test_notes_of_an_earlier_boot_do_not_move(tmp_path: Path, record: Record, clock: FrozenClock) -> None:
    record.append("started", {"step": "yesterday"})
    record.close()
    today = FrozenClock(SEVEN + 24 * HOUR, boot=5.0, boot_id="b2")
    with Record.open(tmp_path / "house.toml", today) as later:
        watch = watch_record(later)
        later.append("started", {"step": "a"})
        today.jump_wall(3600)
        settle(later, watch, "clock")
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
        settle(later, watch, "clock")
        assert watch.wall() - times(later)["a"] == timedelta(seconds=600)


def test_watching_twice_is_one_watch(record: Record) -> None:
    assert watch_record(record) is watch_record(record)


def test_an_answer_holds_over_a_restart(tmp_path: Path, record: Record, clock: FrozenClock) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(3600)
    settle(record, watch, "clock")
    record.close()
    with Record.open(tmp_path / "house.toml", clock) as later:
        assert watch_record(later).doubt_s == 0


def test_an_answer_that_cannot_be_saved_leaves_the_question_open(record: Record, clock: FrozenClock) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(3600)
    away = record.path.rename(record.path.with_suffix(".away"))
    with pytest.raises(NotSaved):
        settle(record, watch, "clock")
    assert watch.doubt_s == 3600
    away.rename(record.path)
    settle(record, watch, "clock")
    assert times(record) == {"a": SEVEN + HOUR}


def test_that_the_question_is_open_is_kept_once_and_that_it_is_open_no_more_too(
    record: Record, clock: FrozenClock
) -> None:
    watch = watch_record(record)
    assert ask(record, watch) is None
    record.append("started", {"step": "a"})
    clock.jump_wall(3600)
    asked = ask(record, watch)
    assert asked is not None
    assert asked.body == {"value": 3600, "trust": "asked"}
    assert ask(record, watch) is None
    clock.jump_wall(-3600)
    again = ask(record, watch)
    assert again is not None
    assert again.body == {"value": 0, "trust": "asked"}
    assert ask(record, watch) is None


@pytest.mark.parametrize("ahead", [3600, -3600])
@pytest.mark.parametrize("answer", ["clock", "counted"])
def test_a_question_left_open_over_a_new_boot_is_open_again_and_its_answer_moves_what_it_was_about(
    tmp_path: Path, record: Record, clock: FrozenClock, ahead: int, answer: Answer
) -> None:
    watch = watch_record(record)
    clock.jump_wall(ahead)
    record.append("started", {"step": "a"})
    ask(record, watch)
    record.close()
    booted = FrozenClock(clock.wall() + timedelta(hours=2), boot=5.0, boot_id="b2")
    with Record.open(tmp_path / "house.toml", booted) as later:
        watch = watch_record(later)
        assert watch.doubt_s == pytest.approx(ahead, abs=1)
        assert watch.wall() - times(later)["a"] == 2 * HOUR
        settle(later, watch, answer)
        assert watch.doubt_s == 0
        assert watch.wall() - times(later)["a"] == 2 * HOUR, "two hours ago stays two hours ago"


def test_a_clock_said_to_be_wrong_is_asked_about_after_a_new_boot_and_earlier_notes_stay(
    tmp_path: Path, record: Record, clock: FrozenClock
) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(3600)
    settle(record, watch, "counted")
    record.close()
    right = FrozenClock(SEVEN + 2 * HOUR, boot=5.0, boot_id="b2")
    with Record.open(tmp_path / "house.toml", right) as later:
        watch = watch_record(later)
        assert watch.earliest() == SEVEN + HOUR
        assert watch.latest() == SEVEN + 2 * HOUR
        settle(later, watch, "clock")
        assert times(later) == {"a": SEVEN}
        assert watch.wall() == SEVEN + 2 * HOUR


def test_a_sleep_that_nobody_counted_moves_no_note(record: Record, clock: FrozenClock) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(3600)
    settle(record, watch, "stays")
    assert times(record) == {"a": SEVEN}
    assert watch.wall() == SEVEN + HOUR
    assert watch.doubt_s == 0


def test_what_is_put_off_for_half_an_hour_is_put_off_for_half_an_hour_when_the_clock_moves(
    record: Record, clock: FrozenClock
) -> None:
    watch = watch_record(record)
    until = int(SEVEN.timestamp() // 60) + 30
    record.append("tacky", {"step": "a", "until": until})
    clock.jump_wall(3600)
    settle(record, watch, "clock")
    (held,) = [event for event in effective(record.events()) if event.kind == "tacky"]
    assert held.body["until"] == until + 60


@pytest.mark.parametrize("answer", ANSWERS)
def test_an_answer_given_in_one_window_holds_in_the_other(
    tmp_path: Path, record: Record, clock: FrozenClock, answer: Answer
) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    with Record.open(tmp_path / "house.toml", clock) as other:
        beside = watch_record(other)
        seen = len(other.rows())
        clock.jump_wall(3600)
        assert beside.doubt_s == pytest.approx(3600, abs=1)
        settle(record, watch, answer)
        heed(other, beside, seen)
        assert beside.doubt_s == 0
        assert beside.wall() == watch.wall()


def test_a_clock_that_stands_where_it_was_told_to_is_taken_at_its_word(
    tmp_path: Path, record: Record, clock: FrozenClock
) -> None:
    watch = watch_record(record)
    record.append("started", {"step": "a"})
    clock.jump_wall(3600)
    ask(record, watch)
    with Record.open(tmp_path / "house.toml", FrozenClock(SEVEN - HOUR), read_only=True) as shown:
        assert watch_record(shown).wall() == SEVEN - HOUR
