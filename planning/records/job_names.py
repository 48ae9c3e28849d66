"""Names and plain words of a job file: ids, people, rooms, steps, skills, zones; their form, not what they name."""

import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from zoneinfo import ZoneInfo, available_timezones

from planning.job.problem import UnreadableError
from planning.job.words import SKILLS
from planning.quantities.number_words import shown

MOST_NAME = 60
MOST_COUNT = 1000

_ID = r"[A-Za-z0-9](?:[A-Za-z0-9_-]{0,58}[A-Za-z0-9])?"
_PLACE = rf"{_ID}(?:\.{_ID})?"
_STEP = rf"{_PLACE}(?:/{_ID}){{0,3}}(?:#\d{{1,3}})?"


def unprintable(text: str) -> bool:
    """Does it hold anything that is no visible character or blank: control signs, escapes, marks that turn text?"""
    return not text.isprintable()


def nearest(word: str, right: Iterable[str]) -> str | None:
    """The right spelling that is most like this word, or None."""
    close = get_close_matches(word[:MOST_NAME], list(right), n=1, cutoff=0.6)
    return close[0] if close else None


def listed(words: Iterable[str], most: int = 40) -> str:
    """Words as a list in a sentence, cut after so many."""
    every = list(words)
    return ", ".join(every[:most]) + (f" and {len(every) - most} more" if len(every) > most else "")


def instead(word: str, right: Iterable[str], kind: str) -> str:
    """How to write it right: the nearest spelling, and what there is."""
    every = sorted(right)
    close = nearest(word, every)
    there = f"the {kind} are {listed(every)}" if every else f"there are no {kind}"
    return f"write {shown(close)}; {there}" if close else there


def _text(value: object, how: str) -> str:
    if not isinstance(value, str):
        raise UnreadableError(f"{shown(value)} is not a text in quotes", how)
    return value


def simple_id(value: object, how: str = 'write it with letters, digits, - and _, such as "wet-room"') -> str:
    """An id of letters, digits, - and _, at most 60 long, a letter or digit at both ends."""
    text = _text(value, how)
    if not re.fullmatch(_ID, text):
        raise UnreadableError(f"{shown(text)} is not a simple id", how)
    return text


def name(value: object, how: str = f"write 1 to {MOST_NAME} visible letters in quotes") -> str:
    """A name to be shown: visible, on one line, at most 60 long; blanks at the ends are dropped."""
    text = _text(value, how)
    if unprintable(text):
        raise UnreadableError(f"{shown(text)} holds a sign that cannot be shown", how)
    if not text.strip() or len(text) > MOST_NAME:
        raise UnreadableError(f"{shown(text)} is {'empty' if not text.strip() else 'too long'}", how)
    return text.strip()


def place(value: object, how: str = 'write "wet-room", or "wet-room.shower" for a part of it') -> str:
    """A room or a part of it, as `room` or `room.part`."""
    text = _text(value, how)
    if not re.fullmatch(_PLACE, text):
        raise UnreadableError(f"{shown(text)} is not the name of a room", how)
    return text


def step_ref(value: object, how: str = 'write it as "grout", "powder-room/pour" or "room.part/method/step"') -> str:
    """A step, named as far as needed: `step`, `room/step`, `part/method/step` or the full id."""
    text = _text(value, how)
    if not re.fullmatch(_STEP, text):
        raise UnreadableError(f"{shown(text)} is not the name of a step", how)
    return text


def skill(value: object) -> str:
    """One of the skills of the trade, or "all"."""
    return one_of(*SKILLS)(value)


def one_of(*right: str) -> Callable[[object], str]:
    """A reader that takes these words only."""

    def read(value: object) -> str:
        if value in right and isinstance(value, str):
            return value
        close = nearest(value, right) if isinstance(value, str) else None
        way = f'write "{close}"' if close else f'write "{right[0]}"'
        raise UnreadableError(f"{shown(value)} is not one of {listed(right)}", way)

    return read


def yes_or_no(value: object) -> bool:
    """true or false, without quotes."""
    if not isinstance(value, bool):
        raise UnreadableError(f"{shown(value)} is not yes or no", "write true or false, without quotes")
    return value


def count(value: object) -> int:
    """A whole number from 0 to 1000."""
    how = f"write a whole number from 0 to {MOST_COUNT}, without quotes"
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= MOST_COUNT:
        raise UnreadableError(f"{shown(value)} is not such a number", how)
    return value


def zone(value: object) -> ZoneInfo:
    """A time zone by its name in the IANA list."""
    how = 'write it as "America/New_York"'
    text = _text(value, how)
    try:
        return ZoneInfo(text)
    except (KeyError, ValueError, OSError) as unknown:
        close = nearest(text, available_timezones())
        way = f'write "{close}"' if close else how
        raise UnreadableError(f"there is no time zone {shown(text)}", way) from unknown


def slug(text: str) -> str:
    """A free name as a piece of an id: "Grout color" -> "grout-color"."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-") or "x"
