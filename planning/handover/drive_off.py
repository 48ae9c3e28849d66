"""Before you drive off: what to load and buy for tomorrow, and how the site is left tonight. From the plan, ticked.

A tick is a `ticked` event with body {"leave": key, "day": ISO date, "value": "on" or "off"}; it holds for that evening.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from planning.handover.evening import Evening
from planning.handover.sections.house import fan_rooms, heat_of, services_off
from planning.handover.wording import listed
from planning.job.events import effective
from planning.job.words import WET_KINDS, Instant
from planning.quantities.show import show_day
from planning.supply.count_words import count_words
from planning.supply.pull_list import Item, PullDay, pull_list


@dataclass(frozen=True, slots=True)
class LeaveLine:
    """One line of the list. `key` stays while the plan moves; `done`: ticked tonight, or in the van already."""

    key: str
    words: str
    done: bool = False


def drive_off(facts: Evening) -> tuple[LeaveLine, ...]:
    """The list for the evening of the note: the site first, then what to load, then what to buy."""
    ticks = leave_ticks(facts)
    lines = [*_site(facts), *_van(facts)]
    return tuple(replace(line, done=ticks.get(line.key, line.done)) for line in lines)


def leave_ticks(facts: Evening) -> Mapping[str, bool]:
    """What was ticked, and taken back, on the day of the note; the last word counts."""
    return {
        str(event.body["leave"]): event.body.get("value") != "off"
        for event in effective(facts.events)
        if event.kind == "ticked" and event.body.get("leave") and event.body.get("day") == facts.today.isoformat()
    }


def _site(facts: Evening) -> Iterator[LeaveLine]:
    name = {room.id: room.name for room in facts.job.rooms}
    for room in fan_rooms(facts):
        yield LeaveLine(f"fans/{room}", f"Fans off, doors and windows shut: {name[room]}")
    for heat, rooms in heat_of(facts).items():
        yield LeaveLine(
            f"heat/{heat.replace(' ', '')}", f"Heat left at {heat} or more: {listed([name[r] for r in rooms])}"
        )
    for room in _flooded(facts):
        yield LeaveLine(f"plug/{room}", f"Plug tight, level marked, photo taken: {name[room]}")
    for room, services in _off(facts).items():
        what = listed([VALVES[each] for each in services])
        yield LeaveLine(f"valve/{room}", f"{what[:1].upper()}{what[1:]}: {name[room]}")
    if any(step.kind in WET_KINDS and _touched(facts, step.id) for step in facts.plan.steps):
        yield LeaveLine("wash", "Mixer, buckets and trowels washed; no wash water down a drain")
    if any(_touched(facts, step.id) for step in facts.plan.steps):
        yield LeaveLine("cords", "Mixer and saw unplugged, cords up off the wet floors")
    for room in dict.fromkeys(each.room for each in facts.standing if each.what == "walk"):
        yield LeaveLine(f"tape/{room}", f"Tape and sheet at the door: {name[room]}")


VALVES = {
    "toilet": "toilet valve shut, flange plugged",
    "water": "water valve shut and tried",
    "power": "breaker off and tagged",
}


def _flooded(facts: Evening) -> list[str]:
    """Rooms in which water stands for a test: begun, and nobody has let it out."""
    return sorted({each.room for each in facts.standing if each.kind == "test"})


def _off(facts: Evening) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for out in services_off(facts):
        found.setdefault(out.room, []).append(out.what)
    return found


def _touched(facts: Evening, step: str) -> bool:
    at = facts.progress.finished.get(step, facts.progress.started.get(step))
    return at is not None and facts.is_today(at)


def _van(facts: Evening) -> Iterator[LeaveLine]:
    """What the next working day needs: to load, and to buy on the way, whole packages of a class together."""
    day = facts.next_work_day()
    listed_days = pull_list(facts.plan, facts.job, facts.steps, facts.events, day) if day is not None else None
    pulled = listed_days.on(day) if listed_days is not None and day is not None else None
    if pulled is None:
        return
    when = show_day(pulled.day)
    for title, items in _by_class(pulled).items():
        carried = [item for item in items if item.comes is None]
        take = sum(item.take for item in carried)
        if take:
            words = f"Load for {when}: {count_words(take, carried[0].package)} {title}"
            yield LeaveLine(f"load/{items[0].material}", words, all(item.ticked for item in carried))
    small = list(dict.fromkeys(each for step in pulled.steps for each in step.small_items))
    if small:
        yield LeaveLine("load/small", f"Load for {when}: {', '.join(small)}")
    for title, items in _by_class(pulled).items():
        short = sum(item.short for item in items)
        if short:
            first = min(step.start for step in pulled.steps if any(i in items for i in step.items))
            yield _short(facts, title, items[0], short, first)


def _short(facts: Evening, title: str, item: Item, short: int, first: Instant) -> LeaveLine:
    """To buy; or, when a delivery is on its way but comes too late for the step, to know."""
    words = f"{count_words(short, item.package)} {title}"
    at = facts.wall(first)
    if item.comes is None:
        return LeaveLine(f"buy/{item.material}", f"BUY {words}, before {at}")
    comes = facts.wall(item.comes)
    return LeaveLine(f"late/{item.material}", f"SHORT {words}: needed {at}, the truck comes by {comes}")


def _by_class(day: PullDay) -> dict[str, list[Item]]:
    found: dict[str, list[Item]] = {}
    for step in day.steps:
        for item in step.items:
            found.setdefault(item.title, []).append(item)
    return found


def drive_off_text(facts: Evening) -> str:
    """The list as text, numbered as the command line ticks it."""
    lines = drive_off(facts)
    if not lines:
        return "Nothing to see to: drive off.\n"
    left = sum(1 for line in lines if not line.done)
    head = f"BEFORE YOU DRIVE OFF  {facts.job.name}   {show_day(facts.today)}   {left} of {len(lines)} to do"
    rows = [f"{'√' if line.done else ' '} {n:>2}  {line.words}" for n, line in enumerate(lines, start=1)]
    return "\n".join([head, "", *rows]) + "\n"
