"""Who is there when, by the hours of the job and what was noted of absences and late stays."""

from bisect import bisect_right
from collections.abc import Sequence
from datetime import date, timedelta

from planning.job.hours import Presence, Shift, instant, local, shifts
from planning.job.job import Job
from planning.job.people import Person
from planning.job.words import Instant

FARTHEST_DAYS = 800
"""Nobody has working hours more than about two years from the job's start: a plan out there is wrong anyhow."""


class Attendance:
    """Everybody's stretches of work, from the first to the last moment that a plan uses."""

    def __init__(self, job: Job, presence: Presence, span: tuple[Instant, Instant]) -> None:
        self._job = job
        self._presence = presence
        self._first = max(local(job.zone, _near(job, span[0])).date() - timedelta(days=1), _day(job, -FARTHEST_DAYS))
        self._last = min(local(job.zone, _near(job, span[1])).date() + timedelta(days=1), _day(job, FARTHEST_DAYS))
        self._people = {person.name: person for person in job.people}
        self._present: dict[str, list[Shift]] = {}
        self._usual: dict[str, list[Shift]] = {}
        self._days: dict[tuple[str, date], frozenset[tuple[Instant, Instant]]] = {}

    def knows(self, name: str) -> bool:
        """Is there such a person on the job?"""
        return name in self._people

    def has(self, name: str, skill: str) -> bool:
        """Can this person do that?"""
        return name in self._people and self._people[name].has(skill)

    def stretch(self, name: str, at: Instant) -> Shift | None:
        """The stretch of work of this person that holds this moment, absences cut out."""
        return _holding(self._present_shifts(name), at)

    def usual(self, name: str, at: Instant) -> Shift | None:
        """The day of work of this person that holds this moment, as if nobody were ever absent."""
        if name not in self._usual:
            stays = Presence(stays=self._presence.stays, extras=self._presence.extras)
            self._usual[name] = self._shifts(self._people[name], stays) if name in self._people else []
        return _holding(self._usual[name], at)

    def absent(self, name: str, start: Instant, finish: Instant) -> bool:
        """Was it noted that this person is not there at some moment between the two?"""
        return any(a.person == name and a.start < finish and start < a.finish for a in self._presence.absences)

    def anybody(self, start: Instant, finish: Instant) -> bool:
        """Are these the working hours of anybody on the job, so that only the person is wrong?"""
        return any(
            (shift := self.usual(name, start)) is not None and finish <= shift.finish for name in self._people
        )  # fmt: skip

    def meals(self, names: Sequence[str], start: Instant, finish: Instant) -> list[tuple[Instant, Instant]]:
        """The meals of these people that touch the span, each once."""
        found = {
            shift.eat
            for name in names
            if (shift := self.stretch(name, start)) is not None and shift.eat is not None
            if start < shift.eat[1] and shift.eat[0] < finish
        }
        return sorted(found)

    def stretches_on(self, name: str, start: Instant) -> frozenset[tuple[Instant, Instant]]:
        """The stretches of one person on the date of an instant (any date at all)."""
        day = local(self._job.zone, start).date()
        if (name, day) not in self._days and self._first <= day <= self._last:
            for shift in self._present_shifts(name):
                known = self._days.get((name, shift.day), frozenset())
                self._days[name, shift.day] = known | {(shift.start, shift.finish)}
            self._days.setdefault((name, day), frozenset())
        if (name, day) not in self._days:
            found = shifts(self._job.hours, self._people[name], self._job.zone, day, day, self._presence)
            self._days[name, day] = frozenset((shift.start, shift.finish) for shift in found)
        return self._days[name, day]

    def site_hours(self, at: Instant) -> tuple[Instant, Instant] | None:
        """From when to when the job is worked on the date of an instant, by its own hours; None on a day off."""
        day = local(self._job.zone, at).date()
        hours, zone = self._job.hours, self._job.zone
        anybody = Person("", self._job.name, frozenset())
        found = shifts(hours, anybody, zone, day, day)
        if not found:
            return None
        begin, end = hours.start, hours.finish
        for exception in hours.exceptions:
            if exception.day == day:
                begin, end = exception.start, exception.finish
        return instant(zone, day, begin), instant(zone, day, end)

    def _present_shifts(self, name: str) -> list[Shift]:
        if name not in self._present:
            person = self._people.get(name)
            self._present[name] = self._shifts(person, self._presence) if person is not None else []
        return self._present[name]

    def _shifts(self, person: Person, presence: Presence) -> list[Shift]:
        if self._last < self._first:
            return []
        return shifts(self._job.hours, person, self._job.zone, self._first, self._last, presence)


def _holding(found: Sequence[Shift], at: Instant) -> Shift | None:
    """The shift with start <= at < finish, out of shifts in order of time."""
    place = bisect_right(found, at, key=lambda shift: shift.start) - 1
    return found[place] if place >= 0 and at < found[place].finish else None


def _day(job: Job, offset: int) -> date:
    return job.start + timedelta(days=offset)


def _near(job: Job, at: Instant) -> Instant:
    """An instant pulled to within reach of the job's start, so that no date runs out of the calendar."""
    middle = instant(job.zone, job.start, job.hours.start)
    reach = (FARTHEST_DAYS + 2) * 1440
    return min(max(at, middle - reach), middle + reach)
