"""Job file in, judged plan out: the demo jobs, a job written from the README's keys alone, and generated jobs."""

import json
from datetime import datetime, time
from pathlib import Path

import pytest

from planning import Event, Job, NoPlan, Plan, expand, from_json, judge, make_plan, read_job, to_json
from planning.job.hours import instant, local
from planning.job.words import WET_KINDS
from tests.any_trouble import accepted, event

ROOT = Path(__file__).parents[3]
DEMOS = sorted((ROOT / "demo_jobs").glob("*.toml"))

TWO_COATS = """
[job]
name = "one shower"
zone = "America/New_York"
start = 2026-06-01

[[room]]
id = "bath"
size = "8 x 5 ft"
in_from = ["outside"]
  [[room.part]]
  id = "shower"
  size = "3 x 5 ft"
  in_from = ["floor"]
  [[room.part]]
  id = "floor"
  [[room.do]]
  method = "curbless-shower"
  on = { shower = "shower", floor = "floor" }
  drain = "1 ft 6 in, 2 ft 6 in"
  mud_at_drain = "1-1/4 in"
  walls = "88 sq ft"
    [[room.do.change]]
    step = "coat-2"
    wait = "2 h"
    within = "24 h"
"""


def morning(job: Job) -> int:
    return instant(job.zone, job.start, time(6, 58))


def demo(path: Path) -> Job:
    job, problems = read_job(path)
    assert job is not None, problems
    assert not problems
    return job


def quick(job: Job, events: tuple[Event, ...] = (), now: int | None = None) -> Plan:
    return make_plan(job, events, morning(job) if now is None else now, improve=False)


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_a_demo_job_is_planned_and_the_judge_finds_nothing(path: Path) -> None:
    job = demo(path)
    plan = quick(job)
    assert plan.broken == ()
    assert judge(plan, job, expand(job).steps) == ()


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_method_is_linked_through_and_every_wet_floor_is_kept_off(path: Path) -> None:
    job = demo(path)
    steps = expand(job).steps
    blocks = sum(len(room.do) for room in job.rooms)
    assert sum(len(step.after) for step in steps) >= len(steps) - blocks
    plan = quick(job)
    kept_off = {off.step for off in plan.stay_off if off.what == "walk"}
    floors = {floor for room in job.rooms for floor in room.floors}
    for step in plan.steps:
        source = next((s for s in steps if s.id == (step.piece.of if step.piece else step.id)), None)
        on_floor = source is not None and any(k.what == "walk" and set(k.floors) <= floors for k in source.keeps_off)
        if step.kind in ("pour", "float", "coat", "prime") and on_floor:
            assert step.id in kept_off
        if step.kind in WET_KINDS - {"caulk", "seal"} and "wall" not in step.id and source and source.keeps_off:
            assert step.id in kept_off, step.id


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_a_step_moved_ten_minutes_in_the_json_is_caught_and_named(path: Path) -> None:
    job = demo(path)
    steps = expand(job).steps
    raw = json.loads(to_json(quick(job)))
    caught = 0
    for n, step in enumerate(raw["steps"]):
        moved = json.loads(json.dumps(raw))
        for end in ("start", "finish"):
            at = datetime.fromisoformat(step[end])
            moved["steps"][n][end] = datetime.fromtimestamp(at.timestamp() - 600, at.tzinfo).isoformat()
        broken = judge(from_json(json.dumps(moved), job.zone.key), job, steps)
        caught += any(step["id"] in each.steps for each in broken)
    assert caught == len(raw["steps"])


def test_a_window_of_two_to_twenty_four_hours_is_planned_as_it_demands(tmp_path: Path) -> None:
    path = tmp_path / "shower.toml"
    path.write_text(TWO_COATS, encoding="utf-8")
    job, problems = read_job(path)
    assert job is not None, problems
    plan = quick(job)
    assert plan.broken == ()
    first = next(step for step in plan.steps if step.id.endswith("/coat-1"))
    second = next(step for step in plan.steps if step.id.endswith("/coat-2"))
    assert 120 <= second.start - first.finish <= 24 * 60


@pytest.mark.parametrize("path", DEMOS[:1], ids=lambda path: path.stem)
def test_a_plan_survives_its_json_whole(path: Path) -> None:
    plan = quick(demo(path))
    assert from_json(to_json(plan), plan.zone, plan.notes) == plan


@pytest.fixture(name="guest_house")
def _guest_house() -> Job:
    return demo(ROOT / "demo_jobs/guest-house.toml")


def test_an_accepted_plan_stays_while_the_facts_allow_it(guest_house: Job) -> None:
    plan = quick(guest_house)
    first = min(plan.steps, key=lambda step: (step.start, step.id))
    events = (accepted(1, plan), event(2, "started", first.start, {"step": first.id}))
    later = quick(guest_house, events, first.start)
    assert [(s.id, s.start) for s in later.steps] == [(s.id, s.start) for s in plan.steps]
    assert later.moved == ()


def test_a_step_that_runs_late_moves_only_what_must_and_breaks_no_rule(guest_house: Job) -> None:
    plan = quick(guest_house)
    first = min(plan.steps, key=lambda step: (step.start, step.id))
    until = first.finish + 40
    events = (
        accepted(1, plan),
        event(2, "started", first.start, {"step": first.id}),
        event(3, "late", first.start + 5, {"step": first.id, "value": 40, "until": until}),
    )
    later = quick(guest_house, events, first.start + 5)
    assert later.step(first.id).finish == until
    assert judge(later, guest_house, expand(guest_house).steps, events) == ()
    assert later.moved


def test_the_same_inputs_give_the_same_plan(guest_house: Job) -> None:
    assert to_json(quick(guest_house)) == to_json(quick(guest_house))


def test_every_step_says_why_it_is_not_sooner(guest_house: Job) -> None:
    plan = quick(guest_house)
    assert not [step.id for step in plan.steps if not step.reason]


def test_nothing_is_planned_outside_the_working_day(guest_house: Job) -> None:
    for step in quick(guest_house).steps:
        start, finish = local(guest_house.zone, step.start), local(guest_house.zone, step.finish)
        assert time(7, 20) <= start.time()
        assert finish.time() <= time(15, 10)
        assert start.date() == finish.date()


def test_the_solver_is_not_worse_than_the_first_plan(guest_house: Job) -> None:
    first = quick(guest_house)
    best = make_plan(guest_house, (), morning(guest_house))
    assert best.broken == ()
    assert best.finish <= first.finish


ONE_TOILET = """
[job]
name = "one toilet"
zone = "America/Denver"
start = 2026-06-01
[house]
toilet_nights = "mon-sun"
quiet = ["12:00 to 13:00"]
[[room]]
id = "bath"
size = "5 x 5 ft"
in_from = ["outside"]
toilet = true
  [[room.do]]
  method = "level-and-tile-floor"
  depth = "1/4 in"
"""


def test_an_impossible_job_names_the_facts_that_clash_and_no_other(tmp_path: Path) -> None:
    path = tmp_path / "toilet.toml"
    path.write_text(ONE_TOILET, encoding="utf-8")
    job, problems = read_job(path)
    assert job is not None, problems
    with pytest.raises(NoPlan) as none_fits:
        make_plan(job, (), morning(job))
    assert none_fits.value.smallest
    assert none_fits.value.reasons[0].startswith("house: a toilet that works each promised night")
    assert not any("quiet" in reason for reason in none_fits.value.reasons)
