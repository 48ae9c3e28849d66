"""The setter's own label numbers: how they are read, whose number wins, and what is still asked for."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from planning.job.events import Event
from planning.job.job import Job, OwnMaterial
from planning.job.problem import UnreadableError
from planning.job.step import Band
from planning.job.words import WINDOW_NAMES
from planning.schedule.make_plan import make_plan
from planning.trade.expand import expand
from planning.trade.labels import (
    label_words,
    laid_over,
    missing_labels,
    read_label,
    with_kept_labels,
    with_noted_labels,
)
from planning.trade.materials import common_classes, material_classes
from planning.trade.noted import as_noted
from tests.planning.trade.small_jobs import do, job_of, room_of

HOUR = 60


def label(text: str, material: str = "thin-set", seq: int = 1) -> Event:
    return Event(f"e{seq}", "label", datetime(2026, 6, 1, 13, tzinfo=UTC), {"class": material, "value": text}, seq)


def a_floor() -> Job:
    return job_of(room_of(6, 5, do("plain-tile-floor")))


def walk_of(job: Job, material: str = "thin-set") -> int:
    found = material_classes(job)[material].window("walk")
    assert found is not None
    assert found.minimum is not None
    return found.minimum.typical


@pytest.mark.parametrize("window", WINDOW_NAMES)
def test_every_window_a_class_can_have_can_be_noted_by_its_name(window: str) -> None:
    own = read_label("thin-set", f"{window.replace('_', ' ')} 18 h")
    assert own.windows == {window: (Band(18 * HOUR, 18 * HOUR, 18 * HOUR), None)}


def test_water_with_a_measure_of_water_is_mix_water_and_with_a_time_the_shower() -> None:
    own = read_label("thin-set", "water 5 l, water 72 h")
    assert own.water_l == pytest.approx(5.0)
    assert own.windows["water"][0].typical == 72 * HOUR


def test_foot_is_walk_and_recoat_is_the_next_layer_with_both_its_ends() -> None:
    own = read_label("primer", "foot 3 h; recoat 2 h to 24 h")
    assert own.windows["walk"][0].typical == 3 * HOUR
    first, last = own.windows["next_layer"]
    assert (first.typical, last and last.typical) == (2 * HOUR, 24 * HOUR)


@pytest.mark.parametrize("text", ["walk", "wlk 18 h", "walk 18", "walk soon", "18 h", "", "bag 5 h", "walk 18 h,"])
def test_a_label_that_cannot_be_read_says_how_to_write_it(text: str) -> None:
    with pytest.raises(UnreadableError) as wrong:
        read_label("thin-set", text)
    assert "write" in wrong.value.how


def test_what_is_kept_in_the_file_can_be_read_again() -> None:
    words = label_words("foot 18 h, water 5.5 qt, bag 50 lb, yield 0.45 cu ft, next layer 1-1/2 h to 24 h")
    assert words == {"walk": "18 h", "water": "5.5 qt", "bag": "50 lb", "yield": "0.45 cu ft",
                     "next_layer": "1-1/2 h to 24 h"}  # fmt: skip


def test_a_note_outweighs_the_job_file_and_that_the_kept_number_and_that_ours() -> None:
    ours = a_floor()
    kept = {"thin-set": read_label("thin-set", "walk 18 h, grout 20 h")}
    with_kept = with_kept_labels(ours, kept)
    in_file = replace(ours, materials={"thin-set": read_label("thin-set", "walk 19 h")})
    both = with_kept_labels(in_file, kept)
    noted = with_noted_labels(both, [label("walk 30 h")])
    assert walk_of(ours) != 18 * HOUR
    assert [walk_of(each) for each in (with_kept, both, noted)] == [18 * HOUR, 19 * HOUR, 30 * HOUR]
    grout = material_classes(noted)["thin-set"].window("grout")
    assert grout is not None
    assert grout.minimum is not None
    assert grout.minimum.typical == 20 * HOUR


def test_the_last_note_of_a_window_counts_and_leaves_the_other_windows() -> None:
    job = with_noted_labels(a_floor(), [label("walk 18 h, grout 26 h", seq=1), label("walk 20 h", seq=2)])
    assert job.materials["thin-set"].windows["walk"][0].typical == 20 * HOUR
    assert job.materials["thin-set"].windows["grout"][0].typical == 26 * HOUR


def test_an_undone_note_counts_no_more() -> None:
    undone = Event("e2", "undone", datetime(2026, 6, 1, 14, tzinfo=UTC), {"event": "e1"}, 2)
    assert with_noted_labels(a_floor(), [label("walk 18 h"), undone]) == a_floor()


def test_taking_the_notes_in_twice_is_as_once() -> None:
    job = a_floor()
    once, steps = as_noted(job, expand(job).steps, [label("walk 30 h")])
    assert as_noted(once, steps, [label("walk 30 h")]) == (once, steps)


def test_a_longer_label_moves_every_later_window_of_its_class_in_the_plan() -> None:
    job = a_floor()
    now = int(datetime(2026, 6, 1, 12, tzinfo=UTC).timestamp() // 60)
    before = make_plan(job, (), now, improve=False)
    after = make_plan(job, (label("walk 44 h, grout 44 h"),), now, improve=False)
    grout = next(step.id for step in before.steps if step.id.endswith("/grout"))
    set_floor = next(link.id for link in after.step(grout).after if "/set" in link.id)
    assert after.broken == ()
    assert after.step(grout).start - after.step(set_floor).finish >= 44 * HOUR
    assert after.step(grout).start > before.step(grout).start
    said = [step.reason for step in after.steps if "from your label" in step.reason]
    assert said
    assert all("44 h" in each for each in said)


def test_our_numbers_are_asked_for_until_the_setter_said_anything_of_the_label() -> None:
    job = a_floor()
    steps = expand(job).steps
    missing = missing_labels(job, steps)
    asked = {each.material for each in missing}
    assert "thin-set" in asked
    for each in missing:
        window = common_classes()[each.material].window(each.window)
        assert window is not None
        assert each.least is None or window.minimum is None or each.least == window.minimum.typical
    for text in ("ours", "walk 18 h"):
        told = replace(job, materials={"thin-set": read_label("thin-set", text)})
        assert {e.material for e in missing_labels(told, expand(told).steps)} == asked - {"thin-set"}


def test_ours_leaves_every_number_as_it_was() -> None:
    assert read_label("thin-set", " Ours ") == OwnMaterial("thin-set")
    told = replace(a_floor(), materials={"thin-set": OwnMaterial("thin-set")})
    assert material_classes(told) == material_classes(a_floor())


def test_numbers_laid_over_others_keep_what_they_do_not_say() -> None:
    under, over = read_label("thin-set", "walk 18 h, bag 25 kg"), read_label("thin-set", "walk 20 h, water 5 l")
    both = laid_over(under, over)
    assert (both.bag_kg, both.water_l, both.windows["walk"][0].typical) == (25.0, 5.0, 20 * HOUR)
