"""Events that stand: undo, undo of an undo, corrected times."""

from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from planning.job.events import EVENT_KINDS, Event, effective

ZERO = datetime(2026, 6, 1, 13, 0, 30, tzinfo=UTC)


def event(n: int, kind: str = "note", **body: object) -> Event:
    """The n-th thing noted."""
    return Event(f"e{n}", kind, ZERO + timedelta(minutes=n), body, n)


def ids(*events: Event) -> list[str]:
    """The events that stand."""
    return [each.id for each in effective(events)]


def test_events_stand_in_the_order_they_were_noted() -> None:
    assert ids(event(2), event(1)) == ["e1", "e2"]


def test_an_undone_event_does_not_stand_and_neither_does_the_undo() -> None:
    assert ids(event(1), event(2), event(3, "undone", event="e1")) == ["e2"]


def test_an_undone_undo_puts_its_event_back() -> None:
    assert ids(event(1), event(2, "undone", event="e1"), event(3, "undone", event="e2")) == ["e1"]
    again = event(4, "undone", event="e3")
    assert ids(event(1), event(2, "undone", event="e1"), event(3, "undone", event="e2"), again) == []


def test_a_corrected_time_is_the_time() -> None:
    fixed = event(2, "corrected", event="e1", at="2026-06-01T07:10-06:00")
    (first,) = effective([event(1, "started", step="s"), fixed])
    assert first.at == datetime(2026, 6, 1, 13, 10, tzinfo=UTC)
    assert first.seq == 1


def test_the_last_correction_counts_and_an_undone_one_does_not() -> None:
    one = event(2, "corrected", event="e1", at="2026-06-01T07:10-06:00")
    two = event(3, "corrected", event="e1", at="2026-06-01T07:20-06:00")
    assert effective([event(1), one, two])[0].at.minute == 20
    assert effective([event(1), one, two, event(4, "undone", event="e3")])[0].at.minute == 10


def test_an_instant_is_the_minute_begun() -> None:
    assert event(0).minute * 60 == int(ZERO.timestamp()) - 30


@given(st.lists(st.sampled_from(["note", "started", "undone"]), max_size=10), st.data())
def test_undoing_the_last_event_gives_back_what_stood_before_it(kinds: list[str], data: st.DataObject) -> None:
    events = [
        event(n, kind, event=f"e{data.draw(st.integers(0, max(0, n - 1)))}") if kind == "undone" else event(n, kind)
        for n, kind in enumerate(kinds)
    ]
    if events:
        undo = event(len(events), "undone", event=events[-1].id)
        assert effective([*events, undo]) == effective(events[:-1])


def test_kinds_are_listed_once() -> None:
    assert len(set(EVENT_KINDS)) == len(EVENT_KINDS)
