"""What a job file may not say even if every word of it can be read: names that lead nowhere, doubles, no way in."""

from collections.abc import Iterable

from planning.job.people import DayHours
from planning.job.place import OUTSIDE
from planning.quantities.number_words import shown
from planning.quantities.show import show_area
from planning.records import job_names, job_words
from planning.records.job_problems import Findings
from planning.records.job_schema import Document, DoTable, RoomTable
from planning.records.job_ways import Names, check_ways_in
from planning.records.toml_lines import Path

MOST_ROOMS = 200

PART_TOLERANCE = 1.02
"""Parts are measured one by one: so much more than the room is still the room."""


def check(doc: Document, names: Names, findings: Findings) -> None:
    """Report everything that does not fit together in what could be read."""
    if not names.rooms and ("room",) not in findings.gone:
        findings.add((), "there is no room", "write a [[room]] with id, size and in_from")
    if len(doc.room) > MOST_ROOMS:
        findings.add(
            ("room", MOST_ROOMS), f"there are {len(doc.room)} rooms", f"a job has at most {MOST_ROOMS}: split it"
        )
        return
    if doc.job is None and ("job",) not in findings.gone:
        findings.add((), "there is no [job]", 'write [job] with zone = "America/Denver" and start = 2026-06-01')
    _doubles(doc, findings)
    for n, room in enumerate(doc.room):
        if room is not None:
            _room(room, ("room", n), names, findings)
    check_ways_in(doc, names, findings)
    _references(doc, names, findings)
    _dates(doc, findings)
    _hours(doc, findings)


def _doubles(doc: Document, findings: Findings) -> None:
    named: list[tuple[str, str, list[str | None]]] = [
        ("room", "id", [room.id if room else None for room in doc.room]),
        ("person", "name", [person.name if person else None for person in doc.person]),
        ("material", "class", [material.class_ if material else None for material in doc.material]),
    ]
    for n, room in enumerate(doc.room):
        if room is not None:
            _no_double(("room", n, "part"), "id", [part.id if part else None for part in room.part], findings)
    for table, key, values in named:
        _no_double((table,), key, values, findings)


def _no_double(path: Path, key: str, values: list[str | None], findings: Findings) -> None:
    seen: dict[str, int] = {}
    for n, value in enumerate(values):
        if value is None:
            continue
        if value in seen:
            line = findings.lines.of((*path, seen[value], key))
            findings.add((*path, n, key), f"{path[-1]} {shown(value)} stands twice", f"line {line} has it: change one")
        seen.setdefault(value, n)


def _room(room: RoomTable, path: Path, names: Names, findings: Findings) -> None:
    if room.id == OUTSIDE:
        findings.add((*path, "id"), 'no room may be called "outside"', "give it another id")
    area = room.size[0] * room.size[1]
    parts = sum(part.size[0] * part.size[1] for part in room.part if part is not None and part.size is not None)
    unsized = [(n, part.id) for n, part in enumerate(room.part) if part is not None and part.size is None]
    if parts > area * PART_TOLERANCE:
        what = f"the parts of {room.id} are {show_area(parts)} together, the room is {show_area(area)}"
        findings.add((*path, "size"), what, "make the room larger or a part smaller")
    elif unsized and parts >= area * (2 - PART_TOLERANCE):
        n, part_id = unsized[0]
        findings.add((*path, "part", n), f"nothing is left of {room.id} for {part_id}", "make another part smaller")
    for n, _ in unsized[1:]:
        findings.add(
            (*path, "part", n), f"two parts of {room.id} have no size", 'write size = "5 x 3 ft" for all but one'
        )
    for n, part in enumerate(room.part):
        if part is not None and part.id in (*names.rooms, OUTSIDE):
            findings.add((*path, "part", n, "id"), f"part {shown(part.id)} is called like a room", "give it another id")
    for n, do in enumerate(room.do):
        if do is not None:
            _do(do, room, (*path, "do", n), names, findings)


def _do(do: DoTable, room: RoomTable, path: Path, names: Names, findings: Findings) -> None:
    parts = names.rooms.get(room.id, frozenset())
    for place, part in do.on.items():
        if part not in parts:
            how = job_names.instead(part, parts, f"parts of {room.id}")
            findings.add((*path, "on"), f"{room.id} has no part {shown(part)}", how)
        elif not place.isprintable():
            findings.add((*path, "on"), f"{shown(place)} is no place of a method", 'write on = { floor = "north" }')
    starts = {*parts, *names.places(), *(other.method for other in room.do if other is not None)} if do.after else set()
    for n, ref in enumerate(do.after):
        _step(ref, starts, (*path, "after", n), findings)
    seen: set[str] = set()
    for n, change in enumerate(do.change):
        if change is not None and change.step in seen:
            findings.add((*path, "change", n), f"step {shown(change.step)} is changed twice", "write one change a step")
        seen.add(change.step if change is not None else "")


def _step(ref: str, starts: Iterable[str], path: Path, findings: Findings) -> None:
    """A step named with a slash begins with a room, a part or a method; the step itself is found by the trade."""
    first, slash, _ = ref.partition("/")
    if slash and first not in starts:
        how = job_names.instead(first, starts, "rooms, parts and methods here")
        findings.add(path, f"{shown(ref)} begins with nothing that is here", how)


def _references(doc: Document, names: Names, findings: Findings) -> None:
    places: list[tuple[str | None, Path]] = [
        *((visit.room, ("visit", n)) for n, visit in enumerate(doc.visit) if visit is not None),
        *((delivery.room, ("delivery", n)) for n, delivery in enumerate(doc.delivery) if delivery is not None),
        *((answer.room, ("answer", n)) for n, answer in enumerate(doc.answer) if answer is not None),
        *((promise.room, ("promise", n)) for n, promise in enumerate(doc.promise) if promise is not None),
    ]
    for place, path in places:
        if place is not None and not names.has_place(place):
            how = job_names.instead(place, names.places(), "rooms")
            findings.add((*path, "room"), f"there is no room {shown(place)}", how)
    for n, errand in enumerate(doc.errand):
        if errand is None:
            continue
        if errand.who not in names.people:
            how = job_names.instead(errand.who, names.people, "people")
            findings.add(("errand", n, "who"), f"there is no person {shown(errand.who)}", how)
        if errand.before is not None:
            _step(errand.before, names.places(), ("errand", n, "before"), findings)
    toilets = {room.id for room in doc.room if room is not None and room.toilet}
    whole = {room.id for room in doc.room if room is not None}
    for n, promise in enumerate(doc.promise):
        if promise is not None and promise.what == "toilet" and promise.room in whole - toilets:
            how = f"write toilet = true in room {shown(promise.room)}, or promise another room"
            findings.add(("promise", n, "what"), f"{promise.room} has no toilet to promise", how)


def _dates(doc: Document, findings: Findings) -> None:
    """Visits and promises before the job starts: a wrong month more often than a wish."""
    if doc.job is None:
        return
    for n, visit in enumerate(doc.visit):
        if visit is not None and visit.span[1].date() < doc.job.start:
            key = "at" if visit.at is not None else "between"
            _too_soon(("visit", n, key), doc, findings)
    for n, promise in enumerate(doc.promise):
        if promise is not None and promise.by.date() < doc.job.start:
            _too_soon(("promise", n, "by"), doc, findings)


def _too_soon(path: Path, doc: Document, findings: Findings) -> None:
    start = doc.job.start.isoformat() if doc.job is not None else ""
    findings.add(path, f"{path[-1]} is before the job starts", f"the job starts {start}: change one of the two")


def _hours(doc: Document, findings: Findings) -> None:
    lists: list[tuple[Path, list[DayHours]]] = [(("hours", "other"), doc.hours.other if doc.hours else [])]
    lists += [(("person", n, "hours"), person.hours) for n, person in enumerate(doc.person) if person is not None]
    for path, spans in lists:
        twice = job_words.overlap(spans)
        if twice is not None:
            findings.add(path, f"{path[-1]} has {twice.isoformat()} twice", "write one span a day")
