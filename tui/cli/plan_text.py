"""The plan of a day as plain text: what starts when, what is off, what is tight, what moved, and how good it is."""

from collections.abc import Iterable, Sequence
from datetime import date

from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.place import doors, ways_in
from planning.job.plan import Plan, PlannedStep
from planning.job.progress import read_progress
from planning.job.words import Instant
from planning.quantities.show import (
    show_clock,
    show_day,
    show_longer,
    show_minutes,
    show_share,
    show_temp,
    show_wall,
)
from planning.schedule.chance.says import likely_lines
from tui.screens.ways import standing_off
from tui.words import proof_words, stands

TIGHT_MIN = 90
"""A step with no more than this to spare is told under TIGHT."""
MOST_TIGHT = 3
MOST_MOVED = 8


def plan_text(plan: Plan, job: Job, events: Sequence[Event], now: Instant, days: Sequence[date]) -> str:
    """The whole text: a header, a table a day, the lines that belong to now, the proof sentence."""
    lines = [f"{plan.job}   {show_day(local(job.zone, now).date())}   plan of {_clock(plan.made_at, job, now)}"]
    due = next_due(plan)
    if due is not None:
        left = due_at(due) - now
        when = _clock(due_at(due), job, now)
        spare = show_minutes(left) if left >= 0 else f"{show_minutes(-left)} ago"
        done = " done" if due.state == "hands" else ""
        lines.append(f"NEXT DUE  {when}  {room_words(plan, due)}, {due.title.upper()}{done}, {who(due, job)}   {spare}")
    for day in days:
        lines += ["", *day_table(plan, job, now, day)]
    said = [
        ("START", _start_past(job, events, now)),
        ("STAY OFF", stay_off_lines(plan, job, now)),
        ("AIR", air_lines(job, events, now)),
        ("TIGHT", tight_lines(plan, job, now)),
        ("NOT BOOKED", _not_booked(plan, job, now)),
        ("BROKEN", [each.words for each in plan.broken]),
        ("MOVED", moved_lines(plan, job, now)),
        ("LIKELY", likely_lines(plan, now)),
        ("JOB DONE", [f"{show_day(local(job.zone, plan.finish).date())}. {proof_words(plan.proof)}"]),
    ]
    for heading, texts in said:
        if texts:
            lines += ["", *(f"{heading if n == 0 else '':<10}  {text}" for n, text in enumerate(texts))]
    return "\n".join(lines) + "\n"


def _start_past(job: Job, events: Sequence[Event], now: Instant) -> list[str]:
    """A word when the job should have begun and nothing is noted: the plan begins today, not then."""
    if local(job.zone, now).date() <= job.start or read_progress(job, events).started:
        return []
    return [f"{show_day(job.start)} is past and nothing is noted: planned from today (--now plans from another day)."]


def day_table(plan: Plan, job: Job, now: Instant, day: date) -> list[str]:
    """One day's steps in order of start, visits among them."""
    head = ("START", "END", "START BY", "ROOM", "STEP", "WHO", "HOW IT STANDS")
    rows: list[tuple[Instant, tuple[str, ...]]] = []
    for step in plan.steps:
        if local(job.zone, step.start).date() == day:
            rows.append((step.start, _row(plan, job, now, step)))
    for visit in plan.visits:
        if local(job.zone, visit.start).date() == day:
            booked = "" if visit.booked else "NOT BOOKED"
            rows.append((visit.start, (_wall(visit.start, job), _wall(visit.finish, job), "",
                                       job.room(visit.room).name, f'"{visit.who.upper()}"', "", booked)))  # fmt: skip
    rows.sort(key=lambda row: row[0])
    table = [head, *(row for _, row in rows)]
    widths = [max(len(row[n]) for row in table) for n in range(len(head))]
    listed = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in table]
    return [show_day(day), *listed]


def _row(plan: Plan, job: Job, now: Instant, step: PlannedStep) -> tuple[str, ...]:
    over = step.state in ("done", "curing")
    latest = "" if over or step.state == "hands" else (
        "loose" if step.latest_start is None else _clock(step.latest_start, job, step.start)
    )  # fmt: skip
    if step.state == "hold":
        return "", "", "", room_words(plan, step), step.title.upper(), who(step, job), f"HOLD  {step.reason}"
    return (
        _wall(step.start, job), _wall(step.finish, job), latest, room_words(plan, step), step.title.upper(),
        who(step, job), stands(plan, step, now),
    )  # fmt: skip


def who(step: PlannedStep, job: Job) -> str:
    """The people of a step: `you`, `both` when it is everybody of two, else the names."""
    if len(step.people) == 2 and len(job.people) == 2:
        return "both"
    return ", ".join(step.people)


def room_words(plan: Plan, step: PlannedStep) -> str:
    """The room's name, with the part where there is one."""
    name = next((room.name for room in plan.rooms if room.id == step.room), step.room)
    return f"{name} {step.part}" if step.part else name


def due_at(step: PlannedStep) -> Instant:
    """When a step is next due: its finish while hands are at it, else its start."""
    return step.finish if step.state == "hands" else step.start


def next_due(plan: Plan) -> PlannedStep | None:
    """What is due next in the whole job."""
    live = [step for step in plan.steps if step.state in ("hands", "ready", "wait", "missed")]
    return min(live, key=lambda step: (due_at(step), step.state != "hands", step.id), default=None)


def stay_off_lines(plan: Plan, job: Job, now: Instant) -> list[str]:
    """What is off now, and which rooms cannot be reached until then."""
    offs = standing_off(plan, now)
    titles = {step.id: step.title for step in plan.steps}
    lines = []
    for off in offs:
        floor = job.room(off.room).name + (f", {off.part}" if off.part else "")
        lines.append(f"{floor} till {_clock(off.until, job, now)} ({titles.get(off.step, off.step)})")
    green = {f"{off.room}.{off.part}" if off.part else off.room: off.until for off in offs}
    open_from = doors(job.rooms)
    for room in job.rooms:
        waits = [_way_opens(open_from, floor, green) for floor in room.floors if floor not in green]
        if waits and min(waits) > now:
            lines.append(f"No way to the {room.name} till {_clock(min(waits), job, now)}")
    return lines


def _way_opens(open_from: dict[str, tuple[str, ...]], floor: str, green: dict[str, Instant]) -> Instant:
    ways = ways_in(open_from, floor)
    return min((max((green.get(crossed, 0) for crossed in way), default=0) for way in ways), default=0)


def air_lines(job: Job, events: Iterable[Event], now: Instant) -> list[str]:
    """The air of each room now and what it does to waits; rooms with the same air in one line."""
    from planning.trade.air import hold_reason, multiplier, site_air

    air = site_air(job, events)
    lines: dict[str, list[str]] = {}
    for room in job.rooms:
        here = air.at(room.id, now)
        read = "" if air.read_at(room.id) is not None or room.air.read else " (not read, taken as that)"
        floor = show_temp(here.surface_c, job.units)
        said = f"{show_temp(here.air_c, job.units)}, {show_share(here.humidity)}, floor {floor}"
        dry, sets = multiplier("drying", here), multiplier("maturity", here)
        if dry is None or sets is None:
            law = hold_reason("drying", here, job.units) or hold_reason("maturity", here, job.units) or "no clock time."
            said += f"{read}. HOLD: {law}"
        else:
            said += f"{read}. Drying takes {show_longer(dry)}, setting {show_longer(sets)}."
        lines.setdefault(said, []).append(room.name)
    return [f"{', '.join(rooms)}: {said}" for said, rooms in lines.items()]


def tight_lines(plan: Plan, job: Job, now: Instant) -> list[str]:
    """The steps of today (or of the next day of work) with the least to spare."""
    live = [step for step in plan.steps if step.state in ("wait", "ready")]
    if not live:
        return []
    first = local(job.zone, min(step.start for step in live)).date()
    today = [
        step for step in live
        if local(job.zone, step.start).date() == first
        and step.latest_start is not None and step.latest_start - step.start <= TIGHT_MIN
    ]  # fmt: skip
    today.sort(key=lambda step: ((step.latest_start or 0) - step.start, step.start))
    return [_tight(step, job, now) for step in today[:MOST_TIGHT]]


def _tight(step: PlannedStep, job: Job, now: Instant) -> str:
    spare = (step.latest_start or step.start) - step.start
    lost = f", then {step.lost_then}" if step.lost_then else ""
    if spare <= 0:
        return f"{step.title.upper()}, {_clock(step.start, job, now)}: no time to spare{lost}."
    return (
        f"{step.title.upper()}: start by {_clock(step.start + spare, job, now)}. {show_minutes(spare)} to spare{lost}."
    )


def moved_lines(plan: Plan, job: Job, now: Instant) -> list[str]:
    """What is no longer where the plan that was taken had it, the soonest first; then how many more, how many stay."""
    if not plan.moved:
        return []
    known = {step.id: step for step in plan.steps}
    lines = []
    for moved in sorted(plan.moved, key=lambda each: (min(each.was, each.now), each.id))[:MOST_MOVED]:
        step = known.get(moved.id)
        name = moved.id if step is None else f"{step.title.upper()}, {room_words(plan, step)},"
        span = f"{_clock(moved.was, job, now)} to {_clock(moved.now, job, now)}"
        why = f"  {moved.why}" if moved.why else ""
        lines.append(f"{name} from {span}{why}")
    live = sum(1 for step in plan.steps if step.state not in ("done", "curing", "hands"))
    more = len(plan.moved) - len(lines)
    return [*lines, f"{f'{more} more move, ' if more > 0 else ''}{max(0, live - len(plan.moved))} stay where they were"]


def _not_booked(plan: Plan, job: Job, now: Instant) -> list[str]:
    return [
        f"{visit.who} for the {job.room(visit.room).name}: needed {_clock(visit.start, job, now)}. Call."
        for visit in plan.visits
        if not visit.booked and visit.start > now
    ]


def _clock(at: Instant, job: Job, now: Instant) -> str:
    return show_clock(at, job.zone, now)


def _wall(at: Instant, job: Job) -> str:
    return show_wall(local(job.zone, at))
