"""What people were told: each note that was handed over is an event, and the next one says which of its dates moved.

Body of a `told` event that a snapshot writes:

    what: "snapshot"    for: "owner" or "contractor"    day: ISO date of the note    mark: a hash of all it says
    text: the note as lines of text    dates: key -> [label, instant or null, is the clock time told too]

A `told` event without `dates` (the setter noted that he said something) is kept and compared with nothing.
"""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from planning.handover.bookings import bookings
from planning.handover.evening import Evening
from planning.handover.note import Audience, Note, ToldDate
from planning.handover.sections.house import back_at, services_off
from planning.handover.wording import quarter_up, room_name
from planning.job.events import Event, effective
from planning.job.hours import local
from planning.job.words import Instant

SNAPSHOT = "snapshot"


@dataclass(frozen=True, slots=True)
class Told:
    """One note that was handed over. `seq` is its place in the record: what came later may have moved its dates."""

    seq: int
    at: Instant
    day: date
    audience: Audience
    text: str
    mark: str
    dates: Mapping[str, ToldDate] = field(default_factory=dict)


def told_notes(events: Iterable[Event]) -> tuple[Told, ...]:
    """Every note handed over, in order; what cannot be read (a later program wrote it) is left out."""
    found = []
    for event in effective(events):
        if event.kind == "told" and event.body.get("what") == SNAPSHOT:
            try:
                found.append(_read(event))
            except (KeyError, ValueError, TypeError):
                continue
    return tuple(found)


def _read(event: Event) -> Told:
    body = event.body
    audience: Audience = "contractor" if body["for"] == "contractor" else "owner"
    dates = {
        str(key): ToldDate(str(label), None if until is None else int(until), bool(clock))
        for key, (label, until, clock) in dict(body.get("dates", {})).items()
    }
    text = "".join(f"{line}\n" for line in body.get("text", ()))
    day = date.fromisoformat(str(body["day"]))
    return Told(event.seq, event.minute, day, audience, text, str(body.get("mark", "")), dates)


def last_told(events: Iterable[Event], audience: Audience, day: date) -> Told | None:
    """The last note this reader got on a day before `day`: two notes of one evening are one to him."""
    earlier = [each for each in told_notes(events) if each.audience == audience and each.day < day]
    return earlier[-1] if earlier else None


def told_body(note: Note, text: str) -> dict[str, Any]:
    """The body of the event that this note was handed over. A record keeps no line ends, so the text goes in lines."""
    return {
        "what": SNAPSHOT,
        "for": note.audience,
        "day": note.day.isoformat(),
        "mark": _mark(text),
        "text": text.splitlines(),
        "dates": {key: [each.label, each.until, each.clock] for key, each in note.dates.items()},
    }


def was_told(events: Iterable[Event], body: Mapping[str, Any]) -> bool:
    """Was this very note handed over already? Then it is not kept twice."""
    same = [each for each in told_notes(events) if each.audience == body["for"] and each.day.isoformat() == body["day"]]
    return bool(same) and same[-1].mark == body["mark"]


def _mark(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def dates_told(facts: Evening) -> dict[str, ToldDate]:
    """Every date of ours that a note promises: the slow case, rounded as it is said."""
    found: dict[str, ToldDate] = {}
    if facts.last.safe > facts.now:
        found["last-day"] = ToldDate("Last day", quarter_up(facts.last.safe), clock=False)
    for n, visit in enumerate(facts.last.returns, start=1):
        found[f"return/{n}"] = ToldDate("The return visit", quarter_up(visit.safe), clock=False)
    says = {"walk": "walk on it", "wet": "water on it", "heavy": "heavy things"}
    for each in facts.standing:
        floor = f"{each.room}.{each.part}" if each.part else each.room
        until = None if each.until is None or not each.told else quarter_up(each.until)
        label = f"{room_name(facts.plan, each.room, each.part)}, {says[each.what]}"
        found[f"off/{floor}/{each.what}"] = ToldDate(label, until)
    for out in services_off(facts):
        back = back_at(facts, out)
        label = f"{out.what.capitalize()}, {room_name(facts.plan, out.room, None).lower()}"
        found[f"{out.what}/{out.room}"] = ToldDate(label, None if back is None else quarter_up(back))
    ids = {visit.id for visit in facts.plan.visits}
    for booking in bookings(facts.plan, facts.job, facts.steps, facts.times, facts.progress):
        if booking.step in ids:
            label = f"{booking.who.capitalize()}, {room_name(facts.plan, booking.room, None).lower()}"
            found[f"visit/{booking.step}"] = ToldDate(label, booking.booked or booking.safe)
    return found


def moved_dates(
    before: Mapping[str, ToldDate], now: Mapping[str, ToldDate], zone: ZoneInfo | None = None
) -> list[tuple[Instant | None, ToldDate]]:
    """(what it was, what it is) of every date that both notes tell and that is not the same as it was said.

    A date told without its clock time moves only with its day, on the wall of `zone`.
    """
    found = []
    for key, each in now.items():
        was = before.get(key)
        if was is not None and _said(was, zone) != _said(each, zone):
            found.append((was.until, each))
    return found


def _said(told: ToldDate, zone: ZoneInfo | None) -> object:
    if told.until is None or told.clock or zone is None:
        return told.until
    return local(zone, told.until).date()
