"""Pours that one crew cannot land while they flow are dammed into bays: sizes, links, amounts, names, notes.

3.5 min a bag with a helper and 5 alone, flow 15 min (rapid 10), a walk-on of 4 h and a primer window of 24 h are common
practice, no source; how many bags that is, is counted by hand here. Heat: ASTM C1074, 5000 K, calculated.
"""

from dataclasses import replace
from datetime import time
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.job.events import Event
from planning.job.hours import instant
from planning.job.job import Answer, Errand, Job, OwnMaterial
from planning.job.people import Gear
from planning.job.place import Air, RoomAir
from planning.job.scope import StepChange
from planning.job.step import Step
from planning.quantities.crew import Site, pour_crew
from planning.schedule.make_plan import make_plan
from planning.schedule.no_plan import NoPlan
from planning.trade.bays import MOST_LETTERS, bay_title
from planning.trade.expand import expand, find_steps
from planning.trade.materials import common_classes
from planning.trade.noted import noted_job
from tests.by_hand import noted
from tests.planning.trade.small_jobs import FOOT, INCH, SQFT, do, job_of, poured, room_of

LEVELER = common_classes()["leveler"]
FLOOR = "level-and-tile-floor"


def hall(feet: float, depth_in: float, **more: object) -> Job:
    """A square hall with a pour, alone unless helpers are asked for."""
    measures = more.pop("measures", {})
    scope = do(FLOOR, {"depth": depth_in * INCH, **measures}, **more.pop("scope", {}))  # type: ignore[dict-item, arg-type]
    return job_of(room_of(feet, feet, scope), **more)  # type: ignore[arg-type]  # fields of Job by name


def steps_of_job(job: Job) -> dict[str, Step]:
    """Steps by key."""
    expansion = expand(job)
    assert expansion.problems == ()
    return {step.key: step for step in expansion.steps}


def bags(step: Step) -> int:
    return sum(LEVELER.packages(amount.quantity) for amount in step.amounts if amount.material.startswith("leveler"))


def links(step: Step) -> set[str]:
    return {link.step.rpartition("/")[2] for link in step.after}


def test_what_fits_is_poured_in_one_go_and_has_the_names_it_always_had() -> None:
    """8 x 8 ft at 1/4 in: 1.33 cu ft, with 10 % waste 3.3 bags: 4, which two people land in 14 of 15 min."""
    steps = steps_of_job(hall(8, 0.25, helper=True))
    assert bags(steps["pour"]) == 4
    assert not {"pour-1", "prime-2", "pour-dams"} & steps.keys()


def test_alone_the_same_floor_is_two_bays_of_two_bags_each_with_its_own_primer() -> None:
    """5 min a bag alone: 3 bags in 15 min at most, so 4 bags are 2 and 2."""
    steps = steps_of_job(hall(8, 0.25))
    assert [bags(bay) for bay in poured(steps)] == [2, 2]
    assert [step.key for step in poured(steps, "prime")] == ["prime", "prime-2"]
    assert links(steps["pour-1"]) == {"prime"}
    assert links(steps["prime"]) == {"heights", "pour-dams"}
    assert links(steps["prime-2"]) == {"pour-1"}
    assert links(steps["pour-2"]) == {"prime-2", "pour-1"}
    (walk,) = [link.wait for link in steps["prime-2"].after]
    assert walk is not None
    assert (walk.window, walk.label.typical) == ("walk", 240)
    primer = next(link for link in steps["pour-2"].after if link.step.endswith("prime-2"))
    assert primer.wait is not None
    assert primer.within is not None
    assert (primer.wait.label.typical, primer.within.label.typical) == (60, 24 * 60)


def test_what_came_after_the_pour_comes_after_every_bay() -> None:
    steps = steps_of_job(hall(8, 0.25))
    assert {"pour-1", "pour-2"} <= links(steps["flat"])
    assert {"pour-1", "pour-2"} <= links(steps["set"])
    assert all(
        link.wait is not None and link.wait.window == "tile" for link in steps["set"].after if "pour" in link.step
    )


@settings(deadline=None, max_examples=25)
@given(feet=st.integers(4, 30), depth=st.sampled_from([0.125, 0.25, 0.5, 1.0]), helpers=st.integers(0, 4))
def test_bays_take_the_bags_of_the_whole_and_each_lands_in_its_flow(feet: int, depth: float, helpers: int) -> None:
    steps = steps_of_job(hall(feet, depth, helpers=helpers))
    bays = poured(steps)
    volume = sum(amount.quantity for bay in bays for amount in bay.amounts)
    assert volume == pytest.approx((feet * FOOT) ** 2 * depth * INCH)
    assert sum(map(bags, bays)) == LEVELER.packages(volume)
    assert max(map(bags, bays)) - min(map(bags, bays)) <= 1
    for bay in bays:
        site = Site(len(bay.crew), bay.gear["mixers"])
        assert site.people <= helpers + 1
        assert pour_crew(bags(bay), site, 15).fits
        assert sum(batch.bags for batch in bay.batches) == bags(bay)
        assert max(batch.lands_min for batch in bay.batches) <= 15
    primer = [
        amount.quantity for step in poured(steps, "prime") for amount in step.amounts if amount.material == "primer"
    ]
    assert sum(primer) == pytest.approx((feet * FOOT) ** 2 * LITERS_A_M2)


LITERS_A_M2 = 0.004 * 3.785411784 / SQFT
"""Of primer: 0.004 gal a sq ft (common practice, no source)."""


def test_more_people_and_mixers_at_the_job_are_used_before_it_is_dammed() -> None:
    """10 x 12 ft at 1/4 in is 7 bags: 24.5 min for one mixer, 4 turns of 3.5 = 14 for two."""
    room = room_of(12, 10, do(FLOOR, {"depth": INCH / 4}))
    three = steps_of_job(job_of(room, helpers=2))["pour"]
    assert (three.crew, dict(three.gear)) == (("pour", "mix", "mix"), {"mixers": 2})
    assert [(each.mixer, each.begins_min, each.lands_min) for each in three.batches[:3]] == [
        (1, 0, 4), (2, 0, 4), (1, 4, 7),
    ]  # fmt: skip
    one_mixer = replace(job_of(room, helpers=2), gear=Gear({"mixers": 1, "saws": 1}))
    assert len(poured(steps_of_job(one_mixer))) == 2


def test_people_who_are_never_there_together_do_not_count_as_one_crew() -> None:
    room = room_of(12, 10, do(FLOOR, {"depth": INCH / 4}))
    job = job_of(room, helpers=2)
    days = (None, frozenset((0, 1)), frozenset((2, 3)))
    apart = replace(job, people=tuple(replace(one, days=each) for one, each in zip(job.people, days, strict=True)))
    bays = poured(steps_of_job(apart))
    assert len(bays) == 2
    assert {bay.crew for bay in bays} == {("pour", "mix")}


def test_a_hot_room_makes_more_and_smaller_bays() -> None:
    """At 30 C the flow of 15 min is 10 (x 0.677): two people land 2 bags, not 4."""
    air = Air(30.0, 0.5, 30.0)
    room = replace(room_of(8, 8, do(FLOOR, {"depth": INCH / 4})), air=RoomAir(air, air, read=True))
    assert [bags(bay) for bay in poured(steps_of_job(job_of(room, helper=True)))] == [2, 2]


def test_his_own_label_of_a_longer_working_time_makes_one_pour_of_it() -> None:
    job = hall(8, 0.25)
    twenty = replace(common_classes()["leveler"].windows["work"].maximum, low=20, typical=20, high=20)  # type: ignore[type-var]
    own = OwnMaterial("leveler", windows={"work": (twenty, None)})
    assert "pour" in steps_of_job(replace(job, materials={"leveler": own}))


def test_the_setter_may_ask_for_more_bays_or_for_none() -> None:
    asked = poured(steps_of_job(hall(8, 0.25, helper=True, measures={"bays": 3})))
    assert [bags(bay) for bay in asked] == [2, 1, 1]
    assert "pour" in steps_of_job(hall(8, 0.25, measures={"bays": 1}))


def test_the_note_says_why_and_what_else_would_do() -> None:
    """10 x 10 ft at 1/4 in is 6 bags."""
    (note,) = expand(hall(10, 0.25, helper=True)).notes
    assert "6 bags take 21 min and flow 15 min, so it is dammed into 2 bays of 3 bags" in note.what
    assert "bring 1 more person and 1 more mixer" in note.how
    rapid = expand(hall(8, 0.25, helper=True, measures={"leveler": "leveler-rapid"})).notes
    assert "take the slower class: it flows 15 min" in rapid[0].how
    assert expand(hall(8, 0.25, helper=True)).notes == ()


def test_a_pour_kept_whole_against_its_time_is_noted_with_what_to_write() -> None:
    (note,) = expand(hall(10, 0.25, helper=True, measures={"bays": 1})).notes
    assert "write bays = 2" in note.how


def test_the_key_of_the_pour_names_every_bay() -> None:
    job = hall(8, 0.25)
    steps = expand(job).steps
    for ref in ("pour", "room/pour", f"{FLOOR}/pour"):
        assert [step.key for step in find_steps(steps, "room", ref)] == ["pour-1", "pour-2"]
    assert [step.key for step in find_steps(steps, "room", "pour-2")] == ["pour-2"]
    more = replace(
        job,
        answers=(Answer("a", "owner", "how high", "room", "pour", instant(job.zone, job.start, time(9))),),
        errands=(Errand("e", "store", 30, "you", before="room/pour"),),
    )
    assert expand(more).problems == ()
    clean = make_plan(more, (), instant(job.zone, job.start, time(6)))
    first = min(step.start for step in clean.steps if step.id.endswith("/pour-1"))
    drive = next(step for step in clean.steps if step.id == "e")
    assert drive.finish <= first
    assert clean.broken == ()


def test_rows_of_his_own_skips_and_changes_speak_of_the_whole_pour() -> None:
    mat = {"step": "heat-mat", "labor": "60 min", "after": ["pour"], "before": "flat"}
    with_mat = steps_of_job(hall(8, 0.25, scope={"add": (mat,)}))
    assert links(with_mat["heat-mat"]) == {"pour-1", "pour-2"}
    skipped = steps_of_job(hall(8, 0.25, scope={"skip": ("pour",)}))
    assert not poured(skipped)
    slow = steps_of_job(hall(8, 0.25, scope={"change": (StepChange("pour", labor_min=80),)}))
    assert [bay.labour.typical for bay in poured(slow)] == [40, 40]


def test_work_between_primer_and_pour_has_the_whole_floor_primed_first() -> None:
    mat = {"step": "heat-mat", "labor": "60 min", "after": ["prime"], "before": "pour"}
    steps = steps_of_job(hall(8, 0.25, scope={"add": (mat,)}))
    whole = steps_of_job(hall(8, 0.25, helper=True))["prime"]
    assert steps["prime"].amounts == whole.amounts
    assert "heat-mat" in links(steps["pour-1"])


def test_a_step_of_his_own_called_like_a_bay_is_a_problem_and_no_muddle() -> None:
    twin = {"step": "pour-2", "labor": "60 min", "after": ["flat"]}
    (problem,) = expand(hall(8, 0.25, scope={"add": (twin,)})).problems
    assert "pour-2" in problem.what


@pytest.mark.parametrize(("title", "count"), [("pour", 3), ("pour", 41), ("prime", 3), ("prime", 12), ("float", 2)])
def test_the_title_of_a_bay_fits_a_screen(title: str, count: int) -> None:
    said = [bay_title(title, n + 1, count) for n in range(count)]
    assert max(map(len, said)) <= MOST_LETTERS
    assert len(set(said)) == count
    assert bay_title("pour", 1, 3) == "pour bay 1 of 3"


def test_a_float_longer_than_any_stretch_of_work_is_cut_into_bays_too() -> None:
    """A drain pan of 60 sq ft at 9 min a sq ft is 540 min; from 7:20 to the meal are 280."""
    room = room_of(10, 6, do("curbless-shower"), name="wet")
    steps = {step.key: step for step in expand(job_of(room, helper=True)).steps}
    bays = poured(steps, "float")
    assert len(bays) >= 2
    assert max(bay.labour.typical for bay in bays) <= 280
    assert links(bays[1]) >= {bays[0].key}


def begun(job: Job, at: int, key: str) -> Event:
    return noted("finished", at, step=f"room/{FLOOR}/{key}")


def test_a_third_person_who_comes_later_does_not_have_the_poured_bay_poured_again() -> None:
    job = replace(hall(10, 0.25, helper=True), gear=Gear({"mixers": 2, "saws": 1}))
    at = instant(job.zone, job.start, time(9))
    came = noted("came", at + 60, who="cousin", can=["all"])
    more = noted("stay_until", at + 60, who="cousin", **{"from": at + 60}, until=at + 10 * 60)
    swapped = noted("class_swapped", at + 90, **{"class": "leveler"}, value="leveler-rapid", room="room")
    poured_one = begun(job, at, "pour-1")
    before = [step.id for step in expand(noted_job(job, [poured_one])).steps]
    after = [step.id for step in expand(noted_job(job, [poured_one, came, more, swapped])).steps]
    assert before == after
    assert noted_job(noted_job(job, [poured_one]), [poured_one]) == noted_job(job, [poured_one])
    assert [step.id for step in expand(noted_job(job, [came, more, swapped])).steps] != before


def test_a_third_mixer_written_into_the_file_leaves_the_bays_of_the_plan_that_was_taken() -> None:
    job = hall(10, 0.25, helpers=2)
    assert "pour" in steps_of_job(job), "three with two mixers pour it in one go"
    at = instant(job.zone, job.start, time(9))
    times = {"start": at, "finish": at + 30, "people": ["you"]}
    plan = noted("plan_accepted", at - 60, steps={f"room/{FLOOR}/pour-{n}": times for n in (1, 2)}, finish=at + 600)
    steps = expand(noted_job(job, [plan, begun(job, at, "pour-1")])).steps
    assert [step.key for step in steps if step.kind == "pour"] == ["pour-1", "pour-2"]


@pytest.mark.parametrize("helpers", [0, 1, 2])
def test_a_floor_in_bays_is_planned_and_keeps_every_rule(helpers: int) -> None:
    job = hall(12, 0.25, helpers=helpers)
    plan = make_plan(job, (), instant(job.zone, job.start, time(6)))
    assert plan.broken == ()
    laid = [step for step in plan.steps if step.kind == "pour"]
    assert all(step.foot_ready is not None for step in laid)
    for one, other in pairwise(laid):
        assert one.foot_ready is not None
        assert one.foot_ready <= other.start, "the next bay begins when the last can be walked on"


def test_a_pour_asked_for_whole_that_no_stretch_of_work_holds_says_into_how_many_bays() -> None:
    """20 x 20 ft at 1/2 in is 41 bags: 41 x 3.5 + 400 x 0.4 + 20 = 324 min; from 7:20 to the meal are 280."""
    job = hall(20, 0.5, helper=True, measures={"bays": 1})
    with pytest.raises(NoPlan) as none_fits:
        make_plan(job, (), instant(job.zone, job.start, time(6)))
    said = next(each for each in none_fits.value.reasons if "/pour:" in each)
    assert "there 4 h 40 at most" in said
    assert "bays = 2" in said
    whole = hall(20, 0.5, helper=True)
    assert all(bay.labour.typical <= 280 for bay in expand(whole).steps if bay.kind in ("pour", "prime"))
