"""Dates, clock times and spans as a job file writes them, read with dateutil; wall clock of the site, no zone yet.

Every function takes a value as TOML gave it (text, or TOML's own date and time) and raises UnreadableError.
"""

import re
from collections.abc import Sequence
from datetime import date, datetime, time
from functools import lru_cache
from itertools import pairwise

from dateutil import parser

from planning.job.job import ClockSpan
from planning.job.people import WEEK, DayHours
from planning.job.problem import UnreadableError
from planning.quantities.number_words import shown
from planning.quantities.units import minutes

FIRST_YEAR, LAST_YEAR = 2000, 2100

DAY_HOW = 'write it as "2026-06-03"'
CLOCK_HOW = 'write it as "7:00", "15:30" or "3:30 pm"'
SPAN_HOW = 'write it as "18:00 to 6:00"'
MOMENT_HOW = 'write it as "2026-06-11 9:00"'
MOMENTS_HOW = 'write it as "2026-06-04 8:00 to 10:00"'
DAYS_HOW = 'write it as "mon-fri" or "mon, wed, fri"'

_DAY = r"\d{4}-\d{1,2}-\d{1,2}"
_CLOCK = r"\d{1,2}(?::\d{2})?\s*(?:am|pm)?"
_NOWHEN = datetime.combine(date(2000, 1, 1), time())


def _text(value: object, how: str) -> str:
    if not isinstance(value, str) or not value.strip() or len(value) > 100:
        raise UnreadableError(f"{shown(value)} is not clear", how)
    return " ".join(value.lower().split())


@lru_cache(maxsize=1024)
def _parsed(words: str, value: object, how: str) -> datetime:
    try:
        moment = parser.parse(words, default=_NOWHEN, dayfirst=False, yearfirst=True)
    except (ValueError, OverflowError) as wrong:
        raise UnreadableError(f"{shown(value)} does not exist", how) from wrong
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise UnreadableError(f"{shown(value)} is not between {FIRST_YEAR} and {LAST_YEAR}", how)
    return moment


def day(value: object, how: str = DAY_HOW) -> date:
    """A date, year first."""
    if isinstance(value, date) and not isinstance(value, datetime):
        value = value.isoformat()
    words = _text(value, how)
    if not re.fullmatch(_DAY, words):
        raise UnreadableError(f"{shown(value)} is not a date", how)
    return _parsed(words, value, how).date()


def clock(value: object, how: str = CLOCK_HOW) -> time:
    """A clock time, 24 hours or with am and pm."""
    if isinstance(value, time):
        return value.replace(second=0, microsecond=0)
    words = _text(value, how)
    if not re.fullmatch(_CLOCK, words):
        raise UnreadableError(f"{shown(value)} is not a clock time", how)
    half = words.endswith("m")
    if half and not 1 <= int(words.partition(":")[0].rstrip("amp ")) <= 12:
        raise UnreadableError(f"{shown(value)} does not exist", how)
    return _parsed(words if ":" in words or half else f"{words}:00", value, how).time()


def clocks(value: object, how: str = SPAN_HOW) -> tuple[time, time]:
    """A span of clock times; over midnight when the second is not after the first."""
    first, to, second = _text(value, how).partition(" to ")
    if not to:
        raise UnreadableError(f"{shown(value)} is not a span", how)
    start, finish = clock(first, how), clock(second, how)
    if start == finish:
        raise UnreadableError(f"{shown(value)} begins when it ends", how)
    return start, finish


def meal(value: object, how: str = 'write it as "12:00 30 min" or "none"') -> tuple[time | None, int]:
    """When they eat and for how many minutes; "none" for no meal."""
    words = _text(value, how)
    if words == "none":
        return None, 0
    matched = re.fullmatch(rf"({_CLOCK})(?:\s+for)?\s+(.*)", words)
    if not matched:
        raise UnreadableError(f"{shown(value)} is not a clock time and a length", how)
    length = minutes(matched[2], how)
    if length > 180:
        raise UnreadableError(f"{shown(value)} is too long a meal", how)
    return clock(matched[1], how), length


def days(value: object, how: str = DAYS_HOW) -> frozenset[int]:
    """Days of the week, 0 for Monday: "mon-fri", "mon, wed", ["mon", "tue"] or "every day"."""
    if isinstance(value, list):
        return frozenset(each for item in value for each in days(item, how))
    words = _text(value, how)
    if words in ("every day", "all"):
        return frozenset(range(7))
    found: set[int] = set()
    for piece in re.split(r"\s*(?:,|\band\b)\s*", words):
        first, dash, last = (part.strip() for part in re.sub(r"\s+to\s+", "-", piece).partition("-"))
        begin = _weekday(first, value, how)
        end = _weekday(last, value, how) if dash else begin
        found.update((begin + n) % 7 for n in range((end - begin) % 7 + 1))
    return frozenset(found)


def _weekday(word: str, value: object, how: str) -> int:
    names = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    for n, name in enumerate(names):
        if word in (WEEK[n], name) or (len(word) > 3 and name.startswith(word)):
            return n
    raise UnreadableError(f"{shown(value)} is not a day of the week", how)


def moment(value: object, how: str = MOMENT_HOW) -> datetime:
    """A date with a clock time. Without an offset it is the site's wall clock (naive)."""
    if isinstance(value, datetime):
        return value.replace(second=0, microsecond=0)
    words = _text(value, how)
    if re.fullmatch(rf"{_DAY}[ t]\d{{1,2}}:\d{{2}}(?::\d{{2}})?(?:\.\d+)?(?:z|[+-]\d{{2}}:?\d{{2}})", words):
        return _parsed(words, value, how).replace(second=0, microsecond=0)
    matched = re.fullmatch(rf"({_DAY})[ t]+({_CLOCK})", words)
    if not matched:
        raise UnreadableError(f"{shown(value)} is not a date and a clock time", how)
    return datetime.combine(day(matched[1], how), clock(matched[2], how))


def moments(value: object, how: str = MOMENTS_HOW) -> tuple[datetime, datetime]:
    """A span of one day or more: the second date may be left out when it is the same."""
    first, to, second = _text(value, how).partition(" to ")
    if not to:
        raise UnreadableError(f"{shown(value)} is not a span", how)
    start = moment(first, how)
    finish = moment(second if re.match(_DAY, second) else f"{start.date().isoformat()} {second}", how)
    if (start.tzinfo is None) != (finish.tzinfo is None):
        raise UnreadableError(f"{shown(value)} has an offset on one side only", how)
    if finish <= start:
        raise UnreadableError(f"{shown(value)} ends before it begins", how)
    return start, finish


def clock_span(value: object, how: str = 'write it as "12:00 to 13:00", or "2026-06-03 8:00 to 9:00"') -> ClockSpan:
    """A span each day, or on one date when a date stands before it."""
    words = _text(value, how)
    matched = re.fullmatch(rf"({_DAY}) (.*)", words)
    start, finish = clocks(matched[2] if matched else words, how)
    return ClockSpan(start, finish, day(matched[1], how) if matched else None)


def day_hours(value: object, how: str = 'write it as "2026-06-03 7:00 to 12:00", or "2026-06-03 off"') -> DayHours:
    """Hours on one date; "off" is a day of none (equal times)."""
    words = _text(value, how)
    matched = re.fullmatch(rf"({_DAY}) (.*)", words)
    if not matched:
        raise UnreadableError(f"{shown(value)} is not a date with hours", how)
    when = day(matched[1], how)
    if matched[2] == "off":
        return DayHours(when, time(), time())
    start, finish = clocks(matched[2], how)
    if finish < start:
        raise UnreadableError(f"{shown(value)} ends before it begins", how)
    return DayHours(when, start, finish)


def nights(value: object, how: str = 'write ["2026-06-01"] or "mon-fri"') -> tuple[frozenset[date], frozenset[int]]:
    """Nights by date and by day of the week, mixed as one likes."""
    dates: set[date] = set()
    weekdays: set[int] = set()
    for item in value if isinstance(value, list) else [value]:
        if isinstance(item, date) or (isinstance(item, str) and re.match(r"\s*\d", item)):
            dates.add(day(item, how))
        else:
            weekdays |= days(item, how)
    return frozenset(dates), frozenset(weekdays)


def overlap(spans: Sequence[DayHours]) -> date | None:
    """A date that stands twice in a list of hours by date, or None."""
    listed = sorted(span.day for span in spans)
    return next((sooner for sooner, later in pairwise(listed) if sooner == later), None)
