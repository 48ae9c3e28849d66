"""Numbers as people on a site write them: 5, 1.25, 3/8, 1-3/8, 1 3/8, 1,400; exact until they become a float."""

import re
from fractions import Fraction
from functools import lru_cache

from planning.job.problem import UnreadableError

NUMBER = r"(?:\d+\s*-\s*\d+/\d+|\d+\s+\d+/\d+|\d+/\d+|\d{1,3}(?:,\d{3})+(?:\.\d+)?(?!\d)|\d+(?:\.\d+)?|\.\d+)"
"""A pattern that matches one number, the longest form first."""

MOST_DIGITS = 12

_WHOLE = re.compile(NUMBER)
_GLYPHS = str.maketrans(
    {
        "¼": " 1/4", "½": " 1/2", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8", "⁄": "/",
        "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "×": "x", "²": "2", "³": "3", "\u00a0": " ",
        "–": "-", "−": "-", "‑": "-",
    }
)  # fmt: skip


class UnitProblem(UnreadableError):
    """A number with its unit that cannot be read: `what` is wrong and `how` to write it right."""


def plain(text: object, how: str) -> str:
    """The text with typographic fractions, marks and signs made plain and blanks made single.

    Raises UnitProblem when it is no text at all (a bare number has no unit) or far too long.
    """
    if isinstance(text, bool) or not isinstance(text, str):
        if isinstance(text, int | float):
            raise UnitProblem(f"{shown(text)} has no unit", how)
        raise UnitProblem(f"{shown(text)} is not a text in quotes", how)
    if len(text) > 100:
        raise UnitProblem(f"{shown(text)} is too long", how)
    return " ".join(text.translate(_GLYPHS).replace("''", '"').split())


def shown(value: object) -> str:
    """A value as it may be shown in a message: short, in quotes if it is text, nothing that moves a cursor."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and abs(value) >= 10**MOST_DIGITS:
        return "a very long number"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    text = str(value)
    text = text if len(text) <= 40 else text[:37] + "..."
    text = "".join(each if each.isprintable() else f"\\u{ord(each):04x}" for each in text)
    return f'"{text}"' if isinstance(value, str) else text


@lru_cache(maxsize=1024)
def number(text: str, how: str) -> Fraction:
    """One number, exact: whole, decimal, fraction or mixed. Raises UnitProblem."""
    words = text.strip()
    if not _WHOLE.fullmatch(words):
        raise UnitProblem(f"{shown(text)} is not a number", how)
    if sum(each.isdigit() for each in words) > MOST_DIGITS:
        raise UnitProblem(f"{shown(text)} is too long a number", how)
    total = Fraction(0)
    for piece in re.split(r"\s*-\s*|\s+", words.replace(",", "")):
        top, slash, bottom = piece.partition("/")
        if slash and int(bottom) == 0:
            raise UnitProblem(f"{shown(text)} divides by zero", how)
        total += Fraction(int(top), int(bottom)) if slash else Fraction(top if top[0] != "." else f"0{top}")
    return total
