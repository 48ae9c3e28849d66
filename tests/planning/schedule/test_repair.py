"""The order-keeping answer: always there, never earlier than told, and honest about what it breaks."""

from dataclasses import replace

import pytest

from planning.schedule.first_plan import first_plan
from planning.schedule.network import Crew, Lag, Network, Night, Overrun, Solution, Task, Toilet
from planning.schedule.repair import as_before, repair
from tests.any_network import any_network, small_network
from tests.planning.schedule.late_day import late_day
from tests.planning.schedule.network_check import broken

DAYS = tuple((day * 288 + 96, day * 288 + 192) for day in range(10))


def worker(ticks: int, name: str = "you") -> Crew:
    return Crew((name,), tuple((a, b - ticks) for a, b in DAYS))


def job(*tasks: Task, **more: object) -> Network:
    fields = {"lags": (), "gear": {}, "now": 0, "person_days": {"you": DAYS}, **more}
    return Network(origin=0, horizon=2880, tasks=tasks, **fields)  # type: ignore[arg-type]  # fields by name


def held(network: Network, answer: Solution) -> list[str]:
    """What the judge finds beyond what the answer admits (hours past the horizon are admitted as "hours")."""
    past = {each.task for each in answer.overrun if each.what == "hours"}
    return [words for words in broken(network, answer) if words.split()[0] not in past]


def test_there_is_always_an_answer_that_breaks_only_what_it_names():
    answers = 0
    for seed in range(400):
        network = small_network(seed, 3 + seed % 6)
        plan = first_plan(network)
        if plan is not None:
            answers += 1
            day = late_day(network, plan, seed, (1, 2, 6)[seed % 3])
            answer = repair(day, as_before(day))
            assert set(answer.starts) == {task.id for task in day.tasks}
            assert not held(day, answer), seed
    assert answers > 200


@pytest.mark.parametrize("rooms", [2, 4, 6, 8])
def test_a_late_hour_and_a_half_in_a_whole_job_is_answered(rooms):
    for seed in range(4):
        network = any_network(seed, rooms)
        plan = first_plan(network)
        if plan is not None:
            day = late_day(network, plan, seed, 18)
            answer = repair(day, as_before(day))
            assert not broken(day, answer), seed
            assert all(answer.starts[t.id] >= plan.starts[t.id] for t in day.tasks)


def test_nothing_moves_when_nothing_is_late():
    for seed in range(200):
        network = small_network(seed, 3 + seed % 6)
        plan = first_plan(network)
        if plan is not None:
            day = late_day(network, plan, seed, 0)
            answer = repair(day, replace(plan, overrun=()))
            assert answer.starts == plan.starts, seed
            assert not answer.overrun


def test_everybody_keeps_the_order_of_his_work():
    network = any_network(2, 4)
    plan = first_plan(network)
    assert plan is not None
    day = late_day(network, plan, 2, 30)
    answer = repair(day, as_before(day))
    for name in day.person_days:
        mine = [t.id for t in day.tasks if t.fixed is None and name in t.crews[answer.crews[t.id]].people]
        assert sorted(mine, key=plan.starts.__getitem__) == sorted(mine, key=answer.starts.__getitem__)


def test_what_waits_is_pushed_and_the_rest_stays():
    tasks = (
        Task("one", 24, (worker(24),), fixed=(96, 140)),
        Task("two", 12, (worker(12),)),
        Task("three", 12, (worker(12, "he"),)),
    )
    network = job(*tasks, now=120)
    answer = repair(network, Solution("good", {"one": 96, "two": 120, "three": 120}, {}, {}, {}))
    assert answer.starts == {"one": 96, "two": 140, "three": 120}


def test_a_shut_window_is_named_when_its_opener_has_begun_and_moved_when_not():
    lags = (Lag("prime", "pour", within=((0, 20),)), Lag("gate", "pour"))
    gate = Task("gate", 60, (worker(60, "he"),), fixed=(96, 156))
    prime, pour = Task("prime", 10, (worker(10),)), Task("pour", 12, (worker(12),))
    before = Solution("good", {"gate": 96, "prime": 100, "pour": 120}, {}, {}, {})
    moves = repair(job(gate, prime, pour, lags=lags, now=98), before)
    assert not moves.overrun
    assert moves.starts["pour"] - moves.finishes["prime"] <= 20
    done = replace(prime, fixed=(100, 110))
    breaks = repair(job(gate, done, pour, lags=lags, now=112), before)
    assert breaks.overrun == (Overrun("within", "pour", "prime", 156 - 130),)


def test_a_missed_visit_is_named_and_comes_in_working_hours():
    visit = Task("visit", 6, (Crew((), ((150, 154),)),), counts=False)
    test = Task("test", 60, (worker(60),), fixed=(96, 190))
    network = job(test, visit, lags=(Lag("test", "visit"),), now=130)
    answer = repair(network, Solution("good", {"test": 96, "visit": 150}, {}, {}, {}))
    assert answer.starts["visit"] == 288 + 96
    assert answer.overrun == (Overrun("visit", "visit", "", 288 + 96 - 154),)


def test_a_stay_off_that_slips_into_a_promised_night_goes_past_it_or_is_named():
    out, back = Task("out", 10, (worker(10),)), Task("back", 10, (worker(10),))
    toilet = Toilet("bath", ((),), ("out",), "back")
    night = Night(216, 360)
    parts = {"lags": (Lag("out", "back", ((0, 40),)),), "toilets": (toilet,), "nights": (night,)}
    gate = Task("gate", 60, (worker(60),), fixed=(96, 160))
    before = Solution("good", {"gate": 96, "out": 126, "back": 176}, {}, {}, {})
    pushed = repair(job(gate, out, back, now=130, **parts), before)
    assert not pushed.overrun
    assert pushed.starts["out"] >= night.finish
    begun = replace(out, fixed=(126, 170))
    lost = repair(job(begun, back, now=160, **parts), before)
    assert lost.overrun == (Overrun("night", at=216),)


def test_whoever_is_gone_is_replaced_if_he_never_comes_back():
    gone, here = Crew(("he",), ()), worker(12)
    network = job(Task("set", 12, (gone, here)))
    answer = repair(network, Solution("good", {"set": 96}, {}, {"set": 0}, {}))
    assert answer.crews["set"] == 1
    assert not broken(network, answer)


def test_work_new_to_the_plan_comes_after_what_it_waits_for_and_before_what_waits_for_it():
    tasks = [Task(name, 12, (worker(12),)) for name in ("coat", "scuff", "again")]
    network = job(*tasks, lags=(Lag("coat", "scuff", ((0, 6),)), Lag("scuff", "again")))
    answer = repair(network, Solution("good", {"coat": 96, "again": 120}, {}, {}, {}))
    assert answer.starts == {"coat": 96, "scuff": 114, "again": 126}


def test_there_is_an_answer_when_the_old_order_runs_in_a_circle():
    tasks = [Task(name, 12, (worker(12),)) for name in ("one", "two")]
    network = job(*tasks, lags=(Lag("two", "one"),))
    answer = repair(network, Solution("good", {"one": 96, "two": 120}, {}, {}, {}))
    assert not broken(network, answer)


def test_the_accepted_plan_is_read_with_its_people():
    network = any_network(4, 2)
    plan = first_plan(network)
    assert plan is not None
    day = late_day(network, plan, 4, 0)
    known = as_before(day)
    for task in day.tasks:
        assert task.crews[known.crews[task.id]].people == network_people(network, plan, task.id)
    with pytest.raises(ValueError, match="no plan was accepted"):
        as_before(network)


def network_people(network: Network, plan: Solution, name: str) -> tuple[str, ...]:
    task = next(task for task in network.tasks if task.id == name)
    return task.crews[plan.crews[name]].people
