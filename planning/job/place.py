"""Rooms, their parts and the ways in: which floor must be crossed to reach which."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from planning.job.scope import Scope

OUTSIDE = "outside"


@dataclass(frozen=True, slots=True)
class Air:
    """Air in a room and the surface under the work: temperatures in degrees Celsius, relative humidity 0 to 1."""

    air_c: float
    humidity: float
    surface_c: float


LAB_AIR = Air(23.0, 0.5, 23.0)
"""The air that labels are printed for: 23 C and 50 % RH (ISO 13007-2 3.2 as quoted in the trade; text not seen)."""


@dataclass(frozen=True, slots=True)
class RoomAir:
    """The forecast air of a room by day and by night."""

    day: Air = LAB_AIR
    night: Air = LAB_AIR
    read: bool = False
    """Was it written in the job file? If not, every wait says that the air was taken as the lab's."""


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a room with its own floor and way in. Lengths in meters, areas in square meters."""

    id: str
    area_m2: float
    perimeter_m: float
    in_from: tuple[str, ...]
    length_m: float | None = None
    width_m: float | None = None


@dataclass(frozen=True, slots=True)
class Room:
    """One room of the job. `in_from` are alternatives; "outside" is always open. A room without parts is one floor."""

    id: str
    name: str
    length_m: float
    width_m: float
    in_from: tuple[str, ...]
    parts: tuple[Part, ...] = ()
    air: RoomAir = field(default_factory=RoomAir)
    toilet: bool = False
    do: tuple[Scope, ...] = ()
    line: int = 0

    @property
    def area_m2(self) -> float:
        """The whole room's floor in square meters."""
        return self.length_m * self.width_m

    @property
    def perimeter_m(self) -> float:
        """The whole room's outline in meters."""
        return 2 * (self.length_m + self.width_m)

    @property
    def floors(self) -> tuple[str, ...]:
        """The floor keys of this room: `room`, or one `room.part` a part."""
        if not self.parts:
            return (self.id,)
        return tuple(f"{self.id}.{part.id}" for part in self.parts)

    def part(self, part_id: str) -> Part:
        """The part of that id. Raises KeyError if the room has none such."""
        for part in self.parts:
            if part.id == part_id:
                return part
        raise KeyError(f"room {self.id!r} has no part {part_id!r}")


def doors(rooms: tuple[Room, ...]) -> dict[str, tuple[str, ...]]:
    """For each floor key, the floor keys (or "outside") that a person may step in from."""
    by_id = {room.id: room for room in rooms}

    def resolve(room: Room, name: str) -> tuple[str, ...]:
        if name == OUTSIDE or "." in name:
            return (name,)
        if any(part.id == name for part in room.parts):
            return (f"{room.id}.{name}",)
        return by_id[name].floors if name in by_id else ()

    found: dict[str, tuple[str, ...]] = {}
    for room in rooms:
        if not room.parts:
            found[room.id] = tuple(f for name in room.in_from for f in resolve(room, name))
        for part in room.parts:
            names = part.in_from or room.in_from
            found[f"{room.id}.{part.id}"] = tuple(f for name in names for f in resolve(room, name))
    return found


def ways_in(open_from: Mapping[str, tuple[str, ...]], floor: str) -> tuple[tuple[str, ...], ...]:
    """The alternative ways from outside to a floor, each the floors crossed before it (not the floor itself).

    A way that contains another one whole is left out: who may take the longer may take the shorter.
    Returns () when the floor cannot be reached at all, ((),) when it opens to the outside.
    """
    ways: list[frozenset[str]] = []
    known = {(floor, frozenset[str]())}
    reached = [*known]
    for at, crossed in reached:  # fewest floors first, so that a way found is never longer than one found later
        if any(way <= crossed for way in ways):
            continue
        for back in open_from.get(at, ()):
            step = (back, crossed | {back})
            if back == OUTSIDE:
                ways.append(crossed)
                break
            if back not in crossed and back != floor and step not in known:
                known.add(step)
                reached.append(step)
    return tuple(sorted(tuple(sorted(way)) for way in ways))
