import itertools

from planning.handover.release import release_table, releases, standing_at
from planning.handover.slow import slow_finish, slow_times, slowest_times
from planning.trade.air import opens_at, site_air
from tests.planning.supply.a_day import CURE, HEAVY, JOB, POUR, SET, STEPS, WALK, a_plan, at, event

DONE = [
    event(1, "started", at(14, 40), step=POUR.id),
    event(2, "finished", at(15, 20), step=POUR.id),
]


def test_the_slow_case_is_never_before_the_plan_and_keeps_the_order_and_the_people() -> None:
    plan = a_plan()
    times = slow_times(plan, JOB, STEPS)
    assert all(times[step.id][0] >= step.start and times[step.id][1] >= step.finish for step in plan.steps)
    busy = sorted(times[step.id] for step in plan.steps if "you" in step.people)
    assert all(first[1] <= then[0] for first, then in itertools.pairwise(busy))
    assert slow_finish(times, plan) >= plan.finish


def test_the_slow_case_lies_between_the_plan_and_everything_going_slow_at_once() -> None:
    plan = a_plan()
    slow, slowest = slow_times(plan, JOB, STEPS), slowest_times(plan, JOB, STEPS)
    for step in plan.steps:
        assert step.finish <= slow[step.id][1] <= slowest[step.id][1]
    assert slow[f"{SET.id}#2"][1] > plan.step(f"{SET.id}#2").finish
    set_done = slowest[f"{SET.id}#2"][1]
    assert slowest["kitchen/floor/grout"][0] >= opens_at(CURE, site_air(JOB), set_done, "high")


def test_the_slow_case_is_the_same_each_time() -> None:
    assert slow_times(a_plan(), JOB, STEPS) == slow_times(a_plan(), JOB, STEPS)


def test_what_is_done_keeps_its_real_times_in_the_slow_case() -> None:
    assert slow_times(a_plan(), JOB, STEPS, DONE)[POUR.id] == (at(14, 40), at(15, 20))


def test_no_floor_is_released_before_the_high_case_of_its_real_finish() -> None:
    air = site_air(JOB)
    found = {(each.step, each.what): each for each in releases(a_plan(), JOB, STEPS, DONE)}
    assert found[POUR.id, "walk"].until == opens_at(WALK, air, at(15, 20), "high")
    assert found[POUR.id, "heavy"].until == opens_at(HEAVY, air, at(15, 20), "high")
    for off in a_plan().stay_off:
        until = found[off.step, off.what].until
        assert until is not None
        assert until >= off.until


def test_only_what_was_begun_and_is_not_over_stands() -> None:
    found = releases(a_plan(), JOB, STEPS, DONE)
    standing = standing_at(found, at(16), frozenset({POUR.id}))
    assert {(each.room, each.what) for each in standing} == {("powder-room", "walk"), ("powder-room", "heavy")}
    assert standing_at(found, at(16, day=20), frozenset({POUR.id})) == ()


def test_the_table_has_a_line_for_each_floor_and_use() -> None:
    table = release_table(a_plan(), JOB, STEPS, DONE, at(16))
    assert len([line for line in table.splitlines() if line.startswith(("Kitchen", "Powder room"))]) == 3
