"""The phone calendar (RFC 5545): days, visits, deliveries, stay-offs, windows. A later file updates an earlier one."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from itertools import chain
from typing import Any, Literal
from urllib.parse import quote

from icalendar import Alarm, Calendar
from icalendar import Event as Entry

from planning.handover.evening import Evening, evening
from planning.handover.release import Release
from planning.handover.sections.crew import on_site
from planning.handover.told import dates_told
from planning.handover.wording import plural, quarter_up, room_name
from planning.job.events import Event, effective
from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.step import Step
from planning.job.words import Instant, Minutes

Reader = Literal["me", "owner", "contractor"]
CALENDAR = "calendar"
REMIND_MIN: Minutes = 60
BEFORE_SHUT_MIN: Minutes = 15
LONGEST_WINDOW_MIN: Minutes = 3 * 24 * 60
"""A window that stays open longer than this needs no alarm on a phone."""


@dataclass(frozen=True, slots=True)
class Ring:
    """An alarm: so many minutes before the entry begins, or before it ends."""

    words: str
    before_min: Minutes = 0
    at_end: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """One entry before it is written. `busy`: does it block the time; `whole_day`: only its days count."""

    uid: str
    start: Instant
    finish: Instant
    what: str
    busy: bool = True
    whole_day: bool = False
    rings: tuple[Ring, ...] = ()
    cancelled: bool = False


@dataclass(frozen=True, slots=True)
class PhoneCalendar:
    """A calendar file and its entries by id: (start, finish, words). The next file takes back those that are gone."""

    data: bytes
    entries: Mapping[str, tuple[Instant, Instant, str]]


def phone_calendar(
    plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant, reader: Reader = "me"
) -> PhoneCalendar:
    """One calendar file. Each entry keeps its id from file to file, so a phone moves it instead of adding it again.

    Times are UTC. Stay-offs end in the slow case, rounded up to the quarter hour, and do not show as busy. The setter
    ("me") has the plan's own days and its windows too; others only the next day, what is booked, and the slow case.
    What the last file told this reader had and the plan has no more is in it as cancelled.
    """
    facts = evening(plan, job, steps, events, now)
    spots = list(_Maker(facts).spots(reader))
    entries = {spot.uid: (spot.start, spot.finish, spot.what) for spot in spots}
    gone = [Spot(uid, start, finish, what, cancelled=True)
            for uid, (start, finish, what) in told_entries(facts.events, reader).items()
            if uid not in entries and finish > now]  # fmt: skip
    calendar = Calendar()
    calendar.add("prodid", "-//mudday//planner//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", job.name)
    for spot in (*spots, *gone):
        calendar.add_component(_entry(spot, job, now))
    return PhoneCalendar(bytes(calendar.to_ical()), entries)


def calendar_body(made: PhoneCalendar, reader: Reader) -> dict[str, Any]:
    """The body of the `told` event that this file was handed over."""
    return {"what": CALENDAR, "for": reader, "entries": {uid: list(span) for uid, span in made.entries.items()}}


def told_entries(events: Iterable[Event], reader: Reader) -> dict[str, tuple[Instant, Instant, str]]:
    """The entries of the last file handed over to this reader."""
    told = [e.body for e in effective(events)
            if e.kind == "told" and e.body.get("what") == CALENDAR and e.body.get("for") == reader]  # fmt: skip
    found: dict[str, tuple[Instant, Instant, str]] = {}
    for uid, span in dict(told[-1].get("entries", {})).items() if told else ():
        start, finish, what = span
        found[str(uid)] = int(start), int(finish), str(what)
    return found


class _Maker:
    def __init__(self, facts: Evening) -> None:
        self.facts = facts
        self.job = facts.job
        self.plan = facts.plan
        self.now = facts.now

    def spots(self, reader: Reader) -> Iterator[Spot]:
        """Every entry that this reader has."""
        mine = reader == "me"
        offs = (self.off(each) for each in self.facts.releases if self.worth_telling(each, mine))
        yield from chain(self.days(None if mine else self.facts.next_work_day()), self.visits(), self.deliveries())
        yield from chain(offs, self.windows() if mine else self.told_days())

    def days(self, only: date | None) -> Iterator[Spot]:
        """One entry a day with people on site, door to door; for others than the setter the next one only."""
        for day in sorted({self.facts.day(s.start) for s in self.plan.steps if s.people and s.finish > self.now}):
            work = [step for step in self.facts.on(day) if step.people]
            if not work or (only is not None and day != only):
                continue
            doors = on_site(self.facts, day)
            start = min([*(each.start for each in doors), min(step.start for step in work)])
            finish = max([*(each.finish for each in doors), max(step.finish for step in work)])
            count = plural(len({name for step in work for name in step.people}), "person", "people")
            yield Spot(self._uid(f"day-{day.isoformat()}"), start, finish, f"Tile crew on site, {count}")

    def visits(self) -> Iterator[Spot]:
        """One entry a booked visit to come, with a reminder an hour before. Who is not booked comes at no time yet."""
        for visit in self.plan.visits:
            if visit.finish > self.now and visit.booked:
                sees = f" {visit.sees}" if visit.sees else ""
                what = f"{visit.who.capitalize()}: {room_name(self.plan, visit.room, None).lower()}{sees}"
                rings = (Ring(what, REMIND_MIN),)
                yield Spot(self._uid(f"visit-{visit.id}"), visit.start, visit.finish, what, rings=rings)

    def deliveries(self) -> Iterator[Spot]:
        """One entry a delivery to come, over its span."""
        for each in self.job.deliveries:
            due = self.facts.progress.delivery_due.get(each.id)
            first, last = (each.earliest, each.latest) if due is None else (due, due + 30)
            if last > self.now and each.id not in self.facts.progress.delivered:
                what = f"{each.of.capitalize()} comes. Keep the drive clear"
                yield Spot(self._uid(f"delivery-{each.id}"), first, last, what)

    def worth_telling(self, release: Release, mine: bool) -> bool:
        """Is it about walking, with a told end ahead? Others are told of what is begun only."""
        ahead = release.what == "walk" and release.told and release.until is not None and release.until > self.now
        progress = self.facts.progress
        return ahead and (mine or release.step in progress.started or release.step in progress.finished)

    def off(self, release: Release) -> Spot:
        """A stay-off."""
        floor = f"{release.room}.{release.part}" if release.part else release.room
        what = f"STAY OFF {room_name(self.plan, release.room, release.part).lower()}"
        until = quarter_up(release.until or release.start)
        return Spot(self._uid(f"off-{release.step}-{floor}"), release.start, until, what, busy=False)

    def windows(self) -> Iterator[Spot]:
        """One entry a window that opens and shuts, with an alarm when it opens and one before it shuts."""
        for step in self.plan.steps:
            opens, shuts = step.window.opens, step.window.shuts
            begun = step.id in self.facts.progress.started or step.id in self.facts.progress.finished
            if begun or opens is None or shuts is None or shuts <= self.now or shuts - opens > LONGEST_WINDOW_MIN:
                continue
            what = f"WINDOW {step.title}, {room_name(self.plan, step.room, step.part).lower()}"
            rings = (Ring(f"OPEN: {what}"), Ring(f"CLOSING: {what}", BEFORE_SHUT_MIN, at_end=True))
            yield Spot(self._uid(f"window-{step.id}"), opens, shuts, what, busy=False, rings=rings)

    def told_days(self) -> Iterator[Spot]:
        """The last day and the return visits, as whole days in the slow case."""
        for key, each in dates_told(self.facts).items():
            if not each.clock and each.until is not None:
                day = self.facts.day(each.until)
                start, finish = (instant(self.job.zone, day + timedelta(days=n), datetime.min.time()) for n in (0, 1))
                words = f"{each.label}: by this day, slow days counted in"
                yield Spot(self._uid(key.replace("/", "-")), start, finish, words, busy=False, whole_day=True)

    def _uid(self, key: str) -> str:
        return f"{quote(key, safe='')}@{quote(self.job.name, safe='')}.mudday"


def _entry(spot: Spot, job: Job, now: Instant) -> Entry:
    """An entry as the standard writes it. Its sequence grows from file to file, so that the later one counts."""
    entry = Entry()
    entry.add("uid", spot.uid)
    entry.add("dtstamp", _moment(now))
    entry.add("last-modified", _moment(now))
    entry.add("sequence", now)
    entry.add("summary", spot.what)
    for name, at in (("dtstart", spot.start), ("dtend", spot.finish)):
        entry.add(name, local(job.zone, at).date() if spot.whole_day else _moment(at))
    if not spot.busy:
        entry.add("transp", "TRANSPARENT")
    if spot.cancelled:
        entry.add("status", "CANCELLED")
    for ring in spot.rings:
        entry.add_component(_alarm(ring))
    return entry


def _alarm(ring: Ring) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", ring.words)
    alarm.add("trigger", timedelta(minutes=-ring.before_min), {"related": "END" if ring.at_end else "START"})
    return alarm


def _moment(at: Instant) -> datetime:
    return datetime.fromtimestamp(at * 60, UTC)
