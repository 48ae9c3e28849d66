"""The note for tonight: what was done, what to stay off until when, what we need. For the owner and the contractor.

Times ahead are the slow case, rounded up to the quarter hour; times behind are as noted. No product names.
"""

from collections.abc import Iterable, Sequence
from datetime import timedelta
from textwrap import wrap

from planning.handover import snapshot_lines as lines_of
from planning.handover.evening import Evening, evening
from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.step import Step
from planning.job.words import Instant
from planning.quantities.show import show_day, show_wall

WIDTH = 78
HEADING = 17


Section = tuple[str, list[str]]
"""A heading and its lines. One without lines is left out."""


def sections(facts: Evening, long: bool = False) -> list[Section]:
    """The sections of the note in their order, empty ones left out."""
    found: list[Section] = [
        ("DONE TODAY", lines_of.done_today(facts)),
        ("PLEASE STAY OFF", lines_of.stay_off(facts)),
        ("TONIGHT", lines_of.tonight(facts)),
        ("INSPECTION", lines_of.inspections(facts)),
        ("TOMORROW" if _works_tomorrow(facts) else "NEXT DAY", lines_of.next_day(facts)),
        ("WE NEED", lines_of.we_need(facts)),
        ("RAN LATE", lines_of.ran_late(facts)),
        ("LAST DAY", lines_of.last_day(facts)),
    ]
    if long:
        found += [
            ("AIR", lines_of.air_log(facts)),
            ("USED", lines_of.used(facts)),
            ("READINGS", lines_of.proofs(facts)),
        ]
    return [(heading, lines) for heading, lines in found if lines]


def _works_tomorrow(facts: Evening) -> bool:
    day = lines_of.next_work_day(facts)
    return day is None or day == facts.today + timedelta(days=1)


def snapshot(
    plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant, long: bool = False
) -> str:
    """The note as plain text, one page. `long` adds the air log, materials used with lot numbers, and readings."""
    facts = evening(plan, job, steps, events, now)
    lines = [f"{job.name.upper()}: {show_day(facts.today).upper()}    {_on_site(facts)}", ""]
    for heading, said in sections(facts, long):
        lines += _block(heading, said)
    return "\n".join(lines) + "\n"


def _block(heading: str, said: list[str]) -> list[str]:
    """One line beside its heading; more of them below it, long ones wrapped."""
    if len(said) == 1 and len(said[0]) + HEADING <= WIDTH:
        return [f"{heading:<{HEADING}}{said[0]}"]
    return [
        heading,
        *(row for line in said for row in wrap(line, WIDTH, initial_indent="  ", subsequent_indent="    ")),
    ]


def _on_site(facts: Evening) -> str:
    """Who was on site and from when to when, by the day's hours and what was noted."""
    gone = {
        a.person for a in facts.progress.presence.absences if a.start <= _day_start(facts) and a.finish >= facts.now
    }
    here = sorted({name for step in facts.plan.steps if facts.is_today(step.start) for name in step.people} - gone)
    if not here:
        return "On site: nobody today"
    stays = [at for (_, day), at in facts.progress.presence.stays.items() if day == facts.today]
    leave = max(stays, default=None)
    hours = facts.job.hours
    begin = next((e.start for e in hours.exceptions if e.day == facts.today), hours.start)
    end = next((e.finish for e in hours.exceptions if e.day == facts.today), hours.finish)
    midnight = local(facts.job.zone, facts.now)
    till = show_wall(midnight.replace(hour=end.hour, minute=end.minute) if leave is None else
                     local(facts.job.zone, leave))  # fmt: skip
    since = show_wall(midnight.replace(hour=begin.hour, minute=begin.minute))
    people = "one person" if len(here) == 1 else f"{len(here)} people"
    return f"On site: {people}, {since} to {till}"


def _day_start(facts: Evening) -> Instant:
    moment = local(facts.job.zone, facts.now).replace(hour=0, minute=0)
    return int(moment.timestamp() // 60) + 12 * 60
