"""A small job for journeys, at a place on earth where the working morning is now."""

from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from tests.job_files import floor, head

NINE = 9
MATE = """\
[[person]]
name = "mate"
can = ["all"]
[gear]
mixers = 1
saws = 1
"""
TWO_FLOORS = floor("pantry", "6 x 5 ft", joint="1/8 in") + floor("hall", "9 x 4 ft", joint="1/8 in")


def job_where_it_is_nine(folder: Path, name: str, floors: str = TWO_FLOORS) -> Path:
    """A job at a place on earth where it is now between nine and ten in the morning."""
    hour = datetime.now(UTC).hour
    ahead = (NINE - hour + 12) % 24 - 12
    sign = "-" if ahead >= 0 else "+"
    zone = f"Etc/GMT{sign}{abs(ahead)}"
    start = datetime.now(ZoneInfo(zone)).date()
    path = folder / "small.toml"
    text = f"# kept: a comment of the setter's\n{head(name, zone, start, days='mon-sun')}{MATE}{floors}"
    path.write_text(text, encoding="utf-8")
    return path
