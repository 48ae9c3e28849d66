"""The job: everything the setter wrote down, in SI and plain values. What happened is not here: see `events`."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from zoneinfo import ZoneInfo

from planning.job.people import Gear, Hours, Person
from planning.job.place import Room
from planning.job.step import Band
from planning.job.words import Aim, Instant, Minutes, Units


@dataclass(frozen=True, slots=True)
class ClockSpan:
    """A span of wall-clock time, each day (`day` None) or on one date. Over midnight when finish <= start.

    `but`: dates on which it was agreed that it is not asked.
    """

    start: time
    finish: time
    day: date | None = None
    but: frozenset[date] = frozenset()


@dataclass(frozen=True, slots=True)
class House:
    """What the household asks: a toilet on these nights (dates or weekdays), quiet hours, services off."""

    toilet_dates: frozenset[date] = frozenset()
    toilet_weekdays: frozenset[int] = frozenset()
    quiet: tuple[ClockSpan, ...] = ()
    no_power: tuple[ClockSpan, ...] = ()
    no_water: tuple[ClockSpan, ...] = ()
    toilet_excused: frozenset[date] = frozenset()
    """Nights on which the household agreed to do without."""

    def asks_toilet(self, day: date) -> bool:
        """Is a working toilet asked for on the night that begins on that date?"""
        return (day in self.toilet_dates or day.weekday() in self.toilet_weekdays) and day not in self.toilet_excused


@dataclass(frozen=True, slots=True)
class Visit:
    """Somebody from outside comes: at a fixed instant, or at an instant inside a span. Never moved by a plan."""

    id: str
    who: str
    room: str
    sees: str | None
    earliest: Instant
    latest: Instant
    """The latest start; equal to `earliest` when the time is fixed."""
    takes_min: Minutes = 30
    line: int = 0


@dataclass(frozen=True, slots=True)
class Delivery:
    """A material class (or "tile") comes to a room or to the whole job; plans count on the end of the span."""

    id: str
    of: str
    room: str | None
    earliest: Instant
    latest: Instant
    line: int = 0


@dataclass(frozen=True, slots=True)
class Answer:
    """Something the owner owes: the step it holds starts no earlier than `by`, or when the answer is noted."""

    id: str
    owed_by: str
    what: str
    room: str
    holds: str
    by: Instant
    line: int = 0
    yes: bool = False
    """Is it a yes, without which the step is not done at all (something found, that costs the owner money)?"""


@dataclass(frozen=True, slots=True)
class Errand:
    """A drive of one person, fitted into a wait, before a step. `brings` is class -> packages."""

    id: str
    what: str
    takes_min: Minutes
    who: str
    brings: Mapping[str, float] = field(default_factory=dict)
    before: str | None = None
    line: int = 0


@dataclass(frozen=True, slots=True)
class Promise:
    """What somebody was promised of a room by when: "walk", "usable" (walk, water and all work done) or "toilet"."""

    room: str
    what: str
    by: Instant
    line: int = 0


@dataclass(frozen=True, slots=True)
class OwnMaterial:
    """The setter's own label numbers of a material class (kg, liters, m3, minutes): they replace ours."""

    material: str
    bag_kg: float | None = None
    water_l: float | None = None
    yield_m3: float | None = None
    windows: Mapping[str, tuple[Band, Band | None]] = field(default_factory=dict)
    """Window name -> (minimum, maximum or None); one number given by the setter fills all three of a band."""
    line: int = 0


@dataclass(frozen=True, slots=True)
class Job:
    """One job: a house with several rooms, worked by one small crew. Immutable; an edit makes a new one."""

    name: str
    zone: ZoneInfo
    start: date
    rooms: tuple[Room, ...]
    people: tuple[Person, ...]
    hours: Hours = field(default_factory=Hours)
    house: House = field(default_factory=House)
    gear: Gear = field(default_factory=Gear)
    van: Mapping[str, float] = field(default_factory=dict)
    """Class -> packages in the van when the job began."""
    aim: Aim = "finish"
    units: Units = "imperial"
    flood_hold_min: Minutes = 24 * 60
    visits: tuple[Visit, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    answers: tuple[Answer, ...] = ()
    errands: tuple[Errand, ...] = ()
    promises: tuple[Promise, ...] = ()
    materials: Mapping[str, OwnMaterial] = field(default_factory=dict)
    pace: Mapping[str, float] = field(default_factory=dict)
    """Kind of work -> how many times the usual labour the setter takes: his own pace, 1.2 is a fifth longer."""
    own_methods: tuple[Mapping[str, object], ...] = ()
    """Methods the setter wrote in the job file, in the same shape as ours (see trade/methods)."""
    warm_opens_early: bool = False
    """Did the setter say that a warm room may open a wait early, down to the label's low number?"""

    def room(self, room_id: str) -> Room:
        """The room of that id. Raises KeyError if there is none."""
        for room in self.rooms:
            if room.id == room_id:
                return room
        raise KeyError(f"job {self.name!r} has no room {room_id!r}")
