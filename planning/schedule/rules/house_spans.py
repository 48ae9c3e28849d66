"""Clock spans of the house (quiet hours, power or water off) as they lie on the days of a plan."""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from planning.job.hours import local, span_instants
from planning.job.job import ClockSpan
from planning.job.words import Instant
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed


def touched(case: Case, spans: Sequence[ClockSpan], each: Placed) -> Iterator[tuple[Instant, Instant]]:
    """The spans that an act touches. A span over midnight belongs to the day it begins on."""
    if not spans:
        return
    today = local(case.job.zone, each.start).date()
    for span in spans:
        days = [span.day] if span.day is not None else [today - timedelta(days=1), today, today + timedelta(days=1)]
        for day in days:
            if day in span.but:
                continue
            start, finish = span_instants(case.job.zone, span, day)
            if each.overlaps(start, finish):
                yield start, finish
