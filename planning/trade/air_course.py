"""The air of a job's rooms through time: the forecast by day and night, and readings that replace it once taken.

Air is constant between changes, so what a law adds up to is a broken straight line: it is summed once and every
question is a search in it, exact to rounding. Nothing is stepped.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, time, timedelta
from functools import lru_cache
from math import inf
from zoneinfo import ZoneInfo

from planning.job.events import Event, effective
from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.place import Air, RoomAir
from planning.job.progress import Outage, read_progress
from planning.job.words import Instant, Law, Minutes
from planning.trade.air_laws import speed

LONGEST_MIN: Minutes = 365 * 1440
"""No wait is told longer than a year: it stands for "not in this air", and `hold_reason` says why."""


@dataclass(frozen=True, slots=True)
class Reading:
    """Air somebody read in a room. A value not read (None) stays as forecast."""

    at: Instant
    air_c: float | None = None
    humidity: float | None = None
    surface_c: float | None = None

    def over(self, air: Air) -> Air:
        """The forecast air with what was read put in its place."""
        read = {"air_c": self.air_c, "humidity": self.humidity, "surface_c": self.surface_c}
        return replace(air, **{name: value for name, value in read.items() if value is not None})


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """How fast a law runs in one room: span k lasts from starts[k] to starts[k + 1] at speeds[k], sums[k] done before.

    The first span's start is the beginning of what is known, the last span has no end. Sums are label minutes.
    """

    starts: tuple[Instant, ...]
    speeds: tuple[float, ...]
    sums: tuple[float, ...]

    def span(self, moment: float) -> int:
        """The index of the span that holds a moment."""
        return max(0, bisect_right(self.starts, moment) - 1)

    def reach(self, start: Instant, label_min: float) -> float:
        """The moment at which this many label minutes are done, counted from `start`; inf when it never is."""
        if label_min <= 0:
            return start
        here = self.span(start)
        goal = self.sums[here] + self.speeds[here] * (start - self.starts[here]) + label_min
        last = bisect_left(self.sums, goal, lo=here) - 1
        if last < here:
            return start
        return self.starts[last] + (goal - self.sums[last]) / self.speeds[last] if self.speeds[last] > 0 else inf


def _course(changes: list[tuple[Instant, Air]], law: Law) -> Course:
    starts: list[Instant] = []
    speeds: list[float] = []
    sums: list[float] = []
    for begin, air in changes:
        pace = speed(law, air)
        if speeds and speeds[-1] == pace:
            continue
        sums.append(sums[-1] + speeds[-1] * (begin - starts[-1]) if sums else 0.0)
        starts.append(begin)
        speeds.append(pace)
    return Course(tuple(starts), tuple(speeds), tuple(sums))


@lru_cache(maxsize=32)
def _edges(
    zone: ZoneInfo, night_from: time, night_to: time, first: date, days: int
) -> tuple[tuple[Instant, bool], ...]:
    """Every change between day and night: (instant, does night begin?), in order, by the wall clock of the site."""
    if night_from == night_to:
        return ((instant(zone, first, time()), False),)
    found = []
    for n in range(days):
        day = first + timedelta(days=n)
        found += [(instant(zone, day, night_from), True), (instant(zone, day, night_to), False)]
    return tuple(sorted(found))


class SiteAir:
    """The air in every room of a job at every instant, and what the laws make of it.

    `warm_opens_early`: the setter said that a warm room may open a wait before its label's typical time, down to its
    low one. `no_heat`: spans without heat, in which rooms have their night air by day too (our own rule), or what was
    read since. The laws' sums are kept here, so that asking again is a search; ask for another SiteAir when readings
    come.
    """

    def __init__(
        self, job: Job, readings: Mapping[str, tuple[Reading, ...]], warm_opens_early: bool = False,
        no_heat: tuple[tuple[Instant, float], ...] = (),
    ) -> None:  # fmt: skip
        self.zone = job.zone
        self.warm_opens_early = warm_opens_early
        self._job = job
        self._readings = readings
        self._no_heat = no_heat
        self._rooms = {room.id: room for room in job.rooms}
        self._first, self._days = job.start - timedelta(days=14), 500
        self._reset()

    def _reset(self) -> None:
        self._low = instant(self.zone, self._first, time()) + 2 * 1440
        self._high = self._low + (self._days - 4) * 1440
        self._changes: dict[str, list[tuple[Instant, Air]]] = {}
        self._begins: dict[str, list[Instant]] = {}
        self._courses: dict[tuple[str, Law], Course] = {}

    def _cover(self, first: Instant, last: Instant) -> None:
        if first >= self._low and last + LONGEST_MIN <= self._high:
            return
        begin = min(local(self.zone, first).date() - timedelta(days=14), self._first)
        end = local(self.zone, max(last + LONGEST_MIN, self._high)).date() + timedelta(days=120)
        self._first, self._days = begin, (end - begin).days
        self._reset()

    def at(self, room_id: str, moment: Instant) -> Air:
        """The air of a room at an instant; "" is the lab. Raises KeyError for a room that the job has not."""
        self._cover(moment, moment)
        changes = self._room(room_id)
        return changes[max(0, bisect_right(self._begins[room_id], moment) - 1)][1]

    def between(self, room_id: str, start: Instant, finish: Instant) -> tuple[tuple[Instant, Instant, Air], ...]:
        """The stretches of equal air in a room from start to finish, in order: (from, to, air)."""
        self._cover(start, max(start, finish))
        changes = self._room(room_id)
        begins = self._begins[room_id]
        k = max(0, bisect_right(begins, start) - 1)
        found = []
        while True:
            end = begins[k + 1] if k + 1 < len(begins) else max(start, finish)
            found.append((max(start, begins[k]), min(end, max(start, finish)), changes[k][1]))
            if end >= finish:
                return tuple(found)
            k += 1

    def course(self, room_id: str, law: Law, first: Instant, last: Instant) -> Course:
        """What the law adds up to in a room, good for waits that begin from first to last."""
        self._cover(first, last)
        key = (room_id, law)
        if key not in self._courses:
            self._courses[key] = _course(self._room(room_id), law)
        return self._courses[key]

    def if_read(self, room_id: str, moment: Instant, air: Air) -> "SiteAir":
        """The same site if that air were read in the room at that moment: for "what if the heat goes off"."""
        reading = Reading(moment, air.air_c, air.humidity, air.surface_c)
        taken = sorted((*self._readings.get(room_id, ()), reading), key=lambda each: each.at)
        return SiteAir(self._job, {**self._readings, room_id: tuple(taken)}, self.warm_opens_early, self._no_heat)

    def likeness(self) -> Hashable:
        """What this air is made of: two sites of the same likeness have the same air in every room at every instant."""
        hours, job = self._job.hours, self._job
        rooms = tuple((room.id, room.air) for room in job.rooms)
        taken = tuple(sorted(self._readings.items()))
        night = (hours.night_from, hours.night_to)
        return (self.zone.key, job.start, *night, rooms, taken, self.warm_opens_early, self._no_heat)

    def read_at(self, room_id: str) -> Instant | None:
        """When the room's air was last read; None: it never was, and its forecast holds."""
        taken = self._readings.get(room_id, ())
        return taken[-1].at if taken else None

    def _room(self, room_id: str) -> list[tuple[Instant, Air]]:
        if room_id not in self._changes:
            if room_id and room_id not in self._rooms:
                raise KeyError(f"job {self._job.name!r} has no room {room_id!r}")
            room = self._rooms.get(room_id)
            self._changes[room_id] = self._build(room.air if room else RoomAir(), self._readings.get(room_id, ()))
            self._begins[room_id] = [begin for begin, _ in self._changes[room_id]]
        return self._changes[room_id]

    def _build(self, forecast: RoomAir, readings: tuple[Reading, ...]) -> list[tuple[Instant, Air]]:
        hours = self._job.hours
        edges = _edges(self.zone, hours.night_from, hours.night_to, self._first, self._days)
        now = {False: forecast.day, True: forecast.night}
        night = not edges[0][1]
        changes = [(edges[0][0] - 1440, now[night])]
        left = list(readings)
        for begin, turns_night in (*edges, (inf, False)):
            while left and left[0].at < begin:
                reading = left.pop(0)
                if _within(self._no_heat, reading.at) is None:
                    now[night] = reading.over(now[night])
                    changes.append((max(reading.at, changes[-1][0]), now[night]))
            if begin != inf:
                night = turns_night
                changes.append((int(begin), now[night]))
        for span in self._no_heat:
            changes = _cold(changes, span, forecast.night, [each for each in readings if span[0] <= each.at < span[1]])
        return _without_repeats(changes)


def _within(spans: tuple[tuple[Instant, float], ...], at: Instant) -> tuple[Instant, float] | None:
    return next((span for span in spans if span[0] <= at < span[1]), None)


def _cold(
    changes: list[tuple[Instant, Air]], span: tuple[Instant, float], air: Air, readings: list[Reading]
) -> list[tuple[Instant, Air]]:
    """The changes with a span without heat in it: one air, or what was read in it, then what the hour has again."""
    start, finish = span
    cold = [(start, air)]
    cold += [(each.at, air := each.over(air)) for each in readings]
    before = [each for each in changes if each[0] < start]
    if finish == inf:
        return [*before, *cold]
    after = [each for each in changes if each[0] >= finish]
    back = max((each for each in changes if each[0] <= finish), default=changes[0], key=lambda each: each[0])[1]
    return [*before, *cold, (int(finish), back), *after]


def _without_repeats(changes: list[tuple[Instant, Air]]) -> list[tuple[Instant, Air]]:
    kept: list[tuple[Instant, Air]] = []
    for begin, air in changes:
        if kept and kept[-1][0] == begin:
            kept.pop()
        if not kept or kept[-1][1] != air:
            kept.append((begin, air))
    return kept


def site_air(job: Job, events: Iterable[Event] = ()) -> SiteAir:
    """The air of a job: its rooms' forecasts and the `reading` events that stand. A reading nobody can use is left out.

    A reading counts from its time on, for that kind of period (day or night) only: a warm noon says nothing of nights.
    """
    taken: dict[str, list[Reading]] = {}
    listed = tuple(events)
    for event in effective(listed):
        if event.kind == "reading":
            reading = _reading(event)
            if reading is not None:
                taken.setdefault(str(event.body.get("room", "")), []).append(reading)
    in_order = {room: tuple(sorted(each, key=lambda one: one.at)) for room, each in taken.items()}
    return SiteAir(job, in_order, job.warm_opens_early, _no_heat(job, listed))


def _no_heat(job: Job, events: Iterable[Event]) -> tuple[tuple[Instant, float], ...]:
    """The spans without heat; one that nobody has ended lasts till somebody says that it is back."""
    outages = [out for out in read_progress(job, events).outages if out.what == "heat"]
    return tuple((out.start, inf if out.finish is None else float(out.finish)) for out in outages if _lasts(out))


def _lasts(out: Outage) -> bool:
    return out.finish is None or out.finish > out.start


def _reading(event: Event) -> Reading | None:
    value = event.body.get("value")
    if not isinstance(value, Mapping):
        return None
    air_c, surface_c = (_number(value.get(name), -50.0, 60.0) for name in ("air_c", "surface_c"))
    humidity = _number(value.get("humidity"), 0.0, 1.0)
    if air_c is None and surface_c is None and humidity is None:
        return None
    return Reading(event.minute, air_c, humidity, surface_c)


def _number(value: object, least: float, most: float) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
        return None
    return float(value)
