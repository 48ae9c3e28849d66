"""Times as typed on the command line, read on the site's wall clock."""

import re
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from planning.job.hours import instant, local
from planning.job.words import Instant
from tui.cli.wrong import WrongUse

HOW = "write it as 7:20, 13:45, 7:20 pm, 2026-06-03 7:20 or 2026-06-03T07:20-06:00"
CLOCK = re.compile(r"(?P<hour>\d{1,2}):(?P<minute>\d\d)\s*(?P<half>am|pm)?", re.IGNORECASE)
DATED = re.compile(r"(?P<day>\d{4}-\d{2}-\d{2})(?:[ T]+(?P<clock>.+))?")

FIRST_YEAR, LAST_YEAR = 2000, 2199


def read_time(text: str, zone: ZoneInfo, now: Instant) -> Instant:
    """The instant that somebody on the site means by `text`; a bare clock time is on the day of `now`.

    Raises WrongUse with the way to write it.
    """
    words = text.strip()
    clock = CLOCK.fullmatch(words)
    if clock is not None:
        return instant(zone, local(zone, now).date(), _clock(clock, text))
    dated = DATED.fullmatch(words)
    if dated is None:
        raise WrongUse(f"{text!r} is not a time; {HOW}")
    day = read_day(dated["day"])
    if dated["clock"] is None:
        return instant(zone, day, time())
    clock = CLOCK.fullmatch(dated["clock"].strip())
    if clock is not None:
        return instant(zone, day, _clock(clock, text))
    try:
        moment = datetime.fromisoformat(words)
    except ValueError:
        raise WrongUse(f"{text!r} is not a time; {HOW}") from None
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=zone)
    return int(moment.astimezone(UTC).timestamp() // 60)


def read_day(text: str) -> date:
    """A date. Raises WrongUse."""
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        raise WrongUse(f"{text!r} is not a date; write it as 2026-06-03") from None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise WrongUse(f"{text!r} is in no year that is planned; write it as 2026-06-03")
    return day


def _clock(found: re.Match[str], text: str) -> time:
    hour, minute, half = int(found["hour"]), int(found["minute"]), (found["half"] or "").lower()
    if half and not 1 <= hour <= 12:
        raise WrongUse(f"{text!r} is not a time; {HOW}")
    hour = hour % 12 + (12 if half == "pm" else 0) if half else hour
    if hour > 23 or minute > 59:
        raise WrongUse(f"{text!r} is not a time; {HOW}")
    return time(hour, minute)
