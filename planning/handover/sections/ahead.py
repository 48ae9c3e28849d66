"""What comes: when we start again, who comes, what must be clear, what we need by when, and the last day."""

from datetime import date, timedelta

from planning.handover.evening import Evening
from planning.handover.sections.crew import reader_name
from planning.handover.sections.house import TILL_TOLD, back_at
from planning.handover.wording import day_words, listed, owner_clock, owner_time, plural, quarter_up, room_name
from planning.job.hours import instant, local, working_days
from planning.job.plan import PlannedStep
from planning.job.words import Instant, Minutes
from planning.quantities.show import show_minutes


def next_heading(facts: Evening) -> str:
    """Tomorrow, or the next day when nobody works tomorrow."""
    day = facts.next_work_day()
    return "Tomorrow" if day is None or day == facts.today + timedelta(days=1) else "Next day"


def next_day(facts: Evening, names: bool = False) -> list[str]:
    """When we come, who, where work begins, who else comes, what goes out, and what must be clear."""
    day = facts.next_work_day()
    if day is None:
        return []
    begins = [step for step in facts.on(day) if step.id not in facts.progress.finished]
    return [
        _start(facts, day, begins, names), *_goes_out(facts, day), *_clear(facts, begins), *_comes(facts, day),
    ]  # fmt: skip


def _start(facts: Evening, day: date, begins: list[PlannedStep], names: bool) -> str:
    """The hour we come, and the hour of the first step when setting up lies between."""
    first = min(begins, key=lambda step: (step.start, step.id))
    come, people = arrival(facts, day), sorted({name for step in begins for name in step.people})
    who = (
        f", {listed([reader_name(name) for name in people])}"
        if names
        else f", {plural(len(people), 'person', 'people')}"
    )
    when = "" if (day - facts.today).days == 1 else f" {day_words(first.start, facts.job.zone)}"
    place = room_name(facts.plan, first.room, None)
    words = f"We come{when} at {_short(facts, come)}{who}"
    if come < first.start:
        words += f", and set up; work begins {_short(facts, first.start)}"
    return f"{words}, {place[:1].lower()}{place[1:]} first: {facts.title(first)}."


def arrival(facts: Evening, day: date) -> Instant:
    """When the first of the crew is there: by his own hours, never after the first step needs him."""
    first = min(step.start for step in facts.on(day) if step.id not in facts.progress.finished)
    needed = {name for step in facts.on(day) for name in step.people}
    hours, starts = facts.job.hours, []
    for person in facts.job.people:
        if person.name in needed and working_days(hours, person, day, day):
            begin = next((e.start for e in (*person.exceptions, *hours.exceptions) if e.day == day), hours.start)
            starts.append(instant(facts.job.zone, day, begin))
    early = [each.start for each in facts.progress.presence.extras if facts.day(each.start) == day]
    return min([first, *starts, *early])


def _goes_out(facts: Evening, day: date) -> list[str]:
    lines = []
    for out in facts.plan.house:
        if facts.day(out.out_from) != day:
            continue
        back = back_at(facts, out)
        till = TILL_TOLD if back is None else f"till {owner_time(back, facts.job.zone, facts.now)}"
        clock = owner_clock(local(facts.job.zone, out.out_from))
        lines.append(f"From {clock} the {facts.job.room(out.room).name} has no {out.what}, {till}.")
    return lines


def _clear(facts: Evening, begins: list[PlannedStep]) -> list[str]:
    """The rooms that are worked in, and the way to them; not those that nobody may walk in anyway."""
    off = {each.room for each in facts.standing if each.what == "walk" and each.part is None}
    rooms = [room.name for room in facts.job.rooms if room.id not in off and any(s.room == room.id for s in begins)]
    return [f"Please have the {listed(rooms)} and the way there clear."] if rooms else []


def _comes(facts: Evening, day: date) -> list[str]:
    lines = []
    for delivery in facts.job.deliveries:
        due = facts.progress.delivery_due.get(delivery.id)
        first, last = (delivery.earliest, delivery.latest) if due is None else (due, due)
        if facts.day(first) == day and delivery.id not in facts.progress.delivered:
            span = _short(facts, first) if first == last else f"{_short(facts, first)} to {_short(facts, last)}"
            lines.append(f"{delivery.of[:1].upper()}{delivery.of[1:]} comes {span}: keep the drive clear.")
    for visit in facts.plan.visits:
        if visit.booked and facts.day(visit.start) == day and visit.id not in facts.progress.visit_results:
            lines.append(
                f"{visit.who[:1].upper()}{visit.who[1:]} comes {_short(facts, visit.start)}: somebody lets him in."
            )
    return lines


def we_need(facts: Evening) -> list[str]:
    """Answers that are owed and not given: the soonest first."""
    open_ones = [each for each in facts.job.answers if each.id not in facts.progress.answered]
    return [
        f"{each.what[:1].upper()}{each.what[1:]} for the {facts.job.room(each.room).name}, "
        f"{'by' if each.by > facts.now else 'WAS DUE'} {_by(facts, each.by)}."
        for each in sorted(open_ones, key=lambda answer: (answer.by, answer.id))
    ]


def _by(facts: Evening, at: Instant) -> str:
    # A time by which somebody else must act is not rounded up: later would be too late.
    moment = local(facts.job.zone, at)
    return owner_clock(moment) if facts.is_today(at) else f"{day_words(at, facts.job.zone)} {owner_clock(moment)}"


def last_day(facts: Evening) -> list[str]:
    """When the work is done in the slow case, what decides that, and a return visit apart from it."""
    last, zone = facts.last, facts.job.zone
    lines = []
    if last.safe > facts.now:
        day = day_words(quarter_up(last.safe), zone)
        lines.append(f"We are done by {day}, slow days counted in.{_decides(facts)}")
    for visit in last.returns:
        if visit.safe <= facts.now:
            continue
        waits = f"; {facts.title(visit.waits_for)} must be old enough" if visit.waits_for is not None else ""
        titles = listed(list(dict.fromkeys(facts.title(step) for step in visit.steps)))
        rooms = listed(list(dict.fromkeys(facts.job.room(step.room).name for step in visit.steps)))
        minutes: Minutes = sum(step.finish - step.start for step in visit.steps)
        lines.append(
            f"Then one more short visit, about {show_minutes(minutes)}, by {day_words(quarter_up(visit.safe), zone)}: "
            f"{titles}, {rooms}{waits}."
        )
    return lines


def _decides(facts: Evening) -> str:
    driver, waited = facts.last.driver, facts.last.waits_for
    if driver is None:
        return ""
    words = f" Last comes {facts.title(driver)}, {facts.job.room(driver.room).name}"
    return f"{words}; it must wait for {facts.title(waited)}." if waited is not None else f"{words}."


def _short(facts: Evening, at: Instant) -> str:
    return owner_clock(local(facts.job.zone, at))
