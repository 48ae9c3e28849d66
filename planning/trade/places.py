"""Where a method's places lie in a room: which floors, which part, how much of them."""

from collections.abc import Mapping
from dataclasses import dataclass

from planning.job.place import Room
from planning.job.scope import Scope
from planning.trade.methods import ROOM_PLACE, Method


@dataclass(frozen=True, slots=True)
class Where:
    """A place of a method in a room. `part` None: the whole room, or more than one part. Area m2, lengths m.

    `sides_m` are the two sides of its floor, None where the part has no size of its own.
    """

    floors: tuple[str, ...]
    part: str | None
    area_m2: float
    perimeter_m: float
    sides_m: tuple[float, float] | None


def lay_places(method: Method, scope: Scope, room: Room) -> Mapping[str, Where]:
    """Every place of the method, by the scope's `on`, else by the part of that name, else the whole room.

    A place that stands on another's floor lies where that one lies, unless `on` maps it. A part that the room does
    not have counts as the whole room; `expand` reports it.
    """
    found: dict[str, Where] = {}
    for place, row in method.places.items():
        if row.floor is None or place in scope.on:
            found[place] = _floor(room, scope.on.get(place, place))
    for place, row in method.places.items():
        if place not in found and row.floor is not None:
            found[place] = found.get(row.floor) or _floor(room, row.floor)
    found[ROOM_PLACE] = _together(room, found)
    return found


def _floor(room: Room, name: str) -> Where:
    for part in room.parts:
        if part.id == name:
            sides = (part.length_m, part.width_m) if part.length_m and part.width_m else None
            return Where((f"{room.id}.{part.id}",), part.id, part.area_m2, part.perimeter_m, sides)
    return Where(room.floors, None, room.area_m2, room.perimeter_m, (room.length_m, room.width_m))


def _together(room: Room, places: Mapping[str, Where]) -> Where:
    floors = tuple(floor for floor in room.floors if any(floor in where.floors for where in places.values()))
    if floors == room.floors:
        whole = _floor(room, "")
        return whole if len(floors) > 1 or not room.parts else next(iter(places.values()))
    apart = [where for where in {where.floors: where for where in places.values()}.values() if where.part]
    if len(apart) == 1:
        return apart[0]
    area = sum(where.area_m2 for where in apart)
    return Where(floors, None, area, sum(where.perimeter_m for where in apart), None)
