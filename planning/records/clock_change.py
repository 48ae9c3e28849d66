"""What the record keeps when the clock was set: the question while it is open, the answer, and the moved times.

A `clock_changed` event holds {value: seconds by which the clock is ahead of counted time, trust}. `trust` is "asked"
(nobody has said yet), or the answer: "clock" (it is right now and was wrong before), "counted" (it is wrong by that
much now) or "stays" (it is right now, and what was noted before is right too: the computer slept uncounted).
"""

from datetime import timedelta
from typing import Any, Literal

from planning.job.events import Event, effective, standing
from planning.records.clock import JUMP_S
from planning.records.clock_watch import ClockWatch, watched
from planning.records.record import Record
from planning.records.record_row import Row, event_of, mark_of

NOT_TIMED = frozenset(("undone", "corrected", "clock_changed", "job_file"))
Answer = Literal["clock", "counted", "stays"]
ANSWERS: tuple[Answer, ...] = ("clock", "counted", "stays")
ASKED = "asked"


def watch_record(record: Record, tick_s: float = 1.0) -> ClockWatch:
    """Put a watch on the record's clock, doubting it from the start where the record gives reason to.

    From then on events are noted in counted time: a clock that is set does not move them. A clock without a boot
    (one that stands still, `--now`) is taken at its word.
    """
    record.clock = watch = watched(record.clock, tick_s)
    if watch.boot_id():
        watch.put_back(_doubt_at_start(record, watch))
        if _said_to_be_wrong(record, watch):
            watch.settle(trust_wall=False)
    return watch


def _doubt_at_start(record: Record, watch: ClockWatch) -> float:
    """By how much the clock is ahead (+) or behind (-) of what the record allows.

    After a new boot nobody knows whether a clock that was in doubt, or wrong, was put right since: it is asked anew.
    """
    doubt, change = record.doubt(), _last_change(record)
    if change is None or _noted_in_this_boot(record, watch) or change[0].body.get("trust") not in (ASKED, "counted"):
        return doubt
    far = _seconds(change[0])
    return min(doubt, far) if far < 0 else (doubt or far)


def _said_to_be_wrong(record: Record, watch: ClockWatch) -> bool:
    """Was it said in this boot that the clock is wrong by just as much as it seems to be?"""
    change = _last_change(record)
    if change is None or not _of_this_boot(change[1], watch) or change[0].body.get("trust") != "counted":
        return False
    return abs(_seconds(change[0]) - watch.doubt_s) <= JUMP_S


def heed(record: Record, watch: ClockWatch, since: int) -> int:
    """Take over what another window was told of the clock since event number `since`; returns the newest number."""
    rows = record.rows()
    newest = rows[-1].seq if rows else 0
    for row in reversed(rows[since:] if since <= newest else ()):
        if row.kind == "clock_changed" and _of_this_boot(row, watch):
            trust = event_of(row).body.get("trust")
            if trust in ANSWERS:
                mark = mark_of(row)
                watch.take_over(mark.wall.timestamp() - mark.boot, wall_is_wrong=trust == "counted")
            break
    return newest


def ask(record: Record, watch: ClockWatch) -> Event | None:
    """Note that it is open which time is right, or that it is open no more, so that the next start knows it too.

    None when there is nothing to note: no doubt, or noted already. Raises NotSaved.
    """
    doubt, change = watch.doubt_s, _last_change(record)
    if not watch.boot_id() or not record.writable:
        return None
    asked = 0.0 if change is None or change[0].body.get("trust") != ASKED else _seconds(change[0])
    # Once in every boot: what is noted in this one is in question too.
    asked_here = change is not None and _of_this_boot(change[1], watch)
    if abs(doubt - asked) <= JUMP_S and (asked_here or not doubt):
        return None
    return record.append("clock_changed", {"value": round(doubt), "trust": ASKED})


def settle(record: Record, watch: ClockWatch, answer: Answer) -> tuple[Event, ...]:
    """Somebody said which time is right: note that, and move what was noted on the wrong one by as much.

    With "clock" every event noted in this run of counted time (or in the run in which the open question came up)
    moves by the doubt, so that what was 40 min ago stays 40 min ago, and with it what was put off for a while from then
    ("tacky"). Notes of an earlier boot stay: nothing says that the clock was wrong then too. Other times that bodies
    hold (until ...) are left as they were said. All or nothing: raises NotSaved, and then the question is still open.
    Returns the events noted.
    """
    doubt = watch.doubt_s
    if not doubt:
        return ()
    notes: list[tuple[str, dict[str, Any]]] = [("clock_changed", {"value": round(doubt), "trust": answer})]
    for event in _noted_on(record, watch) if answer == "clock" else ():
        right = (event.at + timedelta(seconds=doubt)).isoformat()
        if event.kind == "tacky" and isinstance(event.body.get("until"), int):
            notes.append(("undone", {"event": event.id, "by": "clock"}))
            body = {**event.body, "until": event.body["until"] + round(doubt / 60)}
            notes.append(("tacky", body))
        else:
            notes.append(("corrected", {"event": event.id, "at": right, "by": "clock"}))
    # Noted on the clock that is right from here on, so that the next start compares with that one.
    with watch.settling(answer != "counted"):
        return record.append_all(notes)


def _noted_on(record: Record, watch: ClockWatch) -> list[Event]:
    """The standing events whose time was noted, or last corrected, on the time that the question is about."""
    runs = {(watch.boot_id(), round(watch.counted_base)), *_runs_in_question(record)}
    timed_by = {event.id: event.id for event in record.events()}
    for event in standing(record.events()):
        if event.kind == "corrected":
            timed_by[str(event.body["event"])] = event.id
    noted = {row.id for row in record.rows() if _in_one_of(runs, row)}
    return [
        event for event in effective(record.events()) if event.kind not in NOT_TIMED and timed_by[event.id] in noted
    ]


Run = tuple[str, int]
"""A stretch of counted time: the boot, and what counted time was (seconds since 1970) when it began."""


def _runs_in_question(record: Record) -> set[Run]:
    """The stretches in which the question came up that is still open."""
    runs: set[Run] = set()
    for row in reversed(record.rows()):
        if row.kind == "clock_changed":
            if event_of(row).body.get("trust") != ASKED:
                break
            runs.add(_run_of(row))
    return {run for run in runs if run[0]}


def _run_of(row: Row) -> Run:
    mark = mark_of(row)
    return mark.boot_id, round(mark.wall.timestamp() - mark.boot)


def _in_one_of(runs: set[Run], row: Row) -> bool:
    boot, base = _run_of(row)
    return any(boot != "" and boot == each and abs(base - begun) <= JUMP_S for each, begun in runs)


def _of_this_boot(row: Row, watch: ClockWatch) -> bool:
    return row.boot != "" and mark_of(row).boot_id == watch.boot_id()


def _noted_in_this_boot(record: Record, watch: ClockWatch) -> bool:
    last = next((row for row in reversed(record.rows()) if row.boot), None)
    return last is not None and _of_this_boot(last, watch)


def _last_change(record: Record) -> tuple[Event, Row] | None:
    """The last thing asked or answered about the clock."""
    found = next((row for row in reversed(record.rows()) if row.kind == "clock_changed"), None)
    return None if found is None else (event_of(found), found)


def _seconds(event: Event) -> float:
    value = event.body.get("value")
    return float(value) if isinstance(value, int | float) else 0.0
