"""The time zone that this machine is set to, as a name that a job file may hold."""

import os
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

_LINK = Path("/etc/localtime")
_NAMED = Path("/etc/timezone")
_ZONES = "zoneinfo/"
_PLACES = ("America/", "Europe/", "Australia/", "Pacific/", "Asia/", "Africa/", "Atlantic/")


def zone_here(now: datetime) -> str:
    """The name of this machine's zone, such as America/Denver.

    Where the machine keeps no name, the first place whose clock stands like this one's in January and in July of
    this year; its rules may differ on other days, so the setter is shown the name. "UTC" when there is none.
    """
    known = available_timezones()
    for name in (os.environ.get("TZ", "").removeprefix(":"), _linked(), _named()):
        if name in known:
            return name
    return _like_this_clock(known, now.year)


def _linked() -> str:
    try:
        return os.readlink(_LINK).partition(_ZONES)[2]
    except OSError:
        return ""


def _named() -> str:
    try:
        return _NAMED.read_text("ascii").strip()
    except (OSError, ValueError):
        return ""


def _like_this_clock(known: set[str], year: int) -> str:
    days = [datetime(year, month, 15, 12, tzinfo=UTC) for month in (1, 7)]
    here = [day.astimezone().utcoffset() for day in days]
    listed = sorted(known, key=lambda name: (not name.startswith(_PLACES), name))
    return next(
        (name for name in listed if [day.astimezone(ZoneInfo(name)).utcoffset() for day in days] == here), "UTC"
    )
