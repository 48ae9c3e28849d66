"""What the record keeps when the clock was set: the question while it is open, the answer, and the moved times."""

from datetime import timedelta

from planning.job.events import Event, effective, standing
from planning.records.clock import JUMP_S, ClockWatch
from planning.records.record import Record
from planning.records.record_row import Row, mark_of

NOT_TIMED = frozenset(("undone", "corrected", "clock_changed", "job_file"))


def watch_record(record: Record, tick_s: float = 1.0) -> ClockWatch:
    """Put a watch on the record's clock, doubting it from the start where the last event gives reason to.

    From then on events are noted in counted time: a clock that is set does not move them.
    """
    if isinstance(record.clock, ClockWatch):
        return record.clock
    watch = ClockWatch(record.clock, record.doubt(), tick_s)
    record.clock = watch
    return watch


def settle(record: Record, watch: ClockWatch, trust_wall: bool) -> tuple[Event, ...]:
    """Somebody said which clock is right: note that, and move what was noted on the wrong one by as much.

    With `trust_wall` every event noted in this run of counted time moves by the doubt, so that what was 40 min ago
    stays 40 min ago. Times that bodies hold (until ...) are left as they were said. All or nothing: raises NotSaved,
    and then the question is still open. Returns the events noted.
    """
    doubt = watch.doubt_s
    if not doubt:
        return ()
    notes: list[tuple[str, dict[str, object]]] = [
        ("clock_changed", {"value": round(doubt), "trust": "wall" if trust_wall else "counted"})
    ]
    for event in _noted_on(record, watch) if trust_wall else ():
        right = (event.at + timedelta(seconds=doubt)).isoformat()
        notes.append(("corrected", {"event": event.id, "at": right, "why": "the clock was wrong"}))
    # Noted on the clock that is right from here on, so that the next start compares with that one.
    with watch.settling(trust_wall):
        return record.append_all(notes)


def _noted_on(record: Record, watch: ClockWatch) -> list[Event]:
    """The standing events whose time was noted, or last corrected, in the watch's own run of counted time."""
    timed_by = {event.id: event.id for event in record.events()}
    for event in standing(record.events()):
        if event.kind == "corrected":
            timed_by[str(event.body["event"])] = event.id
    same_run = {row.id for row in record.rows() if _same_run(row, watch)}
    return [
        event for event in effective(record.events()) if event.kind not in NOT_TIMED and timed_by[event.id] in same_run
    ]


def _same_run(row: Row, watch: ClockWatch) -> bool:
    mark = mark_of(row)
    base = mark.wall.timestamp() - mark.boot
    return row.boot != "" and mark.boot_id == watch.boot_id() and abs(base - watch.counted_base) <= JUMP_S
