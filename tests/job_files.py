"""Small job files as text, for tests that begin with a file: the head that they share, and floors to tile."""

STEADY_AIR = """\
  [room.air]
  day = "73 F 50 % floor 73 F"
  night = "73 F 50 % floor 73 F"
"""
"""The same by day and by night, and near the air that waits on labels are given for."""


def head(name: str, zone: str = "America/Denver", start: object = "2026-06-01", days: str = "") -> str:
    """A job, its hours, and its setter. `days`: on which days he works; else the usual ones."""
    works = f'days = "{days}"\n' if days else ""
    return f"""\
[job]
name = "{name}"
zone = "{zone}"
start = {start}
[hours]
{works}from = "7:00"
to = "15:30"
[[person]]
name = "you"
can = ["all"]
"""


def floor(
    room: str, size: str, method: str = "plain-tile-floor", *, in_from: str = "outside", air: str = "",
    tile: str = "12 x 24 x 3/8 in", **measures: str,
) -> str:  # fmt: skip
    """A room whose floor is tiled, with the measures that its method asks for."""
    said = "".join(f'  {key} = "{value}"\n' for key, value in {"tile": tile, **measures}.items())
    return f"""\
[[room]]
id = "{room}"
size = "{size}"
in_from = ["{in_from}"]
{air}  [[room.do]]
  method = "{method}"
{said}"""


ONE_FLOOR = head("one floor") + floor("laundry", "8 x 6 ft")
