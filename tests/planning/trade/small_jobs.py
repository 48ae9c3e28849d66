"""Jobs for the tests of the trade, written in the job's own nouns, and a plain one-setter diary to count their days."""

from collections.abc import Mapping, Sequence
from datetime import date
from zoneinfo import ZoneInfo

from planning.job.job import Job
from planning.job.people import Person
from planning.job.place import Part, Room
from planning.job.scope import Measure, Scope
from planning.job.step import KeepOff, Link, Step, Wait

FOOT = 0.3048
SQFT = FOOT**2
DAY_MIN = 1440
FIRST, LAST = 7 * 60 + 20, 15 * 60 + 10
EAT = (12 * 60, 12 * 60 + 30)

SETTER = Person("you", "test job", frozenset(("all",)))
HELPER = Person("helper", "test job", frozenset(("carry", "tear-out", "mix", "prime", "grout")))


def room_of(
    length_ft: float, width_ft: float, *scopes: Scope, parts: Sequence[Part] = (), toilet: bool = False,
    name: str = "room",
) -> Room:  # fmt: skip
    """A room that opens to the outside."""
    return Room(name, name, length_ft * FOOT, width_ft * FOOT, ("outside",), tuple(parts), toilet=toilet, do=scopes)


def part_of(name: str, length_ft: float, width_ft: float, in_from: str = "outside") -> Part:
    """A rectangular part of a room."""
    length, width = length_ft * FOOT, width_ft * FOOT
    return Part(name, length * width, 2 * (length + width), (in_from,), length, width)


def do(method: str, measures: Mapping[str, Measure] | None = None, **more: object) -> Scope:
    """A `[[room.do]]` in line 10."""
    return Scope(method, measures=measures or {}, line=10, **more)  # type: ignore[arg-type]  # fields of Scope


def job_of(*rooms: Room, helper: bool = False, **more: object) -> Job:
    """A job with one setter, and a helper if asked."""
    people = (SETTER, HELPER) if helper else (SETTER,)
    return Job("test job", ZoneInfo("America/Denver"), date(2026, 6, 1), rooms, people, **more)  # type: ignore[arg-type]


def days_alone(steps: Sequence[Step]) -> int:
    """Working days (Monday first, weekends off) in which one setter does all steps: the first that may begin, begins.

    A diary, not a plan: 7:20 to 15:10, half an hour to eat, visits the day after or later for half an hour.
    """
    diary = _Diary(steps)
    left = list(steps)
    now = FIRST
    while left:
        times = [(diary.start(step, now), n) for n, step in enumerate(left)]
        begin, n = min(times)
        now = diary.do(left.pop(n), begin)
    return diary.last // DAY_MIN + 1 - 2 * (diary.last // (7 * DAY_MIN))


class _Diary:
    def __init__(self, steps: Sequence[Step]) -> None:
        self.by_id = {step.id: step for step in steps}
        self.started: dict[str, int] = {}
        self.finished: dict[str, int] = {}
        self.last = 0

    def start(self, step: Step, now: int) -> int:
        """When it may begin: links, floors, hours. Never (a year) while a step before it is open."""
        opens = now
        for link in step.after:
            if link.step not in self.finished:
                return 365 * DAY_MIN
            opens = max(opens, self._from(link))
        for other in self.started:
            for keep in self.by_id[other].keeps_off:
                opens = max(opens, self._walk(keep, other, step))
        return self._in_hours(opens, step)

    def do(self, step: Step, begin: int) -> int:
        """Does it from `begin`; over meals and nights if it may be. Says when the setter is free."""
        left, now = step.labour.typical, begin
        while True:
            day = now - now % DAY_MIN
            end = day + LAST if now >= day + EAT[1] or step.pause else day + (EAT[0] if now < day + EAT[0] else LAST)
            meal = EAT[1] - EAT[0] if now < day + EAT[0] and now + left > day + EAT[0] and step.pause else 0
            if now + left + meal <= end or not step.divisible:
                now += left + meal
                break
            left -= max(0, end - now - meal)
            now = self._next_day(day)
        self.started[step.id], self.finished[step.id] = begin, now
        self.last = max(self.last, now)
        return now

    def _from(self, link: Link) -> int:
        moment = self.finished[link.step] + (link.wait.label.typical if link.wait else 0)
        if self.by_id[link.step].sees:
            visit = max(moment, DAY_MIN + FIRST)
            return self._in_hours(visit, None) + 30
        return moment

    def _walk(self, keep: KeepOff, other: str, step: Step) -> int:
        if keep.what != "walk" or not set(keep.floors) & set(step.stands_on):
            return 0
        if isinstance(keep.until, Wait):
            return self.finished[other] + keep.until.label.typical
        return self.finished.get(keep.until, 0)

    def _in_hours(self, moment: int, step: Step | None) -> int:
        length = 30 if step is None else step.labour.typical
        if step is not None and step.divisible:
            length = min(length, 45)
        while True:
            day, clock = moment - moment % DAY_MIN, moment % DAY_MIN
            if day // DAY_MIN % 7 > 4 or clock > LAST - length:
                moment = self._next_day(day)
                continue
            if clock < FIRST:
                moment = day + FIRST
                continue
            pausing = step is not None and (step.pause or step.divisible)
            over_meal = clock < EAT[1] and clock + length > EAT[0]
            if over_meal and (not pausing or EAT[0] <= clock):
                moment = day + EAT[1]
                continue
            return moment

    def _next_day(self, day: int) -> int:
        day += DAY_MIN
        while day // DAY_MIN % 7 > 4:
            day += DAY_MIN
        return day + FIRST


def diary_of(steps: Sequence[Step]) -> list[tuple[str, int, int]]:
    """The same diary as (key, start, finish) in minutes from the first midnight."""
    diary = _Diary(steps)
    left = list(steps)
    now = FIRST
    found = []
    while left:
        begin, n = min((diary.start(step, now), n) for n, step in enumerate(left))
        step = left.pop(n)
        now = diary.do(step, begin)
        found.append((step.key, begin, now))
    return found
