"""Inspections asked, passed and failed, with the log of each flood test."""

from planning.handover.bookings import Booking, bookings
from planning.handover.evening import Evening
from planning.handover.proofs import FloodTest, flood_tests
from planning.handover.wording import owner_clock, owner_time, room_name
from planning.job.hours import local
from planning.job.progress import visit_word
from planning.job.words import Instant
from planning.quantities.show import show_day, show_minutes

RESULTS = {"passed": "passed", "failed": "NOT passed", "no_show": "nobody came"}


def inspections(facts: Evening) -> list[str]:
    """Visits that must see something: how they went, when they come, from when one may be booked; flood logs."""
    lines = []
    for visit in facts.plan.visits:
        result = facts.progress.visit_results.get(visit.id)
        word = visit_word(result)
        if word is not None:
            noted = facts.progress.visit_noted.get(visit.id)
            when = f" {_moment(facts, noted)}" if noted is not None else ""
            said = str(result).rstrip(".")
            more = "" if said.casefold() in (word, RESULTS[word].casefold()) else f": {said}"
            lines.append(f"{_what(facts, visit.who, visit.sees, visit.room)}: {RESULTS[word]}{when}{more}.")
    lines += [_asked(facts, each) for each in _to_come(facts)]
    tests = flood_tests(facts.plan, facts.steps, facts.events, facts.progress)
    return [*lines, *(flood_words(facts, each) for each in tests if each.filled is not None)]


def _to_come(facts: Evening) -> list[Booking]:
    ids = {visit.id for visit in facts.plan.visits}
    listed = bookings(facts.plan, facts.job, facts.steps, facts.times, facts.progress)
    return [each for each in listed if each.step in ids and (each.booked is None or each.booked > facts.now)]


def _asked(facts: Evening, each: Booking) -> str:
    """A booked time is a fact; one not booked is told from when on it is safe."""
    what = _what(facts, each.who, each.what, each.room)
    if each.booked is not None:
        return f"{_moment(facts, each.booked)}, {what[:1].lower()}{what[1:]}. Not yet passed."
    return f"{what}: not booked yet; safe from {owner_time(each.safe, facts.job.zone, facts.now)}."


def _what(facts: Evening, who: str, sees: str | None, room: str) -> str:
    seen = next((s.title for s in facts.steps if s.room == room and s.key == sees), sees)
    name = room_name(facts.plan, room, None)
    return f"{who[:1].upper()}{who[1:]}, {f'{seen}, ' if seen else ''}{name[:1].lower()}{name[1:]}"


def flood_words(facts: Evening, test: FloodTest) -> str:
    """`Flood test, wash room, shower: filled Tue 9 Jun 9:10 am, ...`: what was noted, in one sentence."""
    name = room_name(facts.plan, test.room, test.part)
    said = [f"Flood test, {name[:1].lower()}{name[1:]}: filled {_moment(facts, test.filled)}"]
    if test.read is None:
        said.append(f"must stand {show_minutes(test.asked_min)}")
    else:
        said.append(f"read {_moment(facts, test.read)}")
        said.append(f"stood {show_minutes(test.held_min or 0)} of {show_minutes(test.asked_min)} asked")
    said += [f"{p.kind} {_moment(facts, p.at)}{f' {p.words}' if p.words else ''}" for p in test.proofs]
    if test.seen_by is not None and test.result is not None:
        said.append(f"{test.seen_by}: {test.result}")
    return "; ".join(said) + "."


def _moment(facts: Evening, at: Instant | None) -> str:
    """A time as noted or agreed: not rounded."""
    if at is None:
        return ""
    moment = local(facts.job.zone, at)
    return f"{show_day(moment.date())} {owner_clock(moment)}"
