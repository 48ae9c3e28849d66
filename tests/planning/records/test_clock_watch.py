"""The watch on a clock: it notices when somebody sets it or closes the lid, and counts on until it is told better."""

from datetime import UTC, datetime, timedelta

import pytest

from planning.records.clock import FrozenClock
from planning.records.clock_watch import ClockNews, ClockWatch, watched

SEVEN = datetime(2026, 6, 1, 13, 0, tzinfo=UTC)


def test_a_quiet_hour_of_ticks_has_no_news() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    for _ in range(3600):
        clock.advance(1)
        assert watch.look() is None
    assert watch.wall() == clock.wall()


@pytest.mark.parametrize("jump", [3600, -3600, 86400, -86400, 6, -6])
def test_a_jump_is_told_at_the_next_look_and_only_once(jump: int) -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.advance(1)
    assert watch.look() is None
    clock.jump_wall(jump)
    clock.advance(1)
    news = watch.look()
    assert news is not None
    assert news.jump_s == pytest.approx(jump, abs=0.01)
    clock.advance(1)
    assert watch.look() is None


def test_many_small_steps_add_up_to_a_jump() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    seen = 0.0
    for _ in range(10):
        clock.jump_wall(4)
        clock.advance(1)
        news = watch.look()
        seen += news.jump_s if news else 0.0
    assert seen > 30


def test_a_clock_that_is_softly_corrected_all_week_raises_no_alarm() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    for _ in range(7 * 24 * 60):
        clock.advance(1)
        clock.jump_wall(100e-6)
        assert watch.look() is None
    clock.jump_wall(2)
    assert watch.look() is None


def test_a_closed_lid_is_a_gap_and_not_a_jump() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.advance(3 * 3600)
    assert watch.look() == ClockNews(jump_s=0.0, gap_s=3 * 3600)
    assert watch.wall() == SEVEN + timedelta(hours=3)


def test_counted_time_stands_until_somebody_says_which_clock_is_right() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.jump_wall(3600)
    clock.advance(60)
    assert watch.wall() == SEVEN + timedelta(seconds=60)
    assert watch.earliest() == SEVEN + timedelta(seconds=60)
    assert watch.latest() == SEVEN + timedelta(seconds=3660)


def test_after_a_jump_back_the_wall_clock_is_the_earliest_and_counted_time_the_latest() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.jump_wall(-3600)
    clock.advance(60)
    assert watch.earliest() == SEVEN + timedelta(seconds=60 - 3600)
    assert watch.latest() == SEVEN + timedelta(seconds=60)


def test_trusting_the_wall_clock_tells_how_far_the_notes_must_move() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.jump_wall(3600)
    assert watch.settle(trust_wall=True) == 3600
    assert watch.doubt_s == 0
    assert watch.wall() == clock.wall()


def test_trusting_counted_time_leaves_the_jump_out_from_then_on() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.jump_wall(3600)
    assert watch.settle(trust_wall=False) == 0
    clock.advance(600)
    assert watch.wall() == SEVEN + timedelta(seconds=600)
    assert watch.earliest() == watch.latest() == watch.wall()
    assert watch.look() == ClockNews(gap_s=600)


def test_a_jump_that_is_taken_back_ends_the_doubt() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.jump_wall(3600)
    watch.look()
    clock.jump_wall(-3600)
    assert watch.look() == ClockNews(jump_s=-3600.0)
    assert watch.doubt_s == 0


def test_doubt_at_the_start_holds_counted_time_where_the_record_puts_it() -> None:
    clock = FrozenClock(SEVEN + timedelta(days=1))
    watch = ClockWatch(clock, doubt_s=86400)
    assert watch.wall() == SEVEN
    news = watch.look()
    assert news is not None
    assert news.jump_s == 86400


def test_a_clock_known_to_be_wrong_that_is_set_right_is_believed_again_without_a_question() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.jump_wall(3600)
    watch.settle(trust_wall=False)
    clock.advance(60)
    assert watch.look() == ClockNews(gap_s=60)
    clock.jump_wall(-3600)
    clock.advance(1)
    assert watch.look() is None
    assert watch.wall() == clock.wall() == SEVEN + timedelta(seconds=61)
    clock.jump_wall(3600)
    clock.advance(1)
    news = watch.look()
    assert news is not None
    assert news.jump_s == pytest.approx(3600, abs=0.01)
    assert watch.doubt_s == pytest.approx(3600, abs=0.01)


def test_a_clock_known_to_be_wrong_that_is_set_to_another_time_is_asked_about() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.jump_wall(3600)
    watch.settle(trust_wall=False)
    clock.jump_wall(7200)
    assert watch.doubt_s == pytest.approx(3 * 3600, abs=0.01)
    assert watch.wall() == SEVEN


def test_what_another_window_was_told_is_taken_over() -> None:
    clock = FrozenClock(SEVEN)
    one, other = ClockWatch(clock), ClockWatch(clock)
    clock.jump_wall(3600)
    one.settle(trust_wall=False)
    other.take_over(one.counted_base, wall_is_wrong=True)
    assert other.doubt_s == 0
    assert other.wall() == one.wall() == SEVEN
    assert other.look() is None


def test_an_answer_to_no_question_changes_nothing() -> None:
    clock = FrozenClock(SEVEN)
    watch = ClockWatch(clock)
    clock.jump_wall(3600)
    watch.settle(trust_wall=False)
    assert watch.settle(trust_wall=True) == 0
    assert watch.wall() == SEVEN


def test_a_watch_is_not_watched_again() -> None:
    watch = watched(FrozenClock(SEVEN))
    assert watched(watch) is watch
