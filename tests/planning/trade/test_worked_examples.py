"""Worked examples of the trade run the way a setter would: a job file's text, read, made into steps, counted, planned.

Each is named by its source. `calculated`: from the geometry alone. `common practice`: what crews take; no source.
"""

import re
from datetime import date, time

import pytest

from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.step import Step
from planning.quantities.si import CUFT_M3, POUND_KG, SQFT_M2
from planning.records.job_file import read_job_text
from planning.schedule.make_plan import make_plan
from planning.supply.pages import batch_card, batch_steps, helper_slip, pull_page
from planning.supply.pull_list import PullStep, pull_list
from planning.trade.expand import Expansion, expand
from planning.trade.materials import material_classes

GALLON_L = 3.785411784

HEAD = """[job]
name = "worked"
zone = "America/Denver"
start = 2026-06-01
units = "{units}"
[[person]]
name = "you"
can = ["all"]
[[person]]
name = "helper"
can = ["carry", "tear-out", "mix", "prime", "grout"]
[gear]
mixers = 2
[[room]]
id = "room"
size = "{size}"
in_from = ["outside"]
"""

SHOWER = """  [[room.part]]
  id = "shower"
  size = "{shower}"
  in_from = ["floor"]
  [[room.part]]
  id = "floor"
"""


def read(
    work: str, size: str = "10 x 6 ft", shower: str | None = None, units: str = "imperial"
) -> tuple[Job, Expansion]:  # fmt: skip
    """A job of one room with this work, as its file's text says it; it must be free of problems."""
    parts = SHOWER.format(shower=shower) if shower else ""
    text = HEAD.format(units=units, size=size) + parts + "  [[room.do]]\n" + work
    job, problems = read_job_text(text, "worked.toml")
    assert job is not None, problems
    expansion = expand(job)
    assert expansion.problems == ()
    return job, expansion


def used(expansion: Expansion, *keys: str) -> dict[str, float]:
    """Amounts of these steps by class, added up: all steps when no key is given. Bays of a row count as the row."""
    found: dict[str, float] = {}
    for step in expansion.steps:
        if keys and not {step.key, step.bay_of} & set(keys):
            continue
        for amount in step.amounts:
            found[amount.material] = found.get(amount.material, 0.0) + amount.quantity
    return found


@pytest.mark.parametrize(
    ("shower", "drain", "at_drain", "cubic_feet", "steep"),
    [
        ("5 x 3 ft", '"center"', "1-1/4 in", 2.1699, False),
        ("5 x 3 ft", """ "1 ft, 1'-6\\"" """, "1-1/4 in", 2.4525, True),
        ("5 x 3 ft", """ "1'-6\\", 1'-6\\"" """, "1-1/4 in", 2.3558, True),
        ("4 x 4 ft", '"center"', "1-1/4 in", 2.2952, False),
        ("60 x 32 in", '"center"', "1-1/4 in", 1.9136, True),
        ("6 x 4 ft", '"center"', "1-1/4 in", 3.7019, False),
        ("3 x 3 ft", '"center"', "1-1/2 in", 1.3902, False),
    ],
)  # fmt: skip
def test_calculated_a_sloped_bed_takes_its_volume_and_too_steep_a_plane_is_said(
    shower: str, drain: str, at_drain: str, cubic_feet: float, steep: bool
) -> None:
    work = f'  method = "curbless-shower"\n  drain = {drain}\n  mud_at_drain = "{at_drain}"\n'
    _, expansion = read(work, size="10 x 6 ft", shower=shower)
    mud = used(expansion, "float")["float-rapid"]
    assert mud / CUFT_M3 == pytest.approx(cubic_feet, rel=2e-3)
    said = [note for note in expansion.notes if note.what.startswith("room: float")]
    assert bool(said) is steep, "IRC P2709.1: at most 1/2 in per ft"


def test_calculated_the_bed_over_a_liner_is_even_and_its_pre_slope_runs_to_the_weep_holes() -> None:
    work = '  method = "curbed-shower"\n  drain = "center"\n  mud_at_drain = "1-1/4 in"\n'
    _, expansion = read(work, size="5 x 3 ft")
    assert used(expansion, "pre-slope")["deck-mud"] / CUFT_M3 == pytest.approx(1.232, rel=2e-3)
    assert used(expansion, "bed")["deck-mud"] / CUFT_M3 == pytest.approx(1.5625, rel=1e-3)


def test_calculated_a_curb_takes_its_own_liner_tile_and_minutes() -> None:
    def of(curb: str) -> tuple[Expansion, dict[str, Step]]:
        work = f'  method = "curbed-shower"\n  curb = "{curb}"\n  curb_height = "4-1/2 in"\n'
        _, expansion = read(work, size="5 x 3 ft")
        return expansion, {step.key: step for step in expansion.steps}

    short, long = of("3 ft"), of("5 ft")
    faces_sqft = (5 - 3) * 3 * 4.5 / 12
    tile = used(long[0], "curb-tile")["tile-wall"] - used(short[0], "curb-tile")["tile-wall"]
    assert tile / SQFT_M2 == pytest.approx(faces_sqft * 1.1, rel=0.06), "cut and broken tile is in it"
    liner = used(short[0], "liner")["liner-sheet"]
    floor, up, over_curb = 15, 16 * 7.5 / 12, 3 * 9 / 12
    assert liner / SQFT_M2 == pytest.approx(floor + up + over_curb, rel=1e-3)
    assert long[1]["curb"].labour.typical > short[1]["curb"].labour.typical


@pytest.mark.parametrize(("size", "cubic_feet"), [("5 x 3 ft", 1.40625), ("3 x 5 ft", 1.71875)])
def test_calculated_one_plane_to_a_linear_drain(size: str, cubic_feet: float) -> None:
    work = ('  method = "linear-drain-wet-room"\n  mud_at_drain = "3/4 in"\n  slope = "1/4 in per ft"\n'
            '  drain_wall = "far"\n')  # fmt: skip
    _, expansion = read(work, size=size)
    (mud,) = [value for key, value in used(expansion, "plane").items() if "mud" in key or "float" in key]
    assert mud / CUFT_M3 == pytest.approx(cubic_feet, rel=2e-3)


GRID = (
    '  heights = { every = "3 ft", depth = ["1/4 3/8 1/2 5/8 in", "1/8 1/4 1/2 1/2 in", "1/8 1/4 3/8 3/8 in"] }\n'
)  # fmt: skip


def test_calculated_the_borrow_pit_method_counts_the_bags_of_a_leveled_floor() -> None:
    job, expansion = read('  method = "level-and-tile-floor"\n  leveler = "leveler"\n' + GRID, size="9 x 6 ft")
    volume = used(expansion, "pour")["leveler"]
    assert volume / CUFT_M3 == pytest.approx(1.6172, rel=1e-3), "the plain mean says 1.5938"
    assert material_classes(job)["leveler"].packages(volume) == 4


@pytest.mark.parametrize(
    ("size", "depth", "bags"), [("9 x 5 ft", "1/2 in", 5), ("14 x 10 ft", "1/4 in", 8), ("5 x 5 ft", "1/4 in", 2)]
)
def test_calculated_whole_bags_with_ten_percent_waste_and_one_spare(size: str, depth: str, bags: int) -> None:
    job, expansion = read(f'  method = "level-and-tile-floor"\n  leveler = "leveler"\n  depth = "{depth}"\n', size=size)
    plan = make_plan(job, (), instant(job.zone, job.start, time(6)), improve=False)
    items = [item for day in pull_list(plan, job, expansion.steps).days for step in day.steps for item in step.items
             if item.material == "leveler"]  # fmt: skip
    assert sum(item.need for item in items) == bags
    assert sum(item.spare for item in items) >= 1


def test_calculated_grout_of_a_floor_of_large_tile() -> None:
    work = '  method = "plain-tile-floor"\n  tile = "12 x 24 x 3/8 in"\n  joint = "1/8 in"\n'
    job, expansion = read(work, size="10 x 6 ft")
    grout = used(expansion, "grout")["grout-cement"]
    density = 1600 / (110 * POUND_KG / CUFT_M3)
    assert grout / POUND_KG / 60 == pytest.approx(0.0537 * density, rel=0.15), "our powder weighs 1.6 kg a liter"
    assert material_classes(job)["grout-cement"].packages(grout) == 1


def test_calculated_two_coats_of_25_mil_on_a_shower_and_its_walls() -> None:
    work = '  method = "curbless-shower"\n  walls = "88 sq ft"\n  coat = "25 mil"\n'
    job, expansion = read(work, size="12 x 5 ft", shower="5 x 3 ft")
    known = material_classes(job)["membrane-liquid"]
    gallons = used(expansion, "coat-1", "coat-2")["membrane-liquid"] * (1 + known.waste) / GALLON_L
    assert gallons == pytest.approx(3.69, rel=0.02)


def test_metric_words_give_the_same_amounts_and_are_answered_in_metric() -> None:
    imperial = read('  method = "level-and-tile-floor"\n  depth = "1/2 in"\n  tile = "12 x 24 x 3/8 in"\n'
                    '  joint = "1/8 in"\n', size="3000 x 1800 mm")[1]  # fmt: skip
    work = ('  method = "level-and-tile-floor"\n  depth = "12.7 mm"\n  tile = "304.8 x 609.6 x 9.525 mm"\n'
            '  joint = "3.175 mm"\n')  # fmt: skip
    label = '[[material]]\nclass = "leveler"\nbag = "25 kg"\nwater = "6 l"\nyield = "14 l"\n'
    job, metric = read(work + '  leveler = "leveler"\n' + label, size="3 x 1.8 m", units="metric")
    assert used(metric, "set")["tile"] == pytest.approx(used(imperial, "set")["tile"], rel=1e-6)
    volume = used(metric, "pour")["leveler"]
    assert volume == pytest.approx(3 * 1.8 * 0.0127, rel=1e-6)
    assert material_classes(job)["leveler"].packages(volume) == 6, "68.6 l and 10 % more from bags of 14 l"
    pages = pages_of(job, metric)
    assert "25 kg each" in pages
    assert "6 l in each" in pages
    for word in ("lb", "qt", "gal", "F", "ft", "inch"):
        assert not re.search(rf"\d {word}\b", pages), word


def pages_of(job: Job, expansion: Expansion) -> str:
    """Every page that is carried, of every day."""
    now = instant(job.zone, job.start, time(6))
    plan = make_plan(job, (), now, improve=False)
    listed = pull_list(plan, job, expansion.steps)
    found = []
    for day in listed.days:
        found.append(pull_page(day, job, now))
        found += [helper_slip(person.name, day, plan, job, now, expansion.steps) for person in job.people]
        pulled: tuple[PullStep, Step]
        for pulled in batch_steps(expansion.steps, day):
            found.append(batch_card(*pulled, job))
    return "\n".join(found)


@pytest.mark.parametrize("units", ["imperial", "metric"])
def test_every_page_that_is_carried_fits_eighty_columns_and_prints_as_plain_text(units: str) -> None:
    work = '  method = "curbless-shower"\n  walls = "88 sq ft"\n  niches = 1\n'
    pages = pages_of(*read(work, size="12 x 5 ft", shower="5 x 3 ft", units=units))
    assert "BATCH CARD" in pages
    assert max(map(len, pages.splitlines())) <= 80
    assert all(line.isprintable() for line in pages.splitlines())


@pytest.mark.parametrize(
    ("work", "size", "least", "most"),
    [
        ('  method = "plain-tile-floor"\n', "5 x 5 ft", 2, 3),
        ('  method = "level-and-tile-floor"\n  leveler = "leveler-rapid"\n  thin_set = "thin-set-rapid"\n'
         '  grout = "grout-rapid"\n  skip = ["seal"]\n', "5 x 5 ft", 2, 3),
        ('  method = "tub-surround"\n  walls = "60 sq ft"\n', "7 x 5 ft", 4, 7),
    ],
    ids=["powder room, 25 sq ft", "powder room leveled, rapid", "tub surround, 60 sq ft"],
)  # fmt: skip
def test_common_practice_a_room_alone_takes_the_days_that_crews_take(
    work: str, size: str, least: int, most: int
) -> None:  # fmt: skip
    job, _ = read(work, size=size)
    plan = make_plan(job, (), instant(job.zone, job.start, time(6)))
    assert plan.broken == ()
    worked = {local(job.zone, step.start).date() for step in plan.steps}
    assert min(worked) == date(2026, 6, 1)
    assert least <= len([day for day in sorted(worked) if day.weekday() < 5]) <= most
