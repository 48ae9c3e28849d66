"""The clock of the system, the one that stands still, and what a mark left in the record says of a clock."""

from datetime import UTC, datetime, timedelta

import pytest

from planning.records.clock import FrozenClock, Mark, SystemClock, doubt_since

SEVEN = datetime(2026, 6, 1, 13, 0, tzinfo=UTC)


def test_the_system_clock_is_aware_and_its_boot_time_never_falls() -> None:
    clock = SystemClock()
    assert clock.wall().utcoffset() == timedelta(0)
    readings = [clock.boot() for _ in range(100)]
    assert readings == sorted(readings)
    assert clock.boot_id() == clock.boot_id()


def test_a_frozen_clock_moves_only_when_told() -> None:
    clock = FrozenClock(SEVEN, boot=10.0)
    assert (clock.wall(), clock.boot()) == (SEVEN, 10.0)
    clock.advance(90)
    assert (clock.wall(), clock.boot()) == (SEVEN + timedelta(seconds=90), 100.0)
    clock.jump_wall(-3600)
    assert (clock.wall(), clock.boot()) == (SEVEN + timedelta(seconds=90 - 3600), 100.0)


def test_a_frozen_clock_without_a_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="no zone"):
        FrozenClock(datetime(2026, 6, 1))  # noqa: DTZ001 - the mistake under test


@pytest.mark.parametrize("ahead", [86400.0, -86400.0, 3600.0])
def test_within_one_boot_a_clock_set_while_nobody_looked_is_noticed(ahead: float) -> None:
    mark = Mark(SEVEN, 1000.0, "b1")
    clock = FrozenClock(SEVEN + timedelta(seconds=500 + ahead), boot=1500.0, boot_id="b1")
    assert doubt_since(mark, clock) == ahead


def test_after_a_new_boot_only_a_clock_before_the_last_event_is_doubted() -> None:
    mark = Mark(SEVEN, 1000.0, "b1")
    assert doubt_since(mark, FrozenClock(SEVEN - timedelta(days=1), 5.0, "b2")) == -86400
    assert doubt_since(mark, FrozenClock(SEVEN + timedelta(days=1), 5.0, "b2")) == 0
    assert doubt_since(None, FrozenClock(SEVEN)) == 0
