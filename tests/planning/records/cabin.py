"""A made-up job file that uses every key there is, for the tests of its reader, and the shortest one that reads."""

from collections.abc import Mapping

SHORTEST = """\
[job]
zone = "America/Chicago"
start = 2027-03-01
[[room]]
id = "hall"
size = "9 x 4 ft"
in_from = ["outside"]
[[room.do]]
method = "tile"
"""

CABIN = """\
# a cabin by the lake, two baths and a hall
[job]
name = "lake cabin"
zone = "America/Chicago"
start = 2027-03-01
aim = "margin"
units = "metric"
flood_hold = "15 min"
warm_opens_early = true

[hours]
days = "mon-fri"
from = "7:30"
to = "4 pm"
eat = "12:00 45 min"          # the diner
set_up = "25 min"
clean_up = "30 min"
off = ["2027-03-05"]
other = ["2027-03-06 8:00 to 12:00"]
night = "17:00 to 7:00"

[house]
toilet_nights = ["2027-03-02", "sat-sun"]
quiet = ["13:00 to 14:00"]
no_power = ["2027-03-04 8:00 to 9:00"]
no_water = ["2027-03-04 22:00 to 2:00"]

[gear]
mixers = 2
saws = 1
buckets = 8
heaters = 1
fans = 3
dehumidifiers = 1
payload = "700 kg"

[van]
leveler-standard = "3 bags"
primer = "1/2 pail"

[pace]
set = 1.2

[[person]]
name = "you"
can = ["all"]

[[person]]
name = "Ana Lúcia"
can = ["carry", "mix", "grout"]
days = "mon, wed"
hours = [
  "2027-03-03 7:30 to 12:00",
  "2027-03-08 off",
]
off = ["2027-03-10"]

[[room]]
id = "hall"
size = "9 x 4 ft"
in_from = ["outside"]

  [[room.do]]
  method = "tile"
  tile = "8 x 8 in"

[[room]]
id = "big_bath"
name = "big bath"
size = "3 x 2.4 m"
in_from = ["hall", "outside"]
toilet = true

  [room.air]
  day = "17 C 62 % floor 15 C"
  night = "50 F 70 % floor 48 F"

  [[room.part]]
  id = "shower"
  size = "0.9 x 2.4 m"
  in_from = ["rest"]

  [[room.part]]
  id = "rest"

  [[room.do]]
  method = "shower"
  on = { pan = "shower", floor = "rest" }
  drain = "1'-6\\", 2'-0\\""
  mud_at_drain = "1-1/4 in"
  slope = "1/4 in per ft"
  walls = "8.2 m2"
  niches = 2
  pipe = "ABS 2 in"
  outline = ["0, 0", "3 ft, 0", "3 ft, 5 ft", "0, 5 ft"]
  heights = { every = "2 x 3 ft", depth = ["1/4 3/8 in", "1/8 1/4 in", "0 1/8 in"] }
  trowel = "1/4 x 3/8 in"
  pattern = "half"
  waste = "15 %"
  coat = "25 mil"
  membrane = "membrane-liquid"
  skip = ["seal"]
  after = ["hall/tile/set"]

    [[room.do.change]]
    step = "grout"
    labor = "50 min"
    wait = "30 h"
    within = "3 days"
    crew = ["grout", "carry"]
    title = "grout and wash"

    [[room.do.add]]
    key = "hooks"
    title = "hang the hooks"
    kind = "fit"

[[visit]]
who = "inspector"
room = "big_bath"
sees = "flood"
at = "2027-03-11 9:00"
takes = "40 min"

[[visit]]
who = "The plumber"
room = "big_bath.shower"
between = "2027-03-09 8:00 to 10:30"

[[delivery]]
of = "tile"
room = "hall"
between = "2027-03-02 15:00 to 2027-03-03 9:00"

[[delivery]]
of = "grout"
at = "2027-03-03T09:00-06:00"

[[answer]]
owed_by = "owner"
what = "Grout color?"
room = "hall"
holds = "grout"
by = 2027-03-04 09:00:00

[[errand]]
what = "dump"
takes = "1 h 30"
who = "Ana Lúcia"
brings = { grout = "2 bags" }
before = "hall/grout"

[[promise]]
room = "big_bath"
what = "toilet"
by = "2027-03-12 17:00"

[[material]]
class = "leveler-standard"
bag = "25 kg"
water = "5.2 l"
yield = "0.0132 m3"
pot = "20 min"
work = "12 min"
heal = "10 min"
walk = "3 / 4 / 6 h"
next_layer = "4 h to 24 h"
tile = "16 h"
grout = "24 h"
caulk = "24 h"
flood = "24 h"
water_use = "3 days"
heavy = "72 h"
seal = "48 h"

[[method]]
key = "own-way"
title = "my own way"
"""

METHODS: Mapping[str, frozenset[str]] = {
    "tile": frozenset({"tile", "joint", "grout"}),
    "shower": frozenset(
        (
            "drain", "mud_at_drain", "slope", "walls", "niches", "pipe", "outline", "heights", "trowel", "pattern",
            "waste", "coat", "membrane",
        )
    ),
}  # fmt: skip


def methods() -> Mapping[str, frozenset[str]]:
    """What the two methods of the cabin take."""
    return METHODS
