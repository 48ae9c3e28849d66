"""Names and plain words of a job file: ids, people, rooms, steps, skills, zones; their form, not what they name."""

import re
from collections.abc import Iterable
from zoneinfo import ZoneInfo, available_timezones

from planning.job.problem import UnreadableError
from planning.job.words import SKILLS
from planning.quantities.number_words import shown
from planning.quantities.plain_words import ID, listed, nearest, one_of, text_of

MOST_NAME = 60

_PLACE = rf"{ID}(?:\.{ID})?"
_STEP = rf"{_PLACE}(?:/{ID}){{0,3}}(?:#\d{{1,3}})?"


def unprintable(text: str) -> bool:
    """Does it hold anything that is no visible character or blank: control signs, escapes, marks that turn text?"""
    return not text.isprintable()


def instead(word: str, right: Iterable[str], kind: str) -> str:
    """How to write it right: the nearest spelling, and what there is."""
    every = sorted(right)
    close = nearest(word, every)
    there = f"the {kind} are {listed(every)}" if every else f"there are no {kind}"
    return f"write {shown(close)}; {there}" if close else there


def name(value: object, how: str = f"write 1 to {MOST_NAME} visible letters in quotes") -> str:
    """A name to be shown: visible, on one line, at most 60 long; blanks at the ends are dropped."""
    text = text_of(value, how)
    if unprintable(text):
        raise UnreadableError(f"{shown(text)} holds a sign that cannot be shown", how)
    if not text.strip() or len(text) > MOST_NAME:
        raise UnreadableError(f"{shown(text)} is {'empty' if not text.strip() else 'too long'}", how)
    return text.strip()


def place(value: object, how: str = 'write "wet-room", or "wet-room.shower" for a part of it') -> str:
    """A room or a part of it, as `room` or `room.part`."""
    text = text_of(value, how)
    if not re.fullmatch(_PLACE, text):
        raise UnreadableError(f"{shown(text)} is not the name of a room", how)
    return text


def step_ref(value: object, how: str = 'write it as "grout", "powder-room/pour" or "room.part/method/step"') -> str:
    """A step, named as far as needed: `step`, `room/step`, `part/method/step` or the full id; its title will do."""
    text = "-".join(text_of(value, how).split())
    if not re.fullmatch(_STEP, text):
        raise UnreadableError(f"{shown(text)} is not the name of a step", how)
    return text


def skill(value: object) -> str:
    """One of the skills of the trade, or "all"."""
    return one_of(*SKILLS)(value)


def yes_or_no(value: object) -> bool:
    """true or false, without quotes."""
    if not isinstance(value, bool):
        raise UnreadableError(f"{shown(value)} is not true or false", "write true or false, without quotes")
    return value


def zone(value: object) -> ZoneInfo:
    """A time zone by its name in the IANA list."""
    how = 'write it as "America/New_York"'
    text = text_of(value, how)
    try:
        return ZoneInfo(text)
    except (KeyError, ValueError, OSError) as unknown:
        close = nearest(text, available_timezones())
        way = f'write "{close}"' if close else how
        raise UnreadableError(f"there is no time zone {shown(text)}", way) from unknown


def slug(text: str) -> str:
    """A free name as a piece of an id: "Grout color" -> "grout-color"."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-") or "x"
