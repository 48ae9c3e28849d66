"""Working hours, meals, quiet hours and the end of the day (rules 3 and 14)."""

from collections.abc import Iterator

from planning.job.counted_on import outage_ends
from planning.job.job import ClockSpan
from planning.job.plan import Broken
from planning.job.words import AXIS_MIN, Instant, Minutes
from planning.schedule.rules.case import Case
from planning.schedule.rules.house_spans import touched
from planning.schedule.rules.placed import Placed, on_axis
from planning.schedule.rules.rule import Rule
from planning.schedule.rules.wording import length


def needed_minutes(each: Placed) -> Minutes | None:
    """Minutes of work that an act takes, on the axis: a piece, its share of the step's. None when nobody knows."""
    if each.errand is not None:
        return on_axis(each.errand.takes_min)
    if each.step is None:
        return None
    whole = on_axis(each.step.labour.typical)
    if not each.n:
        return whole
    piece = each.planned.piece if each.planned is not None else None
    return None if piece is None else AXIS_MIN * round(whole * piece.share / AXIS_MIN)


def worked_minutes(case: Case, each: Placed) -> Minutes:
    """Minutes of work that the plan gives an act, its meal taken off."""
    return each.finish - each.start - meal_minutes(case, each)


def meal_minutes(case: Case, each: Placed) -> Minutes:
    """Minutes of the meals that lie wholly inside an act that may pause."""
    if not each.pauses:
        return 0
    meals = case.attendance.meals(each.people, each.start, each.finish)
    return sum(end - begin for begin, end in meals if each.start < begin and end < each.finish)


class WorksInsideHours(Rule):
    """Everybody's work begins in his own hours: wall-clock hours of the site, set-up and clean-up taken off."""

    number = 3
    never = "have attended work outside working hours"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act that starts, or a meal into which it runs, when nobody on the job works."""
        for each in case.open:
            for name in each.people:
                if not case.attendance.knows(name) or case.attendance.usual(name, each.start) is not None:
                    continue
                if not case.attendance.anybody(each.start, each.finish):
                    words = f"{case.name(each)} starts {case.when(each.start)}, outside working hours."
                    yield self.says(words, each.id)
                    break


class PausesOnlyForTheMeal(Rule):
    """Work that may pause runs across the whole meal; other work keeps clear of it and takes its labour at one go."""

    number = 3
    never = "pause what may not be paused, or work through the meal"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act that touches a meal it may not touch, or takes longer than its labour and the meal."""
        for each in case.open:
            yield from self._meals(case, each)
            need = needed_minutes(each)
            given = worked_minutes(case, each)
            if need is not None and given > need:
                words = f"{case.name(each)} takes {length(need)}, but the plan gives it {length(given)}: work stops"
                yield self.says(f"{words} in between.", each.id)
            if each.n and each.step is not None and not each.step.divisible:
                yield self.says(f"{case.name(each)} is cut into pieces, but it must be done at one go.", each.id)

    def _meals(self, case: Case, each: Placed) -> Iterator[Broken]:
        for begin, end in case.attendance.meals(each.people, each.start, each.finish):
            if not each.pauses:
                words = f"{case.name(each)} ({case.when(each.start)} to {case.when(each.finish, each.start)}) runs into"
                yield self.says(f"{words} the meal at {case.when(begin, each.start)} and may not stop.", each.id)
            elif each.start >= begin or each.finish <= end:
                words = f"{case.name(each)} starts or ends inside the meal ({case.when(begin)} to"
                yield self.says(f"{words} {case.when(end, begin)}).", each.id)


class KeepsQuietHours(Rule):
    """No saw and no mixer runs in the house's quiet hours."""

    number = 3
    never = "run a saw or a mixer in quiet hours"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step with gear that touches a quiet span."""
        for each in case.open:
            if each.step is not None and each.step.gear:
                for start, finish in touched(case, case.job.house.quiet, each):
                    yield self.says(_house_words(case, each, "quiet hours", start, finish), each.id)


class HasPowerAndWater(Rule):
    """Gear needs the house's power and wet trades its water: neither is there while the house says it is off."""

    number = 9
    never = "start a step while the power or water it needs is off"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step that touches a span in which what it needs is off."""
        for each in case.open:
            for what, spans in _needs(case, each):
                out = (span for span in _out(case, what) if each.overlaps(*span))
                for start, finish in (*touched(case, spans, each), *out):
                    yield self.says(_house_words(case, each, f"no {what}", start, finish), each.id)


def _needs(case: Case, each: Placed) -> Iterator[tuple[str, tuple[ClockSpan, ...]]]:
    if each.step is not None and each.step.gear:
        yield "power", case.job.house.no_power
    if each.wet:
        yield "water", case.job.house.no_water


def _out(case: Case, what: str) -> Iterator[tuple[Instant, Instant]]:
    """The spans in which a service is out, as was noted."""
    for out in case.progress.outages:
        if out.what == what:
            yield out.start, outage_ends(case.job, out, case.now)


def _house_words(case: Case, each: Placed, what: str, start: Instant, finish: Instant) -> str:
    runs = f"{case.when(each.start)} to {case.when(each.finish, each.start)}"
    return f"{case.name(each)} runs {runs}, but {what} {case.when(start, each.start)} to {case.when(finish, start)}."


class IsDoneByTheEndOfTheDay(Rule):
    """What is started is finished on the day, with everybody's clean-up still inside his hours."""

    number = 14
    never = "start what cannot be finished and cleaned up by the end of the day"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act that ends after the hours of one of its people."""
        for each in case.open:
            for name in each.people:
                day = case.attendance.usual(name, each.start)
                if day is not None and each.finish > day.finish:
                    runs = f"starts {case.when(each.start)} and ends {case.when(each.finish, each.start)}"
                    by = case.when(day.finish, each.start)
                    yield self.says(f"{case.name(each)} {runs}, but {name} must clean up from {by}.", each.id)
                    break
