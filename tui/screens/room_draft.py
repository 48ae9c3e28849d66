"""A room as far as it was answered: the tables that the job file will hold, line by line with what may stand there.

No painting here, and nothing of the trade: which methods there are and what they measure comes filled in.
"""

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Literal

OUTSIDE = "outside"
SIZE = "5 x 5 ft"
"""What stands in the size till it is typed."""
PART_SIZE = "5 x 3 ft"
STANDARD = "as the method says"
Holds = Literal["text", "turn", "add"]
Edit = dict[str, Any]


@dataclass(frozen=True, slots=True)
class DraftLine:
    """One line: its key, what it is called, its answer, and whether it is typed, turned or adds the room."""

    key: str
    label: str
    said: str
    holds: Holds


@dataclass
class RoomDraft:
    """One room being made or changed. `room`: its table in the file; `method`: the filled-in method of its first work.

    `was`: the table before, when the room is in the file already; then only what differs is written.
    """

    room: dict[str, Any]
    method: Mapping[str, Any]
    was: dict[str, Any] | None = None
    taken: Sequence[str] = ()
    rooms: Sequence[str] = ()
    units: str = "imperial"

    @classmethod
    def fresh(cls, method: Mapping[str, Any], rooms: Sequence[str], reach: str = OUTSIDE) -> "RoomDraft":
        """A new room with one method, everything else as it mostly is. `reach` "before": behind the last room."""
        way = rooms[-1] if reach == "before" and rooms else OUTSIDE
        room: dict[str, Any] = {"id": "", "name": f"room {len(rooms) + 1}", "size": SIZE, "in_from": [way]}
        floors = list(method["floors"])
        do: dict[str, Any] = {"method": method["key"]}
        if len(floors) > 1:
            # The last floor of the method is what is left of the room; the others have sizes of their own.
            rest = floors[-1]
            room["part"] = [{"id": each, "size": PART_SIZE, "in_from": [rest]} for each in floors[:-1]]
            room["part"].append({"id": rest})
            do["on"] = {each: each for each in floors}
        room["do"] = [do]
        return cls(room, method, rooms=tuple(rooms), taken=tuple(rooms))

    @classmethod
    def of(cls, room: Mapping[str, Any], method: Mapping[str, Any], rooms: Sequence[str]) -> "RoomDraft":
        """A room of the file, to be changed."""
        others = [each for each in rooms if each != room["id"]]
        return cls(deepcopy(dict(room)), method, deepcopy(dict(room)), others, others)

    @classmethod
    def copy(cls, room: Mapping[str, Any], method: Mapping[str, Any], rooms: Sequence[str]) -> "RoomDraft":
        """A new room like one of the file, under another name."""
        made = deepcopy(dict(room))
        made["name"] = f"{made.get('name') or str(made['id']).replace('-', ' ')} 2"
        made["id"] = ""
        return cls(made, method, rooms=tuple(rooms), taken=tuple(rooms))

    # Lines

    @property
    def name(self) -> str:
        """The room's name."""
        return str(self.room.get("name") or str(self.room["id"]).replace("-", " "))

    def _do(self) -> dict[str, Any]:
        found: dict[str, Any] = self.room["do"][0] if self.room.get("do") else {}
        return found

    def measures(self) -> dict[str, Any]:
        """Every measurement of the method with its value: the method's own, or the setter's."""
        given = {key: value for key, value in self._do().items() if isinstance(value, str | int | float)}
        slots = self.method.get("faster", {})
        known = {**self.method.get("measures", {}), **given}
        return {key: value for key, value in known.items() if key != "method" and key not in slots}

    def lines(self) -> list[DraftLine]:
        """Every line, in the order asked; the last one adds or keeps the room."""
        made = [DraftLine("method", "What", str(self.method.get("title", "")), "turn"),
                DraftLine("size", "Size", str(self.room["size"]), "text")]  # fmt: skip
        made += [
            DraftLine(f"part {n}", f"{part['id'].replace('-', ' ').capitalize()}", str(part["size"]), "text")
            for n, part in enumerate(self.room.get("part", []))
            if "size" in part
        ]
        made += [
            DraftLine(f"do {key}", key.replace("_", " ").capitalize(), str(value), "text")
            for key, value in self.measures().items()
        ]
        made.append(DraftLine("name", "Name", self.name, "text"))
        made.append(DraftLine("way", "Reached by", ", ".join(self.room["in_from"]), "turn"))
        made.append(DraftLine("toilet", "Toilet", "yes" if self.room.get("toilet") else "no", "turn"))
        if self.speeds() != [STANDARD]:
            made.append(DraftLine("speed", "Speed", self.speed(), "turn"))
        not_read = f"not read: taken as {'23 C' if self.units == 'metric' else '73 F'} 50 %"
        made.append(DraftLine("air", "Air", str(self.room.get("air", {}).get("day", not_read)), "text"))
        return [*made, DraftLine("add", "ADD IT" if self.was is None else "KEEP IT", "", "add")]

    def speeds(self) -> list[str]:
        """Standard, each slot that has a rapid class, and all of them."""
        slots = self.method.get("faster", {})
        each = [str(title) for title, _ in slots.values()]
        return [STANDARD, *each, *(["all rapid"] if len(each) > 1 else [])]

    def speed(self) -> str:
        """Which of `speeds` is chosen."""
        slots = self.method.get("faster", {})
        rapid = [str(title) for slot, (title, key) in slots.items() if self._do().get(slot) == key]
        if len(rapid) == len(slots) > 1:
            return "all rapid"
        return ", ".join(rapid) or STANDARD

    # Answers

    def typed(self, key: str, text: str) -> None:
        """An answer that was typed."""
        if key == "size":
            self.room["size"] = text
        elif key == "name":
            self.room["name"] = text
        elif key == "air":
            self.room["air"] = {**self.room.get("air", {}), "day": air_words(text, self.units)}
        elif key.startswith("part "):
            self.room["part"][int(key.removeprefix("part "))]["size"] = text
        elif key.startswith("do "):
            self._do()[key.removeprefix("do ")] = int(text) if text.isdigit() else text

    def turned(self, key: str, by: int) -> None:
        """Another of a few answers."""
        if key == "toilet":
            self.room["toilet"] = not self.room.get("toilet")
        elif key == "way":
            ways = [[OUTSIDE], *([each] for each in self.rooms)]
            here = ways.index(self.room["in_from"]) if self.room["in_from"] in ways else 0
            self.room["in_from"] = ways[(here + by) % len(ways)]
        elif key == "speed":
            speeds, slots = self.speeds(), self.method.get("faster", {})
            here = speeds.index(self.speed()) if self.speed() in speeds else 0
            chosen = speeds[(here + by) % len(speeds)]
            for slot, (title, rapid) in slots.items():
                if chosen in (title, "all rapid"):
                    self._do()[slot] = rapid
                else:
                    self._do().pop(slot, None)

    # What is written

    def id(self) -> str:
        """The room's id in the file: its name in small letters, unlike any other."""
        if self.was is not None:
            return str(self.was["id"])
        words = "".join(c if c.isalnum() else " " for c in self.name.lower()).split()
        plain = "-".join(words).encode("ascii", "ignore").decode().strip("-")
        made = plain if plain[:1].isalpha() else f"room-{plain}".strip("-")
        return next(name for name in _numbered(made) if name not in self.taken and name != OUTSIDE)

    def table(self) -> dict[str, Any]:
        """The room as the job file has it."""
        made = {**self.room, "id": self.id()}
        if not made.get("toilet"):
            made.pop("toilet", None)
        return made

    def edits(self, number: int | None = None) -> list[Edit]:
        """What to change in the file. `number`: the room's place among the rooms of the file, when it is there."""
        if self.was is None or number is None:
            return [{"do": "room", "values": self.table()}]
        return _differs(self.was, self.table(), ["room", number])


def _numbered(name: str) -> "Sequence[str]":
    return [name, *(f"{name}-{n}" for n in range(2, 100))]


def _differs(was: Mapping[str, Any], now: Mapping[str, Any], path: list[str | int]) -> list[Edit]:
    """The edits that make one table of the other, down to single values."""
    made: list[Edit] = [{"do": "out", "path": [*path, key]} for key in was if key not in now]
    for key, value in now.items():
        old = was.get(key)
        if old == value:
            continue
        here: list[str | int] = [*path, key]
        if isinstance(old, list) and isinstance(value, list) and len(old) == len(value) and _tables(old + value):
            for n, (before, after) in enumerate(zip(old, value, strict=True)):
                made += _differs(before, after, [*here, n])
        elif isinstance(old, Mapping) and isinstance(value, Mapping):
            made += _differs(old, value, here)
        else:
            made.append({"do": "set", "path": here, "value": value})
    return made


def _tables(values: list[Any]) -> bool:
    return all(isinstance(each, Mapping) for each in values)


def air_words(text: str, units: str = "imperial") -> str:
    """Three bare numbers (air, RH, floor) as the job file writes them: 68 55 66 is 68 F 55 % floor 66 F."""
    words = text.replace("%", " ").replace(",", " ").split()
    bare = [word for word in words if word.replace(".", "", 1).lstrip("-").isdigit()]
    if len(words) in (2, 3) and bare == words:
        floor = words[2] if len(words) == 3 else words[0]
        degree = "C" if units == "metric" else "F"
        return f"{words[0]} {degree} {words[1]} % floor {floor} {degree}"
    return text
