"""Who can man a step, and from which starts it fits into their hours."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from itertools import permutations

from planning.job.counted_on import outage_ends
from planning.job.hours import Shift, joined, span_instants, working_days
from planning.job.job import ClockSpan
from planning.job.people import Person
from planning.job.step import Step
from planning.job.words import AXIS_MIN, WET_KINDS, Instant, Minutes
from planning.schedule.build.site import Site
from planning.schedule.network import Crew, Tick

Span = tuple[Instant, Instant]


def manned_by(people: Sequence[Person], skills: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Every set of people that covers the skills, one person a skill, those who can least first.

    A skill nobody has gives (). No skill at all gives one empty crew.
    """
    found: dict[frozenset[str], int] = {}
    for group in permutations(people, len(skills)):
        if all(person.has(skill) for person, skill in zip(group, skills, strict=True)):
            names = frozenset(person.name for person in group)
            found.setdefault(names, sum(len(p.can) if "all" not in p.can else 99 for p in group))
    order = {person.name: n for n, person in enumerate(people)}
    ranked = sorted(found, key=lambda names: (found[names], sorted(order[n] for n in names)))
    return tuple(tuple(sorted(names, key=order.__getitem__)) for names in ranked)


def common_shifts(site: Site, names: Sequence[str]) -> list[Shift]:
    """The stretches in which all of these people are there. A meal of any of them is a meal of all."""
    common = site.shifts[names[0]]
    for name in names[1:]:
        common = [both for one in common for other in site.shifts[name] if (both := _overlap(one, other)) is not None]
    return common


def _overlap(one: Shift, other: Shift) -> Shift | None:
    """The stretch both are there. A meal of either that reaches an end of it is cut off; one inside it stays a meal."""
    start, finish = max(one.start, other.start), min(one.finish, other.finish)
    meals = [meal for meal in (one.eat, other.eat) if meal and meal[0] < finish and start < meal[1]]
    for meal in meals:
        if meal[0] <= start:
            start = meal[1]
        elif meal[1] >= finish:
            finish = meal[0]
    if start >= finish:
        return None
    eat = next((meal for meal in meals if start < meal[0] and meal[1] < finish), None)
    return Shift(one.person, one.day, start, finish, eat)


def barred_spans(site: Site, step: Step) -> list[Span]:
    """When the house forbids this step: quiet hours and no power for gear, no water for wet trades."""
    kind = (bool(step.gear), step.kind in WET_KINDS)
    if kind not in site.barred:
        house = site.job.house
        spans: list[ClockSpan] = []
        if step.gear:
            spans += [*house.quiet, *house.no_power]
        if step.kind in WET_KINDS:
            spans += house.no_water
        site.barred[kind] = joined([*on_dates(site, spans), *_outages(site, *kind)])
    return site.barred[kind]


def _outages(site: Site, gear: bool, wet: bool) -> Iterable[Span]:
    """When power, or water, is out for work that needs it, as was noted."""
    for out in site.progress.outages:
        if (out.what == "power" and gear) or (out.what == "water" and wet):
            yield out.start, outage_ends(site.job, out, site.now)


def on_dates(site: Site, spans: Iterable[ClockSpan]) -> Iterable[Span]:
    """Clock spans as they lie on the dates of the site, those of one date on that date."""
    anybody = Person("", site.job.name, frozenset(("all",)), days=frozenset(range(7)))
    days = working_days(site.job.hours, anybody, site.first_day, site.last_day)
    for span in spans:
        for day in [span.day] if span.day is not None else days:
            if day in span.but:
                continue
            yield span_instants(site.job.zone, span, day)


def crew(site: Site, names: tuple[str, ...], minutes: Minutes, pause: bool, barred: Sequence[Span]) -> Crew:
    """The start ranges of these people for work of so many minutes, around meals and what the house forbids."""
    key = (names, minutes, pause, tuple(barred))
    if key not in site.crews:
        site.crews[key] = _crew(site, names, minutes, pause, barred)
    return site.crews[key]


def _crew(site: Site, names: tuple[str, ...], minutes: Minutes, pause: bool, barred: Sequence[Span]) -> Crew:
    starts: list[tuple[Tick, Tick]] = []
    pauses: list[tuple[Tick, Tick, int]] = []
    for shift in common_shifts(site, names):
        for first, last in unbroken(shift, minutes):
            starts += _ranges(site, first, last, minutes, barred)
        if pause and shift.eat:
            extra = shift.eat[1] - shift.eat[0]
            first = max(shift.start, shift.eat[0] - minutes + 1)
            last = min(shift.eat[0] - 1, shift.finish - minutes - extra)
            pauses += [(a, b, -(-extra // AXIS_MIN)) for a, b in _ranges(site, first, last, minutes + extra, barred)]
    return Crew(names, tuple(starts), tuple(pauses))


def _begin(span: Span) -> Instant:
    return span[0]


def _end(span: Span) -> Instant:
    return span[1]


def meal_min(shift: Shift) -> Minutes:
    """How long the meal in a shift is."""
    return shift.eat[1] - shift.eat[0] if shift.eat else 0


def unbroken(shift: Shift, minutes: Minutes) -> list[Span]:
    """From when to when work of so many minutes may begin so that no meal breaks it."""
    stretches = [(shift.start, shift.finish)]
    if shift.eat:
        stretches = [(shift.start, shift.eat[0]), (shift.eat[1], shift.finish)]
    return [(start, finish - minutes) for start, finish in stretches if finish - minutes >= start]


def _ranges(
    site: Site, first: Instant, last: Instant, length: Minutes, barred: Sequence[Span]
) -> list[tuple[Tick, Tick]]:
    """The start ranges in [first, last] from which work of `length` touches no barred span, as inclusive ticks."""
    free = [(first, last)]
    near = barred[bisect_left(barred, first, key=_end) : bisect_right(barred, last + length, key=_begin)]
    for low, high in near:
        free = [
            (a, b)
            for start, finish in free
            for a, b in ((start, min(finish, low - length)), (max(start, high), finish))
            if a <= b
        ]
    ticks = [(site.ceil_tick(a), site.floor_tick(b)) for a, b in free if a <= b]
    return [(a, b) for a, b in ticks if a <= b]
