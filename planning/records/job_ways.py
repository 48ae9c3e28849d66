"""The names a job file gives to places and people, and the ways in: none may lead nowhere, each floor needs one."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from planning.job.place import OUTSIDE
from planning.quantities.number_words import shown
from planning.records import job_names
from planning.records.job_problems import Findings
from planning.records.job_schema import Document, RoomTable
from planning.records.toml_lines import Path


@dataclass(frozen=True)
class Names:
    """Every name the file gives, also in tables that could not be read, so that one mistake makes one problem."""

    rooms: Mapping[str, frozenset[str]]
    people: frozenset[str]
    methods: frozenset[str]

    @classmethod
    def of(cls, raw: Mapping[str, Any]) -> "Names":
        """The names in a document as parsed, before anything is taken out of it."""
        rooms = {
            room["id"]: frozenset(_texts(_tables(room.get("part")), "id"))
            for room in _tables(raw.get("room"))
            if isinstance(room.get("id"), str)
        }
        people = frozenset(_texts(_tables(raw.get("person")), "name"))
        methods = frozenset(_texts(_tables(raw.get("method")), "key"))
        return cls(rooms, people or frozenset(("you",)), methods)

    def has_place(self, place: str) -> bool:
        """Is it a room, or `room.part`?"""
        room, dot, part = place.partition(".")
        return room in self.rooms and (not dot or part in self.rooms[room])

    def places(self) -> list[str]:
        """Every room, and every part as `room.part`."""
        return [*self.rooms, *(f"{room}.{part}" for room, parts in self.rooms.items() for part in sorted(parts))]


def _tables(value: Any) -> list[dict[str, Any]]:
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def _texts(tables: Iterable[Mapping[str, Any]], key: str) -> Iterator[str]:
    return (table[key] for table in tables if isinstance(table.get(key), str))


@dataclass(frozen=True)
class _Door:
    """A floor with the names it is entered from and the path of those names in the file."""

    floor: str
    room: str
    in_from: list[str]
    path: Path
    inherited: bool = False
    """Are the names the room's, told once already?"""


def check_ways_in(doc: Document, names: Names, findings: Findings) -> None:
    """Report ways in that lead nowhere, and floors to which none leads."""
    sources: dict[str, set[str]] = {}
    said: dict[str, Path] = {}
    for n, room in enumerate(doc.room):
        for door in _doors(room, ("room", n)) if room is not None else ():
            found = {_source(door, name, (*door.path, m), names, findings) for m, name in enumerate(door.in_from)}
            if not found and door.path not in findings.gone:
                findings.add(door.path, f"{door.floor} has no way in", _HOW)
                found = {OUTSIDE}
            if names.rooms.get(door.floor):
                continue  # a room with parts is no floor of its own
            sources[door.floor] = found or {OUTSIDE}
            said[door.floor] = door.path
    for floor in _unreached(sources, names):
        what = f"{floor} cannot be reached from outside"
        findings.add(said[floor], what, 'write in_from with "outside" or a room that can be reached')


_HOW = 'write in_from = ["outside"] or the rooms beside it'


def _doors(room: RoomTable, path: Path) -> Iterator[_Door]:
    yield _Door(room.id, room.id, room.in_from, (*path, "in_from"))
    for n, part in enumerate(room.part):
        if part is not None:
            floor = f"{room.id}.{part.id}"
            if part.in_from:
                yield _Door(floor, room.id, part.in_from, (*path, "part", n, "in_from"))
            else:
                yield _Door(floor, room.id, room.in_from, (*path, "in_from"), inherited=True)


def _source(door: _Door, name: str, path: Path, names: Names, findings: Findings) -> str:
    """The floor or room this way in leads from; "outside" when it is unknown, which is reported."""
    parts = names.rooms.get(door.room, frozenset())
    place = f"{door.room}.{name}" if name in parts else name
    if place == OUTSIDE:
        return OUTSIDE
    if place == door.floor:
        if not door.inherited:
            findings.add(path, f"{door.floor} is entered from itself", _HOW)
        return OUTSIDE
    if not names.has_place(place):
        if not door.inherited:
            beside = [each for each in (*names.places(), *parts, OUTSIDE) if each != door.floor]
            findings.add(path, f"in_from: there is no room {shown(name)}", job_names.instead(name, beside, "ways in"))
        return OUTSIDE
    return place


def _unreached(sources: Mapping[str, set[str]], names: Names) -> list[str]:
    # A room or part that could not be read counts as reached: its own mistake is reported already.
    floors = {floor for room, parts in names.rooms.items() for floor in ([f"{room}.{p}" for p in parts] or [room])}
    reached = {OUTSIDE} | (floors - set(sources))
    reached |= {floor.partition(".")[0] for floor in reached}
    grown = True
    while grown:
        more = {floor for floor, into in sources.items() if floor not in reached and into & reached}
        reached |= more | {floor.partition(".")[0] for floor in more}
        grown = bool(more)
    return [floor for floor in sources if floor not in reached]
