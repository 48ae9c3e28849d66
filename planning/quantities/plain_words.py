"""Plain words of people: ids, counts and words of a closed list, with the nearest right spelling of a wrong one."""

import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches

from planning.job.problem import UnreadableError
from planning.quantities.number_words import shown

MOST_WORD = 60
MOST_COUNT = 1000
LEAST_PACE, MOST_PACE = 0.25, 4.0

ID = r"[A-Za-z0-9](?:[A-Za-z0-9_-]{0,58}[A-Za-z0-9])?"
"""A pattern of an id: letters, digits, - and _, a letter or digit at both ends."""


def nearest(word: str, right: Iterable[str]) -> str | None:
    """The right spelling that is most like this word, or None."""
    close = get_close_matches(word[:MOST_WORD], list(right), n=1, cutoff=0.6)
    return close[0] if close else None


def listed(words: Iterable[str], most: int = 40) -> str:
    """Words as a list in a sentence, cut after so many."""
    every = list(words)
    return ", ".join(every[:most]) + (f" and {len(every) - most} more" if len(every) > most else "")


def simple_id(value: object, how: str = 'write it with letters, digits, - and _, such as "wet-room"') -> str:
    """An id of letters, digits, - and _, at most 60 long, a letter or digit at both ends."""
    text = text_of(value, how)
    if not re.fullmatch(ID, text):
        raise UnreadableError(f"{shown(text)} is not a simple id", how)
    return text


def one_of(*right: str) -> Callable[[object], str]:
    """A reader that takes these words only."""

    def read(value: object) -> str:
        if value in right and isinstance(value, str):
            return value
        close = nearest(value, right) if isinstance(value, str) else None
        way = f'write "{close}"' if close else f'write "{right[0]}"'
        raise UnreadableError(f"{shown(value)} is not one of {listed(right)}", way)

    return read


def count(value: object) -> int:
    """A whole number from 0 to 1000."""
    how = f"write a whole number from 0 to {MOST_COUNT}, without quotes"
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= MOST_COUNT:
        raise UnreadableError(f"{shown(value)} is not such a number", how)
    return value


def pace(value: object) -> float:
    """How many times as long as usual: a number from 0.25 to 4."""
    how = "write a number from 0.25 to 4, without quotes, such as 1.2 for a fifth longer than usual"
    if isinstance(value, bool) or not isinstance(value, int | float) or not LEAST_PACE <= value <= MOST_PACE:
        raise UnreadableError(f"{shown(value)} is no such pace", how)
    return float(value)


def reads(reader: Callable[[str], object], text: str) -> bool:
    """Can this reader read the text?"""
    try:
        reader(text)
    except UnreadableError:
        return False
    return True


def text_of(value: object, how: str) -> str:
    """The value if it is text. Raises UnreadableError."""
    if not isinstance(value, str):
        raise UnreadableError(f"{shown(value)} is not a text in quotes", how)
    return value
