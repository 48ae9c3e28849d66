"""A small job for journeys, at a place on earth where the working morning is now."""

from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

NINE = 9
JOB = """\
# kept: a comment of the setter's
[job]
name = "{name}"
zone = "{zone}"
start = {start}
[hours]
days = "mon-sun"
from = "7:00"
to = "15:30"
[[person]]
name = "you"
can = ["all"]
[[person]]
name = "mate"
can = ["all"]
[gear]
mixers = 1
saws = 1
[[room]]
id = "pantry"
size = "6 x 5 ft"
in_from = ["outside"]
  [[room.do]]
  method = "plain-tile-floor"
  tile = "12 x 24 x 3/8 in"
  joint = "1/8 in"
[[room]]
id = "hall"
size = "9 x 4 ft"
in_from = ["outside"]
  [[room.do]]
  method = "plain-tile-floor"
  tile = "12 x 24 x 3/8 in"
  joint = "1/8 in"
"""


def job_where_it_is_nine(folder: Path, name: str) -> Path:
    """A job at a place on earth where it is now between nine and ten in the morning."""
    hour = datetime.now(UTC).hour
    ahead = (NINE - hour + 12) % 24 - 12
    sign = "-" if ahead >= 0 else "+"
    zone = f"Etc/GMT{sign}{abs(ahead)}"
    start = datetime.now(ZoneInfo(zone)).date().isoformat()
    path = folder / "small.toml"
    path.write_text(JOB.format(name=name, zone=zone, start=start), encoding="utf-8")
    return path
