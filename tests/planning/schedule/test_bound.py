"""The lower bound never exceeds the best plan, sees what the household's nights cost, and refutes the impossible."""

from dataclasses import replace

import pytest

from planning.schedule.bound import finish_bound
from planning.schedule.first_plan import first_plan
from planning.schedule.network import Crew, Lag, Network, Night, Task, Toilet
from tests.any_network import any_network, small_network
from tests.planning.schedule.every_plan import best_finish
from tests.planning.schedule.late_day import late_day

DAYS = tuple((day * 288 + 96, day * 288 + 192) for day in range(30))
NIGHTS = tuple(Night(day * 288 + 216, day * 288 + 360) for day in range(29))


def worker(ticks: int, *names: str) -> tuple[Crew, ...]:
    return tuple(Crew((name,), tuple((a, b - ticks) for a, b in DAYS)) for name in names or ("you",))


def job(*tasks: Task, **more: object) -> Network:
    fields = {"lags": (), "gear": {}, "now": 0, "person_days": {"you": DAYS}, **more}
    return Network(origin=0, horizon=30 * 288, tasks=tasks, **fields)  # type: ignore[arg-type]  # fields by name


@pytest.mark.parametrize(("tasks", "seeds"), [(3, range(50)), (4, (1, 3, 5, 6, 8, 9, 11, 12, 14, 15))])
def test_the_bound_never_exceeds_the_best_of_all_plans(tasks, seeds):
    met = 0
    for seed in seeds:
        network = replace(small_network(seed, tasks), dues=())
        best, bound = best_finish(network), finish_bound(network)
        assert best is None or bound <= best, seed
        met += bound == best
    assert met >= len(seeds) // 3


def test_the_bound_never_exceeds_the_best_plan_of_a_day_that_has_begun():
    met = 0
    for seed in range(60):
        network = replace(small_network(seed, 3), dues=())
        plan = first_plan(network)
        if plan is not None:
            day = late_day(network, plan, seed, (0, 1, 2, 6)[seed % 4])
            best, bound = best_finish(day), finish_bound(day)
            assert best is None or bound <= best, seed
            met += bound == best
    assert met >= 20


@pytest.mark.parametrize("rooms", [2, 4, 6])
def test_the_bound_never_exceeds_a_plan_of_a_whole_job(rooms):
    for seed in range(6):
        network = any_network(seed, rooms)
        plan = first_plan(network)
        assert plan is None or finish_bound(network) <= plan.finish, seed


def test_a_bound_beyond_the_horizon_means_no_plan():
    impossible = job(Task("one", 90, worker(90)), Task("other", 90, worker(90), release=29 * 288))
    assert finish_bound(impossible) <= impossible.horizon
    assert finish_bound(replace(impossible, horizon=2 * 288)) > 2 * 288


def test_one_persons_work_needs_that_persons_days():
    ten_days = job(*(Task(f"t{n}", 48, worker(48)) for n in range(20)))
    assert finish_bound(ten_days) == 9 * 288 + 192


def test_work_only_one_of_two_can_do_is_counted_for_that_one_alone():
    yours = [Task(f"y{n}", 48, worker(48, "you")) for n in range(8)]
    either = [Task(f"e{n}", 48, worker(48, "you", "helper")) for n in range(2)]
    assert finish_bound(job(*yours, *either)) == 3 * 288 + 192


def test_two_baths_cannot_be_out_on_the_same_promised_night():
    def bath(room: str) -> tuple[Task, ...]:
        return (Task(f"{room}/out", 12, worker(12)), Task(f"{room}/back", 12, worker(12)))

    lags = tuple(Lag(f"{room}/out", f"{room}/back", ((0, 3 * 288),)) for room in ("a", "b"))
    toilets = tuple(Toilet(room, ((),), (f"{room}/out",), f"{room}/back") for room in ("a", "b"))
    tasks = (*bath("a"), *bath("b"))
    free, held = job(*tasks, lags=lags, toilets=toilets), job(*tasks, lags=lags, toilets=toilets, nights=NIGHTS)
    plan = first_plan(held)
    assert plan is not None
    assert finish_bound(free) < 4 * 288
    assert finish_bound(held) == plan.finish > 6 * 288
