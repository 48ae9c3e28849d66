"""What stands beside and below the day's table: what to carry, floors that are off, air, what is tight, what moved."""

from collections.abc import Mapping
from typing import Any

from planning.job.hours import local
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.quantities.show import show_minutes
from tui.cli.plan_text import standing_off
from tui.screens.page import live
from tui.screens.ways import no_way
from tui.wall import Wall
from tui.widgets.lines import Line, line
from tui.words import clock, day, proof_words, room_name, short_title, shorten, spare, title, wrap, zone_of

TIGHT_MIN = 90
MOST = 3


def below(wall: Wall, plan: Plan, width: int, tall: bool) -> list[Line]:
    """The labelled lines under the table, the most pressing first."""
    now = wall.now()
    said: list[tuple[str, list[str]]] = [
        ("STAY OFF", wall.memo("stay off", lambda: stay_off(plan, now))),
        ("AIR", air(wall.pages.get("air") or {}, tall)),
        ("TIGHT", wall.memo("tight", lambda: tight(plan, now))),
        ("NOT BOOKED", not_booked(plan, now)),
        ("MOVED", moved(plan, now)),
        ("JOB DONE", [f"{day(plan, plan.finish)}. {proof_words(plan.proof)}"]),
    ]
    made: list[Line] = []
    for heading, lines in said:
        rows = _all_rows(lines, width - 12) if tall else _one_row(lines, width - 12)
        made += [line((f"{heading if n == 0 else '':<10}  ", "head"), row) for n, row in enumerate(rows)]
    return made


def _all_rows(lines: list[str], room: int) -> list[str]:
    """The first lines whole."""
    return [row for text in lines[:MOST] for row in wrap(text, room)][: 2 * MOST]


def _one_row(lines: list[str], room: int) -> list[str]:
    """The first line, in whole words, and how many more there are."""
    if not lines:
        return []
    more = f"  +{len(lines) - 1} more" if len(lines) > 1 else ""
    text = lines[0]
    if len(text) > room - len(more) and ", then " in text:
        text = text.split(", then ")[0] + "."
    rows = wrap(text, room - len(more))
    return [(rows[0] if rows else "") + more]


def air(filled: Mapping[str, Any], tall: bool) -> list[str]:
    """What the air does to waits: room by room, or from the least to the most."""
    if not filled:
        return []
    if tall:
        return [str(each) for each in filled["lines"]]
    held = [each for each in filled["rooms"] if each["hold"]]
    if held:
        return [f"HOLD in {len(held)} room{'s' if len(held) > 1 else ''}. A says which and why."]
    spans = []
    for key, does in (("drying", "Drying takes"), ("setting", "setting")):
        values = sorted(str(each[key]) for each in filled["rooms"])
        span = values[0] if values[0] == values[-1] else f"{values[0]} to {values[-1]}"
        spans.append(f"{does} {span}")
    return [", ".join(spans) + ". A: by room."]


def stay_off(plan: Plan, now: Instant) -> list[str]:
    """The floors that are off now, and the rooms that cannot be reached."""
    lines = [
        f"{room_name(plan, each.room, each.part)} till {clock(plan, each.until, now)}."
        for each in standing_off(plan, now)
    ]
    begun = {step.id for step in plan.steps if step.state in ("hands", "curing", "done")}
    off_now = {off.room for off in plan.stay_off if off.step in begun}
    for room in plan.rooms:
        until = next((end for start, end in no_way(plan, room) if start <= now < end), None)
        if until is not None and off_now:
            lines.append(f"No way to the {room.name} till {clock(plan, until, now)}.")
    return [" ".join(lines)] if lines else []


def tight(plan: Plan, now: Instant) -> list[str]:
    """What of the day has least to spare, and what is lost then."""
    open_steps = [(room, s) for s in plan.steps if live(s) and (room := spare(s)) is not None and room <= TIGHT_MIN]
    if not open_steps:
        return []
    first = min(local(zone_of(plan), s.start).date() for _, s in open_steps)
    today = sorted(
        ((room, s) for room, s in open_steps if local(zone_of(plan), s.start).date() == first),
        key=lambda each: (each[0], each[1].start),
    )
    lines = []
    for room, step in today:
        lost = f", then {step.lost_then}" if step.lost_then else ""
        free = "no time to spare" if room <= 0 else f"{show_minutes(room)} to spare"
        lines.append(f"{short_title(step, 30)} {clock(plan, step.start, now)}: {free}{lost}.")
    return lines


def not_booked(plan: Plan, now: Instant) -> list[str]:
    """Visits that nobody has called for."""
    return [
        f"{each.who}, {room_name(plan, each.room)}: needed {clock(plan, each.start, now)}. Call."
        for each in plan.visits
        if not each.booked and each.start > now
    ]


def moved(plan: Plan, now: Instant) -> list[str]:
    """What is no longer where the plan that was taken had it."""
    by_id = {step.id: step for step in plan.steps}
    return [
        f"{title(by_id[each.id])}: {clock(plan, each.was, now)} to {clock(plan, each.now, now)}. {each.why}".strip()
        for each in plan.moved
        if each.id in by_id
    ]


def carry(wall: Wall, at: Instant) -> list[Line]:
    """What to carry to which room that day, for the right side: from the pull-list, when the helper has filled it."""
    plan, filled = wall.plan, wall.pages.get("pull")
    if plan is None or not filled:
        return []
    wanted = local(zone_of(plan), at).date().isoformat()
    chosen = next((each for each in filled["days"] if each["day"] == wanted), None)
    if chosen is None:
        return []
    made = [line(("   CARRY TO            P for all", "dim"))]
    for room in chosen["rooms"]:
        name = shorten(room_name(plan, room["room"]), 9)
        for step in room["steps"]:
            for item in step["items"]:
                many = f"SHORT {item['short']}" if item["short"] else f"{item['need']} {item['package']}"
                made.append(line(f"   {name:<9} {shorten(item['title'], 13):<13} {many}"))
                name = ""
    return made if len(made) > 1 else []
