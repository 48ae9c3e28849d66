"""Who may work when: wall-clock hours of the site turned into instants, day by day."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from planning.job.job import ClockSpan
from planning.job.people import Hours, Person
from planning.job.words import Instant


@dataclass(frozen=True, slots=True)
class Shift:
    """One stretch of one person's day in which attended work may lie: set-up and clean-up are already taken off.

    `eat` is the meal inside it, or None. A step that may pause runs across `eat`; nothing else does.
    """

    person: str
    day: date
    start: Instant
    finish: Instant
    eat: tuple[Instant, Instant] | None = None


@dataclass(frozen=True, slots=True)
class Absence:
    """Somebody is not there from one instant to another."""

    person: str
    start: Instant
    finish: Instant


@dataclass(frozen=True, slots=True)
class Extra:
    """Somebody comes in besides his own hours, door to door: a Saturday, an evening, a day that is not his."""

    person: str
    start: Instant
    finish: Instant


@dataclass(frozen=True, slots=True)
class Presence:
    """What happened to people's hours: absences noted, days somebody stays until later, and extra comings."""

    absences: tuple[Absence, ...] = ()
    stays: Mapping[tuple[str, date], Instant] = field(default_factory=dict)
    extras: tuple[Extra, ...] = ()


def instant(zone: ZoneInfo, day: date, clock: time) -> Instant:
    """The instant of a wall-clock time on a date. A time that the clock change skips is taken as the one after it."""
    local = datetime.combine(day, clock, tzinfo=zone)
    return int(local.astimezone(UTC).timestamp() // 60)


def local(zone: ZoneInfo, at: Instant) -> datetime:
    """The wall-clock time of an instant."""
    return datetime.fromtimestamp(at * 60, UTC).astimezone(zone)


def span_instants(zone: ZoneInfo, span: ClockSpan, day: date) -> tuple[Instant, Instant]:
    """A clock span on a date as instants; over midnight it ends on the next day."""
    last = day if span.finish > span.start else day + timedelta(days=1)
    return instant(zone, day, span.start), instant(zone, last, span.finish)


def joined(spans: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Spans joined where they overlap or touch, in order."""
    made: list[tuple[int, int]] = []
    for start, finish in sorted(spans):
        if made and start <= made[-1][1]:
            made[-1] = (made[-1][0], max(made[-1][1], finish))
        else:
            made.append((start, finish))
    return made


def working_days(hours: Hours, person: Person, first: date, last: date) -> list[date]:
    """The dates from first to last on which this person works, by the week's rule and its exceptions.

    The job's own exceptions (a Saturday worked) are for those who keep the job's days, not for who has days of his own.
    """
    days = person.days if person.days is not None else hours.days
    ruled: set[date] = set()
    if days:
        # Only whoever plans needs the calendar rules; the first picture of the screen is not to wait for them.
        from dateutil.rrule import DAILY, rrule

        rule = rrule(DAILY, byweekday=sorted(days), dtstart=datetime.combine(first, time()),
                     until=datetime.combine(last, time()))  # fmt: skip
        ruled = {each.date() for each in rule}
    exceptions = (*hours.exceptions, *person.exceptions) if person.days is None else person.exceptions
    extra = {e.day for e in exceptions if e.start != e.finish and first <= e.day <= last}
    return sorted((ruled | extra) - hours.off - person.off)


def next_morning(hours: Hours, zone: ZoneInfo, at: Instant) -> Instant:
    """When work begins on the first working day of the job after the day of `at` (by the job's own days)."""
    day = local(zone, at).date()
    anybody = Person("", "", frozenset())
    for days in (8, 60, 800):
        found = working_days(hours, anybody, day + timedelta(days=1), day + timedelta(days=days))
        if found:
            begins = [each.start for each in hours.exceptions if each.day == found[0]]
            return instant(zone, found[0], begins[0] if begins else hours.start)
    return instant(zone, day + timedelta(days=1), hours.start)


def shifts(
    hours: Hours, person: Person, zone: ZoneInfo, first: date, last: date, presence: Presence | None = None
) -> list[Shift]:
    """All shifts of a person from first to last date, absences cut out, late stays added, in order of time."""
    known = presence or Presence()
    found: list[Shift] = []
    for day in working_days(hours, person, first, last):
        shift = _day_shift(hours, person, zone, day, known.stays.get((person.name, day)))
        if shift is not None:
            found.append(shift)
    found = _with_extras(found, hours, zone, [e for e in known.extras if e.person == person.name], first, last)
    gone = [a for a in known.absences if a.person == person.name]
    return [piece for shift in found for piece in _without(shift, gone)]


def _with_extras(
    found: list[Shift], hours: Hours, zone: ZoneInfo, extras: Sequence[Extra], first: date, last: date
) -> list[Shift]:
    """The shifts with the extra comings between them: set up and cleaned up like any other, never twice at once."""
    for extra in sorted(extras, key=lambda each: (each.start, each.finish)):
        day = local(zone, extra.start).date()
        start, finish = extra.start + hours.set_up_min, extra.finish - hours.clean_up_min
        start = max([start, *(shift.finish for shift in found if shift.start <= start < shift.finish)])
        finish = min([finish, *(shift.start for shift in found if start <= shift.start < finish)])
        if start < finish and first <= day <= last:
            made = Shift(extra.person, day, start, finish, _meal(hours, zone, day, start, finish))
            found = sorted([*found, made], key=lambda shift: shift.start)
    return found


def _day_shift(hours: Hours, person: Person, zone: ZoneInfo, day: date, stay: Instant | None) -> Shift | None:
    begin, end = hours.start, hours.finish
    for exception in (*hours.exceptions, *person.exceptions):
        if exception.day == day:
            begin, end = exception.start, exception.finish
    if begin == end:
        return None
    start = instant(zone, day, begin) + hours.set_up_min
    leave = instant(zone, day, end)
    finish = (leave if stay is None else stay) - hours.clean_up_min
    if finish <= start:
        return None
    return Shift(person.name, day, start, finish, _meal(hours, zone, day, start, finish))


def _meal(hours: Hours, zone: ZoneInfo, day: date, start: Instant, finish: Instant) -> tuple[Instant, Instant] | None:
    if hours.eat_at is None or hours.eat_min <= 0:
        return None
    begin = instant(zone, day, hours.eat_at)
    end = begin + hours.eat_min
    return (begin, end) if begin > start and end < finish else None


def _without(shift: Shift, absences: Iterable[Absence]) -> list[Shift]:
    pieces = [(shift.start, shift.finish)]
    for gone in absences:
        if gone.start >= gone.finish:
            continue
        pieces = [
            (low, high)
            for start, finish in pieces
            for low, high in ((start, min(finish, gone.start)), (max(start, gone.finish), finish))
            if low < high
        ]
    return [
        Shift(shift.person, shift.day, start, finish,
              shift.eat if shift.eat and start < shift.eat[0] and shift.eat[1] < finish else None)
        for start, finish in pieces
    ]  # fmt: skip
