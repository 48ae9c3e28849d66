"""A read and checked job file turned into a Job: wall clock into instants, sizes into floors, ids for what comes."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from pathlib import PurePath
from zoneinfo import ZoneInfo

from planning.job import hours as clockwork
from planning.job.job import Answer, Delivery, Errand, House, Job, OwnMaterial, Promise, Visit
from planning.job.people import Gear, Hours, Person
from planning.job.place import LAB_AIR, Part, Room, RoomAir
from planning.job.scope import Scope
from planning.job.step import Band
from planning.job.words import WINDOW_NAMES, Instant
from planning.records.job_names import slug
from planning.records.job_schema import (
    AirTable,
    Document,
    GearTable,
    HoursTable,
    HouseTable,
    JobTable,
    MaterialTable,
    PartTable,
    PersonTable,
    RoomTable,
)
from planning.records.toml_lines import Lines

SAME_SIDE_M = 0.03
"""Two sides closer than this (about an inch) are one side."""

_SPELLED = {"water": "water_use"}
"""Windows whose key in the file differs, because "water" is the bag's mix water there."""


def build_job(doc: Document, table: JobTable, file: str, scopes: dict[int, tuple[Scope, ...]], lines: Lines) -> Job:
    """The job. `scopes` are the read `[[room.do]]` tables by the room's position."""
    name = table.name or PurePath(file).stem
    people = tuple(_person(person, name) for person in doc.person if person is not None)
    rooms = (
        build_room(room, scopes.get(n, ()), lines.of(("room", n)))
        for n, room in enumerate(doc.room)
        if room is not None
    )
    coming = _Coming(doc, table.zone, lines)
    return Job(
        name=name,
        zone=table.zone,
        start=table.start,
        rooms=tuple(rooms),
        people=people or (Person("you", name, frozenset(("all",))),),
        hours=_hours(doc.hours or HoursTable()),
        house=_house(doc.house or HouseTable()),
        gear=_gear(doc.gear or GearTable()),
        van=doc.van,
        pace=doc.pace,
        aim=table.aim,
        units=table.units,
        flood_hold_min=table.flood_hold,
        warm_opens_early=table.warm_opens_early,
        visits=coming.visits(),
        deliveries=coming.deliveries(),
        answers=coming.answers(),
        errands=coming.errands(),
        promises=coming.promises(),
        materials={m.class_: own_material(m, lines.of(("material", n))) for n, m in enumerate(doc.material) if m},
        own_methods=own_methods(doc, lines),
    )


def own_methods(doc: Document, lines: Lines) -> tuple[Mapping[str, object], ...]:
    """The setter's own methods as they stand in the file, each table and each row with its line."""
    found = []
    for n, method in enumerate(doc.method):
        if method is None:
            continue
        rows = method.get("row")
        with_lines = {**method, "line": lines.of(("method", n))}
        if isinstance(rows, list):
            with_lines["row"] = [
                {**row, "line": lines.of(("method", n, "row", m))} if isinstance(row, dict) else row
                for m, row in enumerate(rows)
            ]
        found.append(with_lines)
    return tuple(found)


def _person(table: PersonTable, job: str) -> Person:
    return Person(table.name, job, frozenset(table.can), table.days, tuple(table.hours), frozenset(table.off))


def _hours(table: HoursTable) -> Hours:
    return Hours(
        days=table.days,
        start=table.from_,
        finish=table.to,
        eat_at=table.eat[0],
        eat_min=table.eat[1],
        set_up_min=table.set_up,
        clean_up_min=table.clean_up,
        off=frozenset(table.off),
        exceptions=tuple(table.other),
        night_from=table.night[0],
        night_to=table.night[1],
    )


def _house(table: HouseTable) -> House:
    dates, weekdays = table.toilet_nights
    return House(dates, weekdays, tuple(table.quiet), tuple(table.no_power), tuple(table.no_water))


def _gear(table: GearTable) -> Gear:
    counted = table.model_dump(exclude={"payload"}, exclude_none=True)
    return Gear({name: int(n) for name, n in counted.items()}, table.payload)


def own_material(table: MaterialTable, line: int) -> OwnMaterial:
    """The setter's numbers of one class, as its table in a file says them."""
    said = {str(name): getattr(table, _SPELLED.get(name, name)) for name in WINDOW_NAMES}
    windows: dict[str, tuple[Band, Band | None]] = {name: window for name, window in said.items() if window}
    return OwnMaterial(table.class_, table.bag, table.water, table.yield_, windows, line)


def build_room(table: RoomTable, do: tuple[Scope, ...], line: int) -> Room:
    """One room with its parts, lengths in meters."""
    return Room(
        id=table.id,
        name=table.name or table.id.replace("-", " ").replace("_", " "),
        length_m=table.size[0],
        width_m=table.size[1],
        in_from=tuple(table.in_from),
        parts=tuple(_part(part, table) for part in table.part if part is not None),
        air=_air(table.air),
        toilet=table.toilet,
        do=do,
        line=line,
    )


def _air(table: AirTable | None) -> RoomAir:
    """The room's air; of day and night the one not said is taken like the other."""
    if table is None or (table.day is None and table.night is None):
        return RoomAir()
    day = table.day or table.night or LAB_AIR
    return RoomAir(day, table.night or day, read=True)


def _part(part: PartTable, room: RoomTable) -> Part:
    if part.size is None:
        return rest_of_room(part, room)
    length, width = part.size
    return Part(part.id, length * width, 2 * (length + width), tuple(part.in_from), length, width)


def rest_of_room(part: PartTable, room: RoomTable) -> Part:
    """The part without a size: what the other parts leave of the room.

    Where every other part runs across one whole side of the room, the rest is a rectangle on that side and exact.
    Otherwise its area is exact, its outline that of a rectangle of the same area across the room's shorter side, and
    its length and width stay unknown (give `perimeter` where that matters).
    """
    sized = [other.size for other in room.part if other is not None and other.size is not None]
    area = room.size[0] * room.size[1] - sum(length * width for length, width in sized)
    shared = [
        side for side in sorted(room.size) if all(min(abs(side - x) for x in size) < SAME_SIDE_M for size in sized)
    ]
    side = shared[0] if shared else min(room.size)
    along = area / side
    sides = (along, side) if shared else (None, None)
    return Part(part.id, area, 2 * (along + side), tuple(part.in_from), *sides)


class _Coming:
    """What comes from outside, with ids that survive edits: kind/room/what, `#2` from the second of the same on."""

    def __init__(self, doc: Document, zone: ZoneInfo, lines: Lines) -> None:
        self.doc, self.zone, self.lines = doc, zone, lines
        self.given: dict[str, int] = {}

    def _id(self, *words: str) -> str:
        plain = "/".join(words)
        self.given[plain] = self.given.get(plain, 0) + 1
        return plain if self.given[plain] == 1 else f"{plain}#{self.given[plain]}"

    def _at(self, moment: datetime) -> Instant:
        """The instant of a moment; without an offset it is the site's wall clock."""
        if moment.tzinfo is not None:
            return int(moment.timestamp() // 60)
        return clockwork.instant(self.zone, moment.date(), moment.time())

    def _span(self, span: Iterable[datetime]) -> tuple[Instant, Instant]:
        first, last = span
        return self._at(first), self._at(last)

    def visits(self) -> tuple[Visit, ...]:
        return tuple(
            Visit(
                self._id("visit", v.room, v.sees.replace("/", "-") if v.sees else slug(v.who)),
                v.who, v.room, v.sees, *self._span(v.span), v.takes, self.lines.of(("visit", n)),
            )
            for n, v in enumerate(self.doc.visit)
            if v is not None
        )  # fmt: skip

    def deliveries(self) -> tuple[Delivery, ...]:
        return tuple(
            Delivery(
                self._id("delivery", *([d.room] if d.room else []), d.of),
                d.of, d.room, *self._span(d.span), self.lines.of(("delivery", n)),
            )
            for n, d in enumerate(self.doc.delivery)
            if d is not None
        )  # fmt: skip

    def answers(self) -> tuple[Answer, ...]:
        return tuple(
            Answer(
                self._id("answer", a.room, slug(a.what)),
                a.owed_by, a.what, a.room, a.holds, self._at(a.by), self.lines.of(("answer", n)),
            )
            for n, a in enumerate(self.doc.answer)
            if a is not None
        )  # fmt: skip

    def errands(self) -> tuple[Errand, ...]:
        return tuple(
            Errand(
                self._id("errand", slug(e.what)),
                e.what, e.takes, e.who, e.brings, e.before, self.lines.of(("errand", n)),
            )
            for n, e in enumerate(self.doc.errand)
            if e is not None
        )  # fmt: skip

    def promises(self) -> tuple[Promise, ...]:
        return tuple(
            Promise(p.room, p.what, self._at(p.by), self.lines.of(("promise", n)))
            for n, p in enumerate(self.doc.promise)
            if p is not None
        )
