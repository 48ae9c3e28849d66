"""Who was on site, from when to when, and how many hours that was. Names and hours are for the contractor only."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from planning.handover.evening import Evening
from planning.job.hours import Shift, shifts
from planning.job.words import Instant, Minutes
from planning.quantities.show import show_minutes


@dataclass(frozen=True, slots=True)
class OnSite:
    """One person's day, door to door; `minutes` without the meal."""

    name: str
    start: Instant
    finish: Instant
    minutes: Minutes


def on_site(facts: Evening, day: date | None = None) -> tuple[OnSite, ...]:
    """Everybody who had work on a date (default: the day of the note), by his hours and what was noted of them.

    Nobody stamps a clock here: it is the hours of the job file, less absences, plus what was stayed longer.
    """
    date_of = facts.today if day is None else day
    had_work = {name for step in facts.on(date_of) for name in step.people}
    had_work |= {str(event.body.get("who")) for event in facts.noted if event.kind == "came"}
    presence = facts.progress.presence
    found = []
    for person in facts.job.people:
        if person.name not in had_work:
            continue
        spans = shifts(facts.job.hours, person, facts.job.zone, date_of, date_of, presence)
        if spans:
            found.append(_one(facts, person.name, spans))
    return tuple(found)


def _one(facts: Evening, name: str, spans: Sequence[Shift]) -> OnSite:
    hours = facts.job.hours
    left = {gone.start for gone in facts.progress.presence.absences if gone.person == name}
    came = {gone.finish for gone in facts.progress.presence.absences if gone.person == name}
    start = spans[0].start - (0 if spans[0].start in came else hours.set_up_min)
    finish = spans[-1].finish + (0 if spans[-1].finish in left else hours.clean_up_min)
    away = sum(after.start - before.finish for before, after in pairwise(spans))
    meals = sum(span.eat[1] - span.eat[0] for span in spans if span.eat is not None)
    return OnSite(name, start, finish, finish - start - away - meals)


def on_site_words(facts: Evening) -> str:
    """`On site: 2 people, 7:00 to 4:10`: for every reader, without names."""
    here = on_site(facts)
    if not here:
        return "On site: nobody today"
    people = "one person" if len(here) == 1 else f"{len(here)} people"
    return f"On site: {people}, {facts.wall(min(p.start for p in here))} to {facts.wall(max(p.finish for p in here))}"


def people_and_hours(facts: Evening) -> list[str]:
    """`you 7:00 to 3:30, 8 h`, each person, and all together."""
    here = on_site(facts)
    spans = [f"{facts.wall(each.start)} to {facts.wall(each.finish)}" for each in here]
    lines = [f"{reader_name(each.name)}: {span}, {show_minutes(each.minutes)}"
             for each, span in zip(here, spans, strict=True)]  # fmt: skip
    return [*lines, f"Together {show_minutes(sum(each.minutes for each in here))}."] if len(lines) > 1 else lines


def reader_name(name: str) -> str:
    """How others read a name of the job file: in it the setter calls himself "you"."""
    return "the setter" if name == "you" else name
