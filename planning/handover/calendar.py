"""The phone calendar (RFC 5545): days on site, visits, deliveries, stay-offs. A later file replaces an earlier one."""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta

from icalendar import Alarm, Calendar
from icalendar import Event as Entry

from planning.handover.release import Release, releases
from planning.handover.wording import quarter_up, room_name
from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.step import Step
from planning.job.words import Instant

REMIND = timedelta(hours=1)


def phone_calendar(plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant) -> bytes:
    """One calendar file. Each entry keeps its id from file to file, so a phone moves it instead of adding it again.

    Times are UTC. Stay-offs end in the slow case, rounded up to the quarter hour, and do not show as busy.
    """
    calendar = Calendar()
    calendar.add("prodid", "-//mudday//planner//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", job.name)
    maker = _Maker(job, now)
    entries = [
        *maker.days(plan),
        *maker.visits(plan),
        *maker.deliveries(),
        *(maker.off(plan, each) for each in releases(plan, job, steps, events) if maker.worth_telling(each)),
    ]
    for entry in entries:
        calendar.add_component(entry)
    return bytes(calendar.to_ical())


class _Maker:
    def __init__(self, job: Job, now: Instant) -> None:
        self.job = job
        self.now = now

    def days(self, plan: Plan) -> list[Entry]:
        """One entry a day with people on site, over the day's first start and last finish."""
        found = []
        days: dict[date, list[tuple[Instant, Instant, tuple[str, ...]]]] = {}
        for step in plan.steps:
            if step.people and step.finish > self.now:
                days.setdefault(local(self.job.zone, step.start).date(), []).append(
                    (step.start, step.finish, step.people)
                )
        hours = self.job.hours
        for day, spans in sorted(days.items()):
            people = {name for _, _, names in spans for name in names}
            start = min(start for start, _, _ in spans) - hours.set_up_min
            finish = max(finish for _, finish, _ in spans) + hours.clean_up_min
            count = "1 person" if len(people) == 1 else f"{len(people)} people"
            found.append(self._entry(f"day-{day.isoformat()}", start, finish, f"Tile crew on site, {count}"))
        return found

    def visits(self, plan: Plan) -> list[Entry]:
        """One entry a visit to come, with a reminder an hour before."""
        found = []
        for visit in plan.visits:
            if visit.finish <= self.now:
                continue
            sees = f" {visit.sees}" if visit.sees else ""
            booked = "" if visit.booked else " (not booked yet)"
            what = f"{visit.who.capitalize()}: {room_name(plan, visit.room, None).lower()}{sees}{booked}"
            entry = self._entry(f"visit-{visit.id}", visit.start, visit.finish, what)
            alarm = Alarm()
            alarm.add("action", "DISPLAY")
            alarm.add("description", what)
            alarm.add("trigger", -REMIND)
            entry.add_component(alarm)
            found.append(entry)
        return found

    def deliveries(self) -> list[Entry]:
        """One entry a delivery to come, over its span."""
        return [
            self._entry(f"delivery-{each.id}", each.earliest, each.latest, f"{each.of} comes. Keep the drive clear")
            for each in self.job.deliveries
            if each.latest > self.now
        ]

    def worth_telling(self, release: Release) -> bool:
        """Is it about walking, with a told end ahead?"""
        return release.what == "walk" and release.told and release.until is not None and release.until > self.now

    def off(self, plan: Plan, release: Release) -> Entry:
        """A stay-off."""
        until = quarter_up(release.until or release.start)
        what = f"STAY OFF {room_name(plan, release.room, release.part).lower()}"
        floor = f"{release.room}.{release.part}" if release.part else release.room
        entry = self._entry(f"off-{release.step}-{floor}", release.start, until, what)
        entry.add("transp", "TRANSPARENT")
        return entry

    def _entry(self, key: str, start: Instant, finish: Instant, what: str) -> Entry:
        entry = Entry()
        entry.add("uid", f"{key}@{self.job.name.replace(' ', '-')}.mudday")
        entry.add("dtstamp", _moment(self.now))
        entry.add("dtstart", _moment(start))
        entry.add("dtend", _moment(finish))
        entry.add("summary", what)
        entry.add("sequence", self.now)
        return entry


def _moment(at: Instant) -> datetime:
    return datetime.fromtimestamp(at * 60, UTC)
