"""The job file read whole: every key lands where it belongs, defaults fill the rest, mistakes come all at once."""

from datetime import UTC, date, datetime, time
from pathlib import Path

import pytest

from planning.job.hours import instant
from planning.job.job import ClockSpan, Job
from planning.job.people import DayHours
from planning.job.place import LAB_AIR, Air, ways_in
from planning.job.place import doors as open_from
from planning.job.problem import Problem
from planning.job.scope import StepChange
from planning.job.step import Band
from planning.records.job_file import read_job, read_job_bytes, read_job_text
from tests.planning.records.cabin import CABIN, SHORTEST, methods

FOOT, INCH = 0.3048, 0.0254


def read(text: str) -> tuple[Job | None, list[Problem]]:
    return read_job_text(text, "cabin.toml", methods)


def job_of(text: str) -> Job:
    job, problems = read(text)
    assert job is not None, "\n".join(map(str, problems))
    return job


def said(text: str) -> list[str]:
    job, problems = read(text)
    assert job is None
    return [str(problem) for problem in problems]


@pytest.fixture(scope="module")
def cabin() -> Job:
    return job_of(CABIN)


def test_the_job_s_own_keys_are_kept(cabin: Job) -> None:
    assert (cabin.name, cabin.zone.key, cabin.start) == ("lake cabin", "America/Chicago", date(2027, 3, 1))
    assert (cabin.aim, cabin.units, cabin.flood_hold_min, cabin.warm_opens_early) == ("margin", "metric", 15, True)


def test_hours_and_house_rules_are_kept(cabin: Job) -> None:
    hours = cabin.hours
    assert (hours.days, hours.start, hours.finish) == (frozenset(range(5)), time(7, 30), time(16))
    assert (hours.eat_at, hours.eat_min, hours.set_up_min, hours.clean_up_min) == (time(12), 45, 25, 30)
    assert hours.off == {date(2027, 3, 5)}
    assert hours.exceptions == (DayHours(date(2027, 3, 6), time(8), time(12)),)
    assert (hours.night_from, hours.night_to) == (time(17), time(7))
    house = cabin.house
    assert (house.toilet_dates, house.toilet_weekdays) == ({date(2027, 3, 2)}, {5, 6})
    assert house.quiet == (ClockSpan(time(13), time(14)),)
    assert house.no_power == (ClockSpan(time(8), time(9), date(2027, 3, 4)),)
    assert house.no_water == (ClockSpan(time(22), time(2), date(2027, 3, 4)),)


def test_people_gear_and_van_are_kept(cabin: Job) -> None:
    you, ana = cabin.people
    assert (you.name, you.job, you.can, you.days) == ("you", "lake cabin", {"all"}, None)
    assert (ana.name, ana.can, ana.days, ana.off) == (
        "Ana Lúcia",
        {"carry", "mix", "grout"},
        {0, 2},
        {date(2027, 3, 10)},
    )
    assert ana.exceptions == (
        DayHours(date(2027, 3, 3), time(7, 30), time(12)),
        DayHours(date(2027, 3, 8), time(), time()),
    )
    assert cabin.gear.count == {
        "mixers": 2, "saws": 1, "buckets": 8, "heaters": 1, "fans": 3, "dehumidifiers": 1,
    }  # fmt: skip
    assert cabin.gear.payload_kg == 700.0
    assert cabin.van == {"leveler-standard": 3.0, "primer": 0.5}


def test_rooms_parts_and_air_are_kept_in_meters_and_celsius(cabin: Job) -> None:
    hall, bath = cabin.rooms
    assert (hall.name, hall.length_m, hall.width_m) == ("hall", pytest.approx(9 * FOOT), pytest.approx(4 * FOOT))
    assert (hall.air.read, hall.air.day, hall.toilet) == (False, LAB_AIR, False)
    assert (bath.name, bath.toilet, bath.in_from) == ("big bath", True, ("hall", "outside"))
    assert bath.air.day == Air(17.0, 0.62, 15.0)
    assert bath.air.night == Air(10.0, 0.7, pytest.approx((48 - 32) / 1.8))
    shower, rest = bath.parts
    assert (shower.id, shower.length_m, shower.width_m, shower.in_from) == ("shower", 0.9, 2.4, ("rest",))
    assert (shower.area_m2, shower.perimeter_m) == (pytest.approx(2.16), pytest.approx(6.6))
    assert (rest.area_m2, rest.perimeter_m, rest.in_from) == (pytest.approx(5.04), pytest.approx(9.0), ())
    ways = ways_in(open_from(cabin.rooms), "big_bath.shower")
    assert ways == (("big_bath.rest",),)


def test_a_part_without_a_size_is_what_is_left_of_the_room() -> None:
    along = '[[room.part]]\nid = "a"\nsize = "3 x 4 ft"\n[[room.part]]\nid = "b"\n'
    rest = job_of(SHORTEST.replace("[[room.do]]", f"{along}[[room.do]]")).rooms[0].parts[1]
    assert (rest.length_m, rest.width_m) == (pytest.approx(6 * FOOT), pytest.approx(4 * FOOT))
    assert rest.perimeter_m == pytest.approx(20 * FOOT)
    corner = along.replace("3 x 4 ft", "3 x 2 ft")
    rest = job_of(SHORTEST.replace("[[room.do]]", f"{corner}[[room.do]]")).rooms[0].parts[1]
    assert (rest.length_m, rest.width_m) == (None, None)
    assert rest.area_m2 == pytest.approx(30 * FOOT**2)


def test_every_measurement_is_kept_in_si(cabin: Job) -> None:
    scope = cabin.rooms[1].do[0]
    assert scope.on == {"pan": "shower", "floor": "rest"}
    measures = dict(scope.measures)
    assert measures.pop("heights") == pytest.approx(
        [pytest.approx(row) for row in ((INCH / 4, INCH * 3 / 8), (INCH / 8, INCH / 4), (0, INCH / 8))]
    )
    assert measures.pop("outline") == pytest.approx(
        [pytest.approx(corner) for corner in ((0, 0), (3 * FOOT, 0), (3 * FOOT, 5 * FOOT), (0, 5 * FOOT))]
    )
    assert measures == {
        "drain": pytest.approx((18 * INCH, 24 * INCH)),
        "mud_at_drain": pytest.approx(1.25 * INCH),
        "slope": pytest.approx(1 / 48),
        "walls": pytest.approx(8.2),
        "niches": 2,
        "pipe": "abs 2 in",
        "heights_every": pytest.approx((2 * FOOT, 3 * FOOT)),
        "trowel": pytest.approx((INCH / 4, INCH * 3 / 8)),
        "pattern": "half",
        "waste": pytest.approx(0.15),
        "coat": pytest.approx(0.025 * INCH),
        "membrane": "membrane-liquid",
    }
    assert cabin.rooms[0].do[0].measures == {"tile": pytest.approx((8 * INCH, 8 * INCH, 3 / 8 * INCH))}


def test_the_setter_s_own_changes_to_a_method_are_kept(cabin: Job) -> None:
    scope = cabin.rooms[1].do[0]
    assert (scope.skip, scope.after) == (("seal",), ("hall/tile/set",))
    line = CABIN.split("\n").index("    [[room.do.change]]") + 1
    assert scope.change == (StepChange("grout", 50, 1800, 4320, ("grout", "carry"), "grout and wash", line),)
    assert scope.add == ({"key": "hooks", "title": "hang the hooks", "kind": "fit"},)
    assert [method["key"] for method in cabin.own_methods] == ["own-way"]


def utc(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp() // 60)


def test_what_comes_from_outside_is_at_instants_with_ids_that_survive_edits(cabin: Job) -> None:
    inspector, plumber = cabin.visits
    assert (inspector.id, inspector.sees, inspector.takes_min) == ("visit/big_bath/flood", "flood", 40)
    assert inspector.earliest == inspector.latest == utc("2027-03-11 15:00")  # Chicago is 6 h behind
    assert (plumber.id, plumber.room) == ("visit/big_bath.shower/the-plumber", "big_bath.shower")
    assert (plumber.earliest, plumber.latest) == (utc("2027-03-09 14:00"), utc("2027-03-09 16:30"))
    tile, grout = cabin.deliveries
    assert (tile.id, tile.room, tile.earliest, tile.latest) == (
        "delivery/hall/tile", "hall", utc("2027-03-02 21:00"), utc("2027-03-03 15:00"),
    )  # fmt: skip
    assert (grout.id, grout.room, grout.earliest) == ("delivery/grout", None, utc("2027-03-03 15:00"))
    (answer,) = cabin.answers
    assert (answer.id, answer.by, answer.holds) == ("answer/hall/grout-color", utc("2027-03-04 15:00"), "grout")
    (errand,) = cabin.errands
    assert (errand.id, errand.takes_min, errand.who, errand.brings) == ("errand/dump", 90, "Ana Lúcia", {"grout": 2.0})
    assert errand.before == "hall/grout"
    (promise,) = cabin.promises
    assert (promise.room, promise.what, promise.by) == ("big_bath", "toilet", utc("2027-03-12 23:00"))


def test_two_of_the_same_thing_get_two_ids() -> None:
    again = '[[errand]]\nwhat = "dump"\ntakes = "30 min"\nwho = "you"\n'
    ids = [errand.id for errand in job_of(CABIN + again + again).errands]
    assert ids == ["errand/dump", "errand/dump#2", "errand/dump#3"]


def test_the_setter_s_own_label_is_kept(cabin: Job) -> None:
    label = cabin.materials["leveler-standard"]
    assert (label.bag_kg, label.water_l, label.yield_m3) == (25.0, 5.2, 0.0132)
    windows = dict(label.windows)
    assert windows.pop("walk") == (Band(180, 240, 360), None)
    assert windows.pop("next_layer") == (Band(240, 240, 240), Band(1440, 1440, 1440))
    assert {name: first.typical for name, (first, _) in windows.items()} == {
        "pot": 20, "work": 12, "heal": 10, "tile": 960, "grout": 1440, "caulk": 1440, "flood": 1440, "water": 4320,
        "heavy": 4320, "seal": 2880,
    }  # fmt: skip


def test_the_shortest_job_takes_the_usual_for_all_it_leaves_out() -> None:
    job = job_of(SHORTEST)
    assert job.name == "cabin"
    assert [(person.name, person.can) for person in job.people] == [("you", {"all"})]
    assert (job.hours.start, job.hours.finish, job.hours.eat_min) == (time(7), time(15, 30), 30)
    assert (job.aim, job.units, job.flood_hold_min) == ("finish", "imperial", 24 * 60)
    assert job.gear.count == {"mixers": 1, "saws": 1}
    assert not job.rooms[0].air.read


def test_a_wall_time_that_the_clock_change_skips_is_the_one_after_it() -> None:
    visit = '[[visit]]\nwho = "night watch"\nroom = "hall"\nat = "2027-03-14 2:30"\n'
    job = job_of(SHORTEST + visit)
    assert job.visits[0].earliest == instant(job.zone, date(2027, 3, 14), time(3, 30))


def test_five_mistakes_are_named_in_one_go_with_their_lines() -> None:
    wrong = (
        CABIN.replace('size = "9 x 4 ft"', 'siz = "9 x 4 ft"')
        .replace('eat = "12:00 45 min"', 'eat = "noon"')
        .replace('walls = "8.2 m2"', 'walls = "8.2"')
        .replace('who = "Ana Lúcia"', 'who = "Ana Lucia"')
        .replace("niches = 2", "niches = two")
    )
    wrong_lines = [
        n
        for n, each in enumerate(wrong.split("\n"), 1)
        if any(text in each for text in ("noon", "siz =", "niches = two", '"8.2"', "Ana Lucia"))
    ]
    said_lines = said(wrong)
    assert [int(text.split(":")[1]) for text in said_lines] == wrong_lines
    assert any('unknown key "siz"; write size; the keys here are id, name, size' in text for text in said_lines)
    assert any('walls: "8.2" has no unit; write walls = "88 sq ft"' in text for text in said_lines)
    assert any('there is no person "Ana Lucia"; write "Ana Lúcia"' in text for text in said_lines)


ROOM = '[[room]]\nid = "den"\nsize = "9 x 4 ft"\nin_from = ["{}"]\n'


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("", 1, "there is no [job]"),
        (
            SHORTEST.replace("Chicago", "Chicagoo"),
            2,
            'there is no time zone "America/Chicagoo"; write "America/Chicago"',
        ),
        (SHORTEST.replace('zone = "America/Chicago"\n', ""), 1, '[job] has no zone; write zone = "America/Denver"'),
        (SHORTEST.replace("2027-03-01", '"3/1/2027"'), 3, '"3/1/2027" is not a date; write it as "2026-06-03"'),
        (SHORTEST.replace("2027-03-01", "2027-02-30"), 3, "there is no such date"),
        (SHORTEST + ROOM.format("hal"), 13, 'there is no room "hal"; write "hall"'),
        (SHORTEST + ROOM.format("den"), 13, "den is entered from itself"),
        (SHORTEST.replace('["outside"]', '["den"]') + ROOM.format("hall"), 7, "hall cannot be reached from outside"),
        (SHORTEST.replace('["outside"]', "[]"), 7, "hall has no way in"),
        (SHORTEST + ROOM.format("outside").replace("den", "hall"), 11, 'room "hall" stands twice; line 5 has it'),
        (SHORTEST.replace('"hall"', '"the hall"'), 5, '"the hall" is not a simple id'),
        (SHORTEST.replace('"hall"', '"../../x"'), 5, '"../../x" is not a simple id'),
        (SHORTEST.replace('"hall"', '"outside"'), 5, 'no room may be called "outside"'),
        (
            SHORTEST.replace('"tile"', '"tiel"'),
            9,
            'there is no method "tiel"; write "tile"; the methods are shower, tile',
        ),
        (SHORTEST + "walls = '9 m2'\n", 10, 'tile has no use for "walls"; take it out; it takes grout, joint, tile'),
        (SHORTEST + "jont = '1/8 in'\n", 10, 'unknown key "jont"; write joint'),
        (SHORTEST + "on = { floor = 'north' }\n", 10, 'hall has no part "north"'),
        (SHORTEST + "on = 'north'\n", 10, 'on is not a table; write on = { floor = "north" }'),
        (SHORTEST + "hours = 'long'\n".join(["", ""]), 10, 'unknown key "hours"'),
        ("hours = 'long'\n" + SHORTEST, 1, "hours is not a table; write [hours]"),
        (SHORTEST + "after = ['dem/tile/set']\n", 10, '"dem/tile/set" begins with nothing that is here'),
        (SHORTEST + "[[person]]\nname = 'Bo'\n", 10, 'person "Bo" has no can; write can = ["all"]'),
        (SHORTEST + "[[person]]\nname = 'Bo'\ncan = []\n", 12, "a person without a skill"),
        (SHORTEST + "[[person]]\nname = 'Bo'\ncan = ['til']\n", 12, '"til" is not one of prep, tear-out'),
        (SHORTEST + "[hours]\nto = '6:00'\n", 11, "the day ends before it begins"),
        (SHORTEST + "[hours]\nto = '7:45'\n", 11, "leave no time for work"),
        (SHORTEST + "[house]\nquiet = ['12:00']\n", 11, '"12:00" is not a span'),
        (SHORTEST + "[[visit]]\nwho = 'x'\nroom = 'hall'\n", 10, "it has no time; write at ="),
        (
            SHORTEST + "[[visit]]\nwho = 'x'\nroom = 'hall'\nbetween = '2027-03-04 9:00 to 8:00'\n",
            13,
            "ends before it begins",
        ),
        (SHORTEST + "[[visit]]\nwho = 'x'\nroom = 'hall'\nat = '2027-02-04 9:00'\n", 13, "at is before the job starts"),
        (SHORTEST + "[[promise]]\nroom = 'hall'\nwhat = 'toilet'\nby = '2027-04-01 9:00'\n", 12, "hall has no toilet"),
        (SHORTEST + "[[visits]]\nwho = 'x'\n", 10, 'unknown table "visits"; write visit; the tables of a job file are'),
        (
            SHORTEST + "[visit]\nwho = 'x'\n",
            10,
            "visit is not a list; write [[visit]] with two brackets, once for each",
        ),
        (
            SHORTEST.replace('"9 x 4 ft"', '"5 x 5 ft"') + "[[room.part]]\nid = 'p'\nsize = '6 x 5 ft'\n",
            6,
            "the parts of hall are",
        ),
        (
            SHORTEST + "[[room.part]]\nid = 'p'\nsize = '9 x 4 ft'\n[[room.part]]\nid = 'q'\n",
            13,
            "nothing is left of hall for q",
        ),
        (SHORTEST + "[[room.part]]\nid = 'p'\n[[room.part]]\nid = 'q'\n", 12, "two parts of hall have no size"),
        (SHORTEST + "[[room.part]]\nid = 'hall'\nsize = '1 x 1 ft'\n", 11, 'part "hall" is called like a room'),
        (SHORTEST + "[[room.do.change]]\nstep = 'a'\n[[room.do.change]]\nstep = 'a'\n", 12, "is changed twice"),
        (
            SHORTEST + "joint = 1/8 in\n",
            10,
            'put words in double quotes; inside them write an inch mark as \\" or write',
        ),
        (SHORTEST + 'joint = "1/8"\n', 10, 'joint: "1/8" has no unit; write joint = "1/8 in"'),
        (SHORTEST + 'grout = "x\n', 10, "a text is not closed on its line"),
        (SHORTEST + "method = 'tile'\n", 10, "this key stands twice in its table"),
        (SHORTEST + "[job]\n", 10, "this table stands twice"),
        (SHORTEST + "[[visit\n", 10, "the table's name is not closed; write [[name]]"),
        (SHORTEST + "after = [\n'set',\n", 10, "a list, a table or a text is never closed; write ], }"),
        (SHORTEST + 'grout = """x\n', 10, "a list, a table or a text is never closed"),
        (SHORTEST + "joint = " + "9" * 5000 + "\n", 10, "a number is far too long"),
        (SHORTEST + "joint = " + "[" * 5000 + "\n", 10, "without end"),
        (SHORTEST + ".".join(["a"] * 200) + " = 1\n", 10, "without end"),
        (SHORTEST.replace('"hall"', '"ha\\u001b[2Jll"'), 5, "\\u001b[2Jll"),
        (SHORTEST + '[[person]]\nname = "Bo\\u202e"\ncan = ["all"]\n', 11, "holds a sign that cannot be shown"),
        (SHORTEST + '"\\u001b" = 1\n', 10, 'the key "\\u001b" holds a sign that cannot be shown'),
    ],
)
def test_a_mistake_is_said_with_its_line_and_the_right_way(text: str, line: int, says: str) -> None:
    found = [text for text in said(text) if says in text]
    assert found, said(text)
    assert found[0].startswith(f"cabin.toml:{line}: ")
    assert "; " in found[0]
    assert found[0].isprintable()


def test_one_mistake_makes_one_problem() -> None:
    for text in (
        SHORTEST.replace("size", "sise"),
        SHORTEST.replace('"9 x 4 ft"', '"9"'),
        SHORTEST.replace('"hall"', '"the hall"'),
        CABIN.replace('size = "9 x 4 ft"', ""),
        CABIN.replace('name = "Ana Lúcia"', 'name = "Ana Lúcia"\nage = 3'),
        CABIN.replace('in_from = ["hall", "outside"]', "in_from = 3"),
    ):
        lines = said(text)
        assert len(lines) == 1, lines


@pytest.mark.parametrize("table", ["job", "hours", "house", "gear"])
def test_the_right_keys_of_a_table_are_listed_for_a_wrong_one(table: str) -> None:
    own = SHORTEST.replace("[job]", "[job]\nzzz = 1") if table == "job" else f"{SHORTEST}[{table}]\nzzz = 1\n"
    (line,) = said(own)
    assert f'[{table}]: unknown key "zzz"; the keys here are ' in line


def test_a_file_that_is_no_text_or_too_large_or_not_there_is_one_line(tmp_path: Path) -> None:
    job, problems = read_job_bytes(b"[job]\nname = '\xff'\n", "x.toml", methods)
    assert (job, str(problems[0])) == (None, "x.toml:2: here is a sign that is not UTF-8; save the file as UTF-8 text")
    job, problems = read_job_bytes(b"#" * 1_000_001, "x.toml", methods)
    assert (job, len(problems)) == (None, 1)
    assert "larger than 1 MB" in str(problems[0])
    for path in (tmp_path / "none.toml", tmp_path):
        job, problems = read_job(path, methods)
        assert (job, len(problems), problems[0].line) == (None, 1, 1)


def test_a_file_saved_by_another_editor_reads_the_same(tmp_path: Path) -> None:
    path = tmp_path / "cabin.toml"
    path.write_bytes(b"\xef\xbb\xbf" + CABIN.replace("\n", "\r\n").encode())
    job, problems = read_job(path, methods)
    assert (problems, job) == ([], job_of(CABIN))
