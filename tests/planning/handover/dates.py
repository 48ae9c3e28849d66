"""No date a client reads is earlier than the high case: an independent reckoning, and a reader of the pages' own words.

The reckoning shares nothing with the slow runs: a step is done no sooner than planned and no sooner than its planned
start plus its high labour; a wait is over no sooner than by its high label from there. `python -m
tests.bench.told_dates [JOBS]` asks it of as many generated jobs as wanted.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from planning.handover.as_page import note_page
from planning.handover.as_text import note_text
from planning.handover.evening import evening
from planning.handover.note import AUDIENCES, Note
from planning.handover.snapshot import make_note
from planning.job.events import Event
from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.progress import Progress, read_progress
from planning.job.step import Step, Wait
from planning.job.words import Instant
from planning.schedule.make_plan import make_plan
from planning.schedule.no_plan import NoPlan
from planning.trade.air import SiteAir, opens_at, site_air
from tests.any_job import START, any_job, any_record, any_steps

SAID = re.compile(r"(?:(\d{1,2}) (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec))(?: (\d{1,2})(?::(\d\d))? ([ap]m))?")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
OURS = ("stay_off", "tonight", "last_day")
"""The sections whose dates are promises of ours alone."""


@dataclass(frozen=True)
class Case:
    """One generated job on one evening of its work."""

    job: Job
    steps: tuple[Step, ...]
    plan: Plan
    events: tuple[Event, ...]
    now: Instant


def any_case(seed: int, days: int = 3) -> Case | None:
    """The job of that seed worked for so many days; None when it has no plan at once."""
    job = any_job(seed, 2 + seed % 3)
    steps = any_steps(job)
    try:
        plan = make_plan(job, (), instant(job.zone, START, time(6, 58)), improve=False)
        now = instant(job.zone, START + timedelta(days=days), time(16, 0))
        events = any_record(plan, now, seed)
        return Case(job, steps, make_plan(job, events, now, improve=False), events, now)
    except NoPlan:
        return None


class High:
    """The high case by hand."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.by_id = {step.id: step for step in case.steps}
        self.air: SiteAir = site_air(case.job, case.events)
        self.progress: Progress = read_progress(case.job, case.events)

    def done(self, planned: PlannedStep) -> Instant:
        """When a step is done with its labour at the high number; what is done is done."""
        real = self.progress.finished.get(planned.id)
        step = self.by_id.get(planned.piece.of if planned.piece else planned.id)
        if real is not None or step is None:
            return planned.finish if real is None else real
        share = planned.piece.share if planned.piece else 1.0
        begun = self.progress.started.get(planned.id, planned.start)
        return max(planned.finish, begun + round(step.labour.high * share))

    def off(self, room: str, part: str | None, what: str) -> Instant:
        """The latest end of what was begun and keeps this floor off: high labour, high wait."""
        floor = f"{room}.{part}" if part else room
        begun = {*self.progress.started, *self.progress.finished}
        ends = [self.case.now]
        for planned in self.case.plan.steps:
            step = self.by_id.get(planned.piece.of if planned.piece else planned.id)
            if step is None or planned.id not in begun:
                continue
            for keep in step.keeps_off:
                if keep.what == what and floor in keep.floors and isinstance(keep.until, Wait):
                    ends.append(opens_at(keep.until, self.air, self.done(planned), "high"))
        return max(ends)

    def last(self) -> Instant:
        """The end of the work that is no sealing and does not wait for it alone: every step at its high labour."""
        return max(self.done(step) for step in self.case.plan.steps if step.kind != "seal")


def dates_said(note: Note, key: str, now: Instant, job: Job) -> Iterator[tuple[str, date, Instant | None]]:
    """(line, day, instant or None) of every day that stands in a section of the note as text."""
    for section in note.sections:
        for line in section.lines if section.key == key else ():
            for number, month, hour, minute, half in SAID.findall(line):
                today = local(job.zone, now).date()
                named = date(today.year, MONTHS.index(month) + 1, int(number))
                day = named if named >= today - timedelta(days=180) else named.replace(year=today.year + 1)
                clock = None if not half else time(int(hour) % 12 + (12 if half == "pm" else 0), int(minute or 0))
                yield line, day, None if clock is None else instant(job.zone, day, clock)


def told_too_early(case: Case) -> list[str]:
    """Every date of a promise that is earlier than the high case, on both readers' notes, as data and in words."""
    facts = evening(case.plan, case.job, case.steps, case.events, case.now)
    high = High(case)
    wrong: list[str] = []
    for audience in AUDIENCES:
        note = make_note(facts, audience)
        wrong += _data(note, case, high)
        wrong += _words(note, case, high)
        html = note_page(note).replace("&nbsp;", " ")
        usual = {_day_words(case, case.plan.finish)} - {_day_words(case, facts.last.safe)}
        text = note_text(note)
        wrong += [f"the usual last day {day} is told" for day in usual if f"done by {day}" in text + html]
    return wrong


def _data(note: Note, case: Case, high: High) -> list[str]:
    wrong = []
    for key, told in note.dates.items():
        what, _, rest = key.partition("/")
        if told.until is None:
            continue
        if what == "off":
            floor, _, barrier = rest.rpartition("/")
            room, _, part = floor.partition(".")
            least = high.off(room, part or None, barrier)
        elif key == "last-day":
            least = high.last()
        else:
            least = case.now
        if told.until < least:
            wrong.append(f"{key} is told {local(case.job.zone, told.until)}, high {local(case.job.zone, least)}")
    return wrong


def _words(note: Note, case: Case, high: High) -> list[str]:
    """What stands in the words: each day is one of the promised dates, so that no other date slips in."""
    promised = [told.until for told in note.dates.values() if told.until is not None]
    days = {local(case.job.zone, until).date() for until in promised}
    wrong = []
    for key in OURS:
        for line, day, at in dates_said(note, key, case.now, case.job):
            if day not in days or (at is not None and at not in promised):
                wrong.append(f"{key}: {line!r} tells a date that is not promised")
    for line, day, at in (each for key in ("inspection", "next") for each in dates_said(note, key, case.now, case.job)):
        if "safe from" in line and at is not None and at < min(_ready(case, high), default=at):
            wrong.append(f"{line!r} is before any step is ready by {day}")
    return wrong


def _ready(case: Case, high: High) -> list[Instant]:
    unbooked = [(visit.room, f"/{visit.sees}") for visit in case.plan.visits if not visit.booked]
    seen = [[s for s in case.plan.steps if s.room == room and s.id.endswith(end)] for room, end in unbooked]
    return [max(high.done(step) for step in steps) for steps in seen if steps]


def _day_words(case: Case, at: Instant) -> str:
    moment: datetime = local(case.job.zone, at)
    return f"{moment:%a} {moment.day} {moment:%b}"
