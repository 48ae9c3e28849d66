"""The tables of a job file as pydantic models: every key, how its words are read and an example of it written right.

Values come out in SI, minutes and wall clock; names are only checked for their form here, see `job_checks`. List items
may be None, because what cannot be read is taken out (see `job_problems`) so that the rest is still checked.
"""

from datetime import datetime, time
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, model_validator

from planning.records.job_fields import (
    Aim,
    AirWords,
    Clock,
    Clocks,
    Count,
    Day,
    Days,
    HoursOfDay,
    Id,
    KindWord,
    Liters,
    Mass,
    Meal,
    Minutes,
    Moment,
    Moments,
    Name,
    Nights,
    Pace,
    Packages,
    Place,
    Promised,
    Size,
    Skill,
    Span,
    StepRef,
    UnitSystem,
    Volume,
    Window,
    Yes,
    Zone,
    example,
    maybe,
    wrong,
)


class Table(BaseModel):
    """One table of the file. Keys that are not fields are wrong."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True, populate_by_name=False)


class JobTable(Table):
    """[job]"""

    name: Name | None = maybe('"guest house"')
    zone: Zone = example('"America/Denver"')
    start: Day = example("2026-06-01")
    aim: Aim = maybe('"finish"', "finish")
    units: UnitSystem = maybe('"imperial"', "imperial")
    flood_hold: Minutes = maybe('"24 h"', 24 * 60)
    warm_opens_early: Yes = maybe("true", False)


class HoursTable(Table):
    """[hours]"""

    days: Days = maybe('"mon-fri"', frozenset(range(5)))
    from_: Clock = maybe('"7:00"', time(7), "from")
    to: Clock = maybe('"15:30"', time(15, 30))
    eat: Meal = maybe('"12:00 30 min"', (time(12), 30))
    set_up: Minutes = maybe('"20 min"', 20)
    clean_up: Minutes = maybe('"20 min"', 20)
    off: list[Day] = maybe('["2026-06-19"]', [])
    other: list[HoursOfDay] = maybe('["2026-06-13 8:00 to 12:00"]', [])
    night: Clocks = maybe('"18:00 to 6:00"', (time(18), time(6)))

    @model_validator(mode="after")
    def _a_day_has_room_for_work(self) -> "HoursTable":
        if self.to <= self.from_:
            raise wrong("the day ends before it begins", 'write to after from, such as to = "15:30"', "to")
        worked = (self.to.hour - self.from_.hour) * 60 + self.to.minute - self.from_.minute
        if worked - self.set_up - self.clean_up < 30:
            raise wrong("set-up and clean-up leave no time for work", 'write a later to, such as to = "15:30"', "to")
        return self


class HouseTable(Table):
    """[house]"""

    toilet_nights: Nights = maybe('["2026-06-01"]', (frozenset(), frozenset()))
    quiet: list[Span] = maybe('["12:00 to 13:00"]', [])
    no_power: list[Span] = maybe('["2026-06-03 8:00 to 9:00"]', [])
    no_water: list[Span] = maybe('["2026-06-03 8:00 to 9:00"]', [])


class PersonTable(Table):
    """[[person]]"""

    name: Name = example('"helper"')
    can: list[Skill] = example('["all"]')
    days: Days | None = maybe('"mon-wed"')
    hours: list[HoursOfDay] = maybe('["2026-06-03 7:00 to 12:00"]', [])
    off: list[Day] = maybe('["2026-06-19"]', [])

    @model_validator(mode="after")
    def _can_something(self) -> "PersonTable":
        if not self.can:
            raise wrong("can is empty: a person without a skill can do no step", 'write can = ["all"]', "can")
        return self


class GearTable(Table):
    """[gear]: what there is one, two or none of."""

    mixers: Count = maybe("1", 1)
    saws: Count = maybe("1", 1)
    buckets: Count | None = maybe("6")
    heaters: Count | None = maybe("1")
    fans: Count | None = maybe("2")
    dehumidifiers: Count | None = maybe("1")
    payload: Mass | None = maybe('"1400 lb"')


class AirTable(Table):
    """[room.air]"""

    day: AirWords | None = maybe('"68 F 55 % floor 68 F"')
    night: AirWords | None = maybe('"62 F 60 % floor 60 F"')


class PartTable(Table):
    """[[room.part]]"""

    id: Id = example('"shower"')
    size: Size | None = maybe('"5 x 3 ft"')
    in_from: list[Place] = maybe('["floor"]', [])


class ChangeTable(Table):
    """[[room.do.change]]"""

    step: Id = example('"grout"')
    labor: Minutes | None = maybe('"50 min"')
    wait: Minutes | None = maybe('"4 h"')
    within: Minutes | None = maybe('"24 h"')
    crew: list[Skill] | None = maybe('["pour", "mix"]')
    title: Name | None = maybe('"grout and wash"')


class DoTable(Table):
    """[[room.do]]; what is no field here is a measurement, read in `job_scope`."""

    model_config = ConfigDict(extra="allow")

    method: Id = example('"plain-tile-floor"')
    on: dict[str, Id] = maybe('{ floor = "north" }', {})
    skip: list[Id] = maybe('["seal"]', [])
    change: list[ChangeTable | None] = maybe("[[room.do.change]]", [])
    add: list[dict[str, Any] | None] = maybe("[[room.do.add]]", [])
    after: list[StepRef] = maybe('["north/plain-tile-floor/set"]', [])


class RoomTable(Table):
    """[[room]]"""

    id: Id = example('"powder-room"')
    name: Name | None = maybe('"powder room"')
    size: Size = example('"10 x 6 ft"')
    in_from: list[Place] = example('["outside"]')
    toilet: Yes = maybe("true", False)
    air: AirTable | None = maybe("[room.air]")
    part: list[PartTable | None] = maybe("[[room.part]]", [])
    do: list[DoTable | None] = maybe("[[room.do]]", [])


class Timed(Table):
    """A table with a fixed time or a span of time: exactly one of `at` and `between`."""

    at: Moment | None = maybe('"2026-06-11 9:00"')
    between: Moments | None = maybe('"2026-06-11 8:00 to 10:00"')

    @model_validator(mode="after")
    def _one_time(self) -> "Timed":
        if self.at is None and self.between is None:
            raise wrong("it has no time", 'write at = "2026-06-11 9:00" or between = "2026-06-11 8:00 to 10:00"')
        if self.at is not None and self.between is not None:
            raise wrong("it has two times", "write at or between, not both", "between")
        return self

    @property
    def span(self) -> tuple[datetime, datetime]:
        """The earliest and the latest time, equal when it is fixed."""
        if self.between is not None:
            return self.between
        assert self.at is not None  # the validator above has seen to it
        return self.at, self.at


class VisitTable(Timed):
    """[[visit]]"""

    who: Name = example('"inspector"')
    room: Place = example('"wet-room"')
    sees: StepRef | None = maybe('"flood"')
    takes: Minutes = maybe('"30 min"', 30)


class DeliveryTable(Timed):
    """[[delivery]]"""

    of: Id = example('"tile"')
    room: Place | None = maybe('"kitchen"')


class AnswerTable(Table):
    """[[answer]]"""

    owed_by: Name = example('"owner"')
    what: Name = example('"grout color"')
    room: Place = example('"mudroom"')
    holds: StepRef = example('"grout"')
    by: Moment = example('"2026-06-04 9:00"')


class ErrandTable(Table):
    """[[errand]]"""

    what: Name = example('"supply store"')
    takes: Minutes = example('"60 min"')
    who: Name = example('"helper"')
    brings: dict[Id, Packages] = maybe('{ leveler-rapid = "1 bag" }', {})
    before: StepRef | None = maybe('"powder-room/pour"')


class PromiseTable(Table):
    """[[promise]]"""

    room: Place = example('"powder-room"')
    what: Promised = example('"usable"')
    by: Moment = example('"2026-06-10 17:00"')


class MaterialTable(Table):
    """[[material]]: the label of the setter's own bag."""

    class_: Id = Field(alias="class", examples=['"leveler-rapid"'])
    bag: Mass | None = maybe('"50 lb"')
    water: Liters | None = maybe('"5.5 qt"')
    yield_: Volume | None = maybe('"0.45 cu ft"', alias="yield")
    pot: Window | None = maybe('"20 min"')
    work: Window | None = maybe('"10 min"')
    heal: Window | None = maybe('"10 min"')
    walk: Window | None = maybe('"2 h"')
    next_layer: Window | None = maybe('"1-1/2 h to 24 h"')
    tile: Window | None = maybe('"4 h"')
    grout: Window | None = maybe('"24 h"')
    caulk: Window | None = maybe('"24 h"')
    flood: Window | None = maybe('"24 h"')
    water_use: Window | None = maybe('"72 h"')
    heavy: Window | None = maybe('"24 h"')
    seal: Window | None = maybe('"48 h"')


class Document(Table):
    """The whole file."""

    job: JobTable | None = maybe("[job]")
    hours: HoursTable | None = maybe("[hours]")
    house: HouseTable | None = maybe("[house]")
    gear: GearTable | None = maybe("[gear]")
    van: dict[Id, Packages] = maybe("[van]", {})
    pace: dict[KindWord, Pace] = maybe("[pace]", {})
    person: list[PersonTable | None] = maybe("[[person]]", [])
    room: list[RoomTable | None] = maybe("[[room]]", [])
    visit: list[VisitTable | None] = maybe("[[visit]]", [])
    delivery: list[DeliveryTable | None] = maybe("[[delivery]]", [])
    answer: list[AnswerTable | None] = maybe("[[answer]]", [])
    errand: list[ErrandTable | None] = maybe("[[errand]]", [])
    promise: list[PromiseTable | None] = maybe("[[promise]]", [])
    material: list[MaterialTable | None] = maybe("[[material]]", [])
    method: list[dict[str, Any] | None] = maybe("[[method]]", [])


TABLES: dict[tuple[str, ...], type[Table]] = {
    (): Document,
    ("job",): JobTable,
    ("hours",): HoursTable,
    ("house",): HouseTable,
    ("gear",): GearTable,
    ("person",): PersonTable,
    ("room",): RoomTable,
    ("room", "air"): AirTable,
    ("room", "part"): PartTable,
    ("room", "do"): DoTable,
    ("room", "do", "change"): ChangeTable,
    ("visit",): VisitTable,
    ("delivery",): DeliveryTable,
    ("answer",): AnswerTable,
    ("errand",): ErrandTable,
    ("promise",): PromiseTable,
    ("material",): MaterialTable,
}
"""Where each model stands in the file, list positions left out."""
