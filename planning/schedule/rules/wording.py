"""Times, lengths and step names as the setter reads them in a broken rule."""

from zoneinfo import ZoneInfo

from planning.job.hours import local
from planning.job.words import Instant, Minutes

EVENING = 18
MORNING = 6


def clock(zone: ZoneInfo, at: Instant, beside: Instant | None = None) -> str:
    """`10:05`; on another day than `beside`, `Tue 10:05`; more than six days away (or beside nothing), with the date.

    Twelve hours; am or pm only from 6 pm to 6 am, when nobody would guess.
    """
    moment = local(zone, at)
    hour = moment.hour % 12 or 12
    text = f"{hour}:{moment.minute:02d}"
    if not MORNING <= moment.hour < EVENING:
        text += " am" if moment.hour < 12 else " pm"
    if beside is None:
        return f"{moment:%a} {moment.day} {moment:%b} {text}"
    days = abs((moment.date() - local(zone, beside).date()).days)
    if days == 0:
        return text
    return f"{moment:%a} {text}" if days <= 6 else f"{moment:%a} {moment.day} {moment:%b} {text}"


def length(minutes: Minutes) -> str:
    """`35 min`, `2 h`, `2 h 15`, `3 days`."""
    if abs(minutes) < 60:
        return f"{minutes} min"
    if abs(minutes) >= 48 * 60 and minutes % 1440 == 0:
        return f"{minutes // 1440} days"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest:02d}" if rest else f"{hours} h"
