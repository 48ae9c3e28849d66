"""Which floors are off when, and which rooms cannot be reached then: read off a plan's stay-offs and its doors."""

from collections.abc import Mapping
from dataclasses import dataclass

from planning.job.hours import joined
from planning.job.place import OUTSIDE, ways_in
from planning.job.plan import Plan, PlannedRoom, StayOff
from planning.job.words import Instant

Span = tuple[Instant, Instant]


@dataclass(frozen=True, slots=True)
class Off:
    """A floor nobody walks on, from `start` until `until`. `words`: the part or nothing."""

    start: Instant
    until: Instant
    words: str
    step: str


def floor_keys(room: PlannedRoom) -> tuple[str, ...]:
    """The floors of a room: itself, or one a part."""
    return tuple(f"{room.id}.{part.id}" for part in room.parts) or (room.id,)


def doors_of(plan: Plan) -> dict[str, tuple[str, ...]]:
    """For each floor, the floors (or outside) that one steps in from."""
    rooms = {room.id: room for room in plan.rooms}

    def known(room: PlannedRoom, name: str) -> tuple[str, ...]:
        if name == OUTSIDE or "." in name:
            return (name,)
        if any(part.id == name for part in room.parts):
            return (f"{room.id}.{name}",)
        return floor_keys(rooms[name]) if name in rooms else ()

    found: dict[str, tuple[str, ...]] = {}
    for room in plan.rooms:
        if not room.parts:
            found[room.id] = tuple(floor for name in room.in_from for floor in known(room, name))
        for part in room.parts:
            found[f"{room.id}.{part.id}"] = tuple(f for name in part.in_from for f in known(room, name))
    return found


def offs(plan: Plan, room: str) -> list[Off]:
    """The stay-offs of a room's floors, in order of start."""
    return [
        Off(off.start, off.until, (off.part or "").replace("-", " "), off.step)
        for off in plan.stay_off
        if off.room == room and off.what == "walk" and off.until > off.start
    ]


def standing_off(plan: Plan, now: Instant) -> list[StayOff]:
    """What nobody may walk on at `now`: the last stay-off of each floor."""
    last: dict[tuple[str, str | None], StayOff] = {}
    begun = {step.id for step in plan.steps if step.state in ("hands", "curing", "done")}
    for off in plan.stay_off:
        if off.what == "walk" and off.step in begun and off.start <= now < off.until:
            known = last.get((off.room, off.part))
            if known is None or off.until > known.until:
                last[off.room, off.part] = off
    return list(last.values())


def no_way(plan: Plan, room: PlannedRoom) -> list[Span]:
    """When no floor of this room can be reached, though it may be dry itself."""
    green = _green(plan)
    doors = doors_of(plan)
    spans: list[Span] | None = None
    for floor in floor_keys(room):
        shut = _shut(ways_in(doors, floor), green)
        spans = shut if spans is None else _both(spans, shut)
    return spans or []


def _green(plan: Plan) -> dict[str, list[Span]]:
    rooms = {room.id: room for room in plan.rooms}
    found: dict[str, list[Span]] = {}
    for off in plan.stay_off:
        if off.what == "walk" and off.room in rooms:
            floors = (f"{off.room}.{off.part}",) if off.part else floor_keys(rooms[off.room])
            for floor in floors:
                found.setdefault(floor, []).append((off.start, off.until))
    return {floor: joined(spans) for floor, spans in found.items()}


def _shut(ways: tuple[tuple[str, ...], ...], green: Mapping[str, list[Span]]) -> list[Span]:
    """When every way has a green floor in it."""
    shut: list[Span] | None = None
    for way in ways:
        crossed = joined([span for floor in way for span in green.get(floor, [])])
        shut = crossed if shut is None else _both(shut, crossed)
    return shut or []


def _both(one: list[Span], other: list[Span]) -> list[Span]:
    return [
        (max(a, c), min(b, d)) for a, b in one for c, d in other if max(a, c) < min(b, d)
    ]  # fmt: skip
