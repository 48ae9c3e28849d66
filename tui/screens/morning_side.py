"""What stands beside and below the day's table: what to carry, floors that are off, air, what is tight, what moved."""

from collections.abc import Mapping, Sequence
from typing import Any

from planning.job.hours import local
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.quantities.show import show_longer, show_minutes
from planning.schedule.chance.says import likely_lines
from tui.screens.page import live
from tui.screens.ways import no_way, standing_off
from tui.wall import Wall
from tui.widgets.lines import Line, line
from tui.words import clock, day, proof_words, room_name, short_title, shorten, spare, title, wrap, zone_of
from tui.words import wall as wall_clock

TIGHT_MIN = 90
MOST = 3


def below(wall: Wall, plan: Plan, width: int, tall: bool) -> list[Line]:
    """The labelled lines under the table, the most pressing first."""
    now = wall.now()
    said: list[tuple[str, list[str]]] = [
        ("STAY OFF", wall.memo("stay off", lambda: stay_off(plan, now))),
        ("AIR", air(wall.pages.get("air") or {}, tall)),
        ("PEOPLE", people(plan, now) if tall else []),
        ("SHUTS", shuts_today(plan, now) if tall else []),
        ("TIGHT", wall.memo("tight", lambda: tight(plan, now))),
        ("NOT BOOKED", not_booked(plan, now)),
        ("MOVED", moved(plan, now)),
        ("LIKELY", wall.memo("likely", lambda: likely_lines(plan, now))),
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
    for end in ("; ", ", then ", ". ", ": "):
        while len(text) > room - len(more) and end in text:
            text = text.rpartition(end)[0].rstrip(".") + "."
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
    drying, setting = ([each["longer"][n] for each in filled["rooms"] if each["longer"][n]] for n in (0, 1))
    dries, sets = span_longer(drying), span_longer(setting)
    plain = " times as long"
    if dries.endswith(plain):
        sets = sets.removesuffix(plain)
    return [f"Drying takes {dries}, setting {sets}. A: by room."]


def span_longer(factors: Sequence[float]) -> str:
    """How many times as long, from the least to the most: `1.2 to 1.6 times as long`."""
    if not factors:
        return "no clock time"
    least, most = show_longer(min(factors)), show_longer(max(factors))
    if least == most:
        return most
    plain = "times as long"
    return f"{min(factors):.1f} to {most}" if most.endswith(plain) else f"{least}, or {most}"


def first_words(wall: Wall, plan: Plan, at: Instant) -> str:
    """What the marked step begins with, and what to carry for it to its room."""
    step = wall.target()
    filled = wall.pages.get("step") or {}
    if step is None or step.state not in ("ready", "wait", "missed"):
        return ""
    about = filled.get(step.piece.of if step.piece else step.id, {})
    says = "".join(about.get("says", [])[:1])
    carried = [
        f"{item['need']} {item['package']} {item['title']}"
        for room in carried_rooms(wall, plan, at) if room["room"] == step.room
        for each in room["steps"] if each["id"] == step.id
        for item in each["items"]
    ]  # fmt: skip
    said = f"{says[:1].upper()}{says[1:]}." if says else ""
    if carried:
        said += f" Carry {', '.join(carried[:3])} to the {room_name(plan, step.room)}."
    return said.strip()


def people(plan: Plan, now: Instant) -> list[str]:
    """Who is here today, and the visits."""
    zone, made = zone_of(plan), []
    today = local(zone, now).date()
    for person in plan.people:
        hours = [span for span in person.hours if local(zone, span[0]).date() == today]
        if hours:
            made.append(f"{person.name} {wall_clock(plan, hours[0][0])} to {wall_clock(plan, hours[-1][1])}.")
    visits = [f"{v.who} {wall_clock(plan, v.start)}" for v in plan.visits if local(zone, v.start).date() == today]
    if not made:
        return []
    return [" ".join(made) + (f"  Visits: {', '.join(visits)}." if visits else "  No visits today.")]


def shuts_today(plan: Plan, now: Instant) -> list[str]:
    """Windows that shut before the day is over."""
    zone = zone_of(plan)
    today = local(zone, now).date()
    soon = [s for s in plan.steps if live(s) and s.window.shuts is not None and s.window.shuts > now]
    found = sorted((s.window.shuts or 0, s) for s in soon if local(zone, s.window.shuts or 0).date() == today)
    listed = ", ".join(f"{title(s)} {wall_clock(plan, at)}" for at, s in found[:MOST])
    return [f"{listed}." if listed else "nothing today."] if any(s.window.shuts is not None for s in plan.steps) else []


def stay_off(plan: Plan, now: Instant) -> list[str]:
    """The floors that are off now, and the rooms that cannot be reached."""
    lines = [
        f"{room_name(plan, each.room, each.part)} till {clock(plan, each.until, now)}."
        for each in standing_off(plan, now)
    ]
    begun = {step.id for step in plan.steps if step.state in ("hands", "curing", "done")}
    off_now = {off.room for off in plan.stay_off if off.step in begun}
    for room in plan.rooms if off_now else ():
        until = next((end for start, end in no_way(plan, room) if start <= now < end), None)
        if until is not None:
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
    plan = wall.plan
    if plan is None:
        return []
    made = [line(("   CARRY TO            P for all", "dim"))]
    for room in carried_rooms(wall, plan, at):
        name = shorten(room_name(plan, room["room"]), 9)
        for step in room["steps"]:
            for item in step["items"]:
                many = f"SHORT {item['short']}" if item["short"] else f"{item['need']} {item['package']}"
                made.append(line(f"   {name:<9} {shorten(item['title'], 13):<13} {many}"))
                name = ""
    return made if len(made) > 1 else []


def carried_rooms(wall: Wall, plan: Plan, at: Instant) -> list[dict[str, Any]]:
    """The rooms of the pull-list of that day, as far as the helper has filled it in."""
    filled = wall.pages.get("pull")
    wanted = local(zone_of(plan), at).date().isoformat()
    chosen = next((each for each in (filled or {}).get("days", []) if each["day"] == wanted), None)
    return list(chosen["rooms"]) if chosen is not None else []
