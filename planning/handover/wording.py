"""Times and sentences as an owner reads them: quarter hours, never earlier than the slow case, no trade words."""

import re
from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from planning.job.hours import local
from planning.job.plan import Plan, PlannedStep
from planning.job.step import Step
from planning.job.words import Instant, Kind
from planning.quantities.show import show_day

QUARTER_MIN = 15

WHAT_HAPPENED: dict[Kind, str] = {
    "prep": "floor was worked on",
    "tear-out": "old floor was taken out",
    "prime": "floor was primed",
    "pour": "floor was poured",
    "float": "mortar bed was laid",
    "coat": "waterproof coat went on",
    "set": "tile was set",
    "grout": "joints were filled",
    "caulk": "corners were sealed",
    "seal": "tile was sealed",
    "test": "water test is standing",
    "fit": "fittings went on",
    "finish": "floor was finished",
}

WHY_OFF: dict[Kind, str] = {
    "prime": "A shoe print shows through the new floor.",
    "pour": "It looks dry before it is. One step ruins it.",
    "float": "It looks hard before it is. One step breaks it.",
    "coat": "One scratch is a leak.",
    "set": "Tile that moves now stays crooked.",
    "grout": "A foot pulls it out of the joints.",
    "caulk": "It smears, and then it leaks.",
    "seal": "Prints stay in it.",
    "test": "Leave the water in. It shows if the shower leaks.",
}
WHY_OFF_ELSE = "Please leave it alone till we tell you."

NO_FANS: frozenset[Kind] = frozenset(("pour", "float"))
"""Work that must not dry from above: no fan on it."""


_HALF = re.compile(r"(\d) ([ap]m)\b")


def quarter_up(at: Instant) -> Instant:
    """The next quarter hour at or after an instant. (Zones are whole quarter hours off, so this holds on the wall.)"""
    return -(-at // QUARTER_MIN) * QUARTER_MIN


def owner_clock(moment: datetime) -> str:
    """8:45 pm: an owner is always told am or pm. Whole hours short: 8 am."""
    half = "am" if moment.hour < 12 else "pm"
    hour = (moment.hour + 11) % 12 + 1
    return f"{hour}:{moment.minute:02d} {half}" if moment.minute else f"{hour} {half}"


def kept_together(text: str, space: str = "\u00a0") -> str:
    """The text with a space that no line breaks at between each clock time and its am or pm."""
    return _HALF.sub(rf"\1{space}\2", text)


def owner_time(at: Instant, zone: ZoneInfo, now: Instant) -> str:
    """`7:30 pm tonight`, `3 pm today`, `Tue 16 Jun 8:30 am`: rounded up to the quarter hour.

    Every other day has its date: a note on a door is read on later days too.
    """
    moment, today = local(zone, quarter_up(at)), local(zone, now)
    clock = owner_clock(moment)
    if moment.date() == today.date():
        return f"{clock} {'tonight' if moment.hour >= 17 else 'today'}"
    return f"{show_day(moment.date())} {clock}"


def day_words(at: Instant, zone: ZoneInfo) -> str:
    """Wed 3 Jun."""
    return show_day(local(zone, at).date())


def room_name(plan: Plan, room_id: str, part: str | None) -> str:
    """The name of a room, with the part where there is one: `Wet room, shower`."""
    name = next((room.name for room in plan.rooms if room.id == room_id), room_id)
    whole = name[:1].upper() + name[1:]
    return f"{whole}, {part.replace('-', ' ')}" if part else whole


def listed(words: list[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + f" and {words[-1]}"


def plural(count: int, word: str, more: str | None = None) -> str:
    """`1 step`, `2 steps`, `2 people`."""
    return f"{count} {word if count == 1 else more or word + 's'}"


def pieces_words(pieces: Sequence[PlannedStep], step: Step | None) -> str:
    """What is done in a step, or in some of its pieces, as a reader from outside understands it.

    `set the wall tile, part 2 of 4`, `tear out, parts 1 to 3 of 4`.
    """
    first, last = pieces[0], pieces[-1]
    if step is None:
        return first.title
    words = step.says if step.says and not step.says.endswith(".") else step.title
    if first.piece is None or last.piece is None:
        return words
    _, _, count = first.title.rpartition(" of ")
    of = f" of {count}" if count.isdigit() else ""
    low, high = min(p.piece.n for p in pieces if p.piece), max(p.piece.n for p in pieces if p.piece)
    return f"{words}, part {low}{of}" if low == high else f"{words}, parts {low} to {high}{of}"
