"""A plan's order of work: shifted left it is a plan, at its latest it is a plan, and its reasons are true."""

from collections.abc import Iterator
from dataclasses import replace

import pytest

from planning.schedule.availability import next_start
from planning.schedule.first_plan import first_plan
from planning.schedule.network import Crew, Due, Lag, Network, Off, Solution, Task
from planning.schedule.propagate import Reason, latest_starts, reason_codes, tighten, what_breaks
from planning.schedule.repair import as_before, repair
from tests.any_network import any_network, small_network
from tests.planning.schedule import network_check
from tests.planning.schedule.check_for_first_plan import broken
from tests.planning.schedule.late_day import late_day

DAYS = tuple((day * 288 + 96, day * 288 + 192) for day in range(10))


def plans(count: int = 250) -> Iterator[tuple[Network, Solution]]:
    for seed in range(count):
        network = small_network(seed, 3 + seed % 6)
        plan = first_plan(network)
        if plan is not None:
            yield network, plan
    for rooms in (2, 4):
        network = any_network(1, rooms)
        plan = first_plan(network)
        assert plan is not None
        yield network, plan


def worker(ticks: int) -> tuple[Crew, ...]:
    return (Crew(("you",), tuple((a, b - ticks) for a, b in DAYS)),)


def job(*tasks: Task, **more: object) -> Network:
    fields = {"lags": (), "gear": {}, "now": 0, "person_days": {"you": DAYS}, **more}
    return Network(origin=0, horizon=2880, tasks=tasks, **fields)  # type: ignore[arg-type]  # fields by name


def planned(network: Network, **starts: int) -> Solution:
    finishes = {task.id: starts[task.id] + task.ticks for task in network.tasks}
    zero = dict.fromkeys(starts, 0)
    last = max(finishes[task.id] for task in network.tasks if task.counts)
    return Solution("good", starts, finishes, zero, zero, last)


def moved(network: Network, plan: Solution, name: str, start: int) -> Solution:
    """The plan with one task at another start, all else standing still."""
    task = next(task for task in network.tasks if task.id == name)
    found = next_start(task.crews[plan.crews[name]], start)
    extra = found[1] if found is not None and found[0] == start else 0
    return replace(
        plan, starts={**plan.starts, name: start}, finishes={**plan.finishes, name: start + task.ticks + extra}
    )


def slack(network: Network, plan: Solution, seed: int) -> Solution:
    """The plan with its last tasks pushed right, so that there is something to tighten."""
    for task in sorted(network.tasks, key=lambda task: -plan.starts[task.id])[: 2 + seed % 3]:
        found = next_start(task.crews[plan.crews[task.id]], plan.starts[task.id] + 1)
        if task.fixed is None and found is not None:
            other = moved(network, plan, task.id, found[0])
            if not broken(network, other):
                last = max(other.finishes[t.id] for t in network.tasks if t.counts)
                plan = replace(other, finish=last)
    return plan


def test_a_tightened_plan_is_a_plan_and_nothing_in_it_is_later():
    sooner = 0
    for seed, (network, plan) in enumerate(plans()):
        loose = slack(network, plan, seed)
        tight = tighten(network, loose)
        assert not broken(network, tight)
        assert all(tight.starts[name] <= start for name, start in loose.starts.items())
        assert tight.finish <= loose.finish
        assert tighten(network, tight).starts == tight.starts
        sooner += tight.starts != loose.starts
    assert sooner > 20


def test_a_tightened_answer_breaks_nothing_worse_than_before():
    bent = 0
    for seed in range(300):
        network = small_network(seed, 3 + seed % 6)
        plan = first_plan(network)
        if plan is not None:
            day = late_day(network, plan, seed, 4)
            answer = repair(day, as_before(day))
            tight = tighten(day, answer)
            was = {(o.what, o.task, o.before, o.at): o.ticks for o in answer.overrun}
            now = {(o.what, o.task, o.before, o.at): o.ticks for o in tight.overrun}
            assert all(ticks <= was.get(fact, -1) for fact, ticks in now.items()), seed
            assert not [words for words in network_check.broken(day, tight) if words not in hours(day, tight)]
            bent += bool(answer.overrun)
    assert bent >= 10


def hours(network: Network, answer: Solution) -> list[str]:
    """What the judge says of tasks past the horizon, which an answer admits as "hours"."""
    past = {each.task for each in answer.overrun if each.what == "hours"}
    return [words for words in network_check.broken(network, answer) if words.split()[0] in past]


def test_a_tightened_plan_keeps_everybodys_order_of_work():
    for seed, (network, plan) in enumerate(plans(80)):
        loose = slack(network, plan, seed)
        tight = tighten(network, loose)
        for name in network.person_days:
            mine = [t.id for t in network.tasks if name in t.crews[plan.crews[t.id]].people]
            assert sorted(mine, key=lambda n: loose.starts[n]) == sorted(mine, key=lambda n: tight.starts[n])


def test_all_tasks_at_their_latest_together_are_a_plan_that_ends_no_later():
    for network, plan in plans():
        latest = latest_starts(network, plan)
        late = plan
        for name, start in latest.items():
            assert start is None or start >= plan.starts[name]
            late = late if start is None else moved(network, late, name, start)
        loose = {name for name, start in latest.items() if start is None}
        assert not [fact for fact in broken(network, late) if not loose & set(fact)]
        assert all(late.finishes[t.id] <= max(plan.finish, plan.finishes[t.id]) for t in network.tasks if t.counts)


def test_past_its_latest_start_exactly_the_named_thing_is_lost():
    kinds = set()
    for network, plan in plans(120):
        latest = latest_starts(network, plan)
        for name in latest:
            lost = what_breaks(network, plan, name)
            assert (lost is None) == (latest[name] is None)
            if lost is not None:
                kinds.add(lost[0])
                later = pushed_past(network, plan, latest, name)
                assert later is None or lost in losses(network, plan, later), (name, lost)
    assert {"within", "visit", "due", "finish", "night"} <= kinds


def pushed_past(network: Network, plan: Solution, latest: dict[str, int | None], name: str) -> Solution | None:
    """Everything at its latest, the task one start later, and what it then pushes pushed right by trial."""
    late = plan
    for other, start in latest.items():
        late = late if start is None else moved(network, late, other, start)
    task = next(task for task in network.tasks if task.id == name)
    found = next_start(task.crews[plan.crews[name]], late.starts[name] + 1)
    if found is None:
        return None
    return moved(network, late, name, found[0])


def losses(network: Network, plan: Solution, later: Solution) -> set[tuple[str, ...]]:
    """What the later plan loses, directly or because something stands in the way that cannot go later either."""
    found: set[tuple[str, ...]] = set()
    for fact in broken(network, later):
        if fact[0] in ("within", "visit", "night"):
            found.add(fact)
        else:
            # It pushes another task past its own latest start: whatever that one loses is lost.
            tasks = set(fact) & set(plan.starts)
            found |= {lost for name in tasks if (lost := what_breaks(network, plan, name)) is not None}
            found |= {("finish",)} if fact[0] == "horizon" else set()
    for due in network.dues:
        over = [e + look for n, curve in due.ends for e in [later.finishes[n]] for look in [dict(curve).get(0, 0)]]
        if max(over) > due.tick:
            found.add(("due", due.what))
    if any(later.finishes[t.id] > plan.finish for t in network.tasks if t.counts):
        found.add(("finish",))
    return found


FACTS = {
    "lag": {"wait"}, "visit": {"wait", "visit"}, "order": {"piece", "wait"}, "floor": {"walk", "heavy"},
    "wet": {"wet", "wet trades"}, "person": {"person"}, "gear": {"gear"}, "hours": {"hours"}, "meal": {"hours"},
    "release": {"release"}, "night": {"night"}, "now": {"now"}, "window": {"within"},
}  # fmt: skip


def test_one_tick_earlier_the_named_reason_breaks():
    kinds = set()
    for network, plan in plans():
        tight = tighten(network, plan)
        for name, reason in reason_codes(network, tight).items():
            kinds |= {each.kind for each in (reason, reason.behind) if each is not None}
            facts = broken(network, moved(network, tight, name, tight.starts[name] - 1)) - broken(network, tight)
            if reason == Reason("order", None, tight.starts[name]):
                assert not facts, "nothing holds it, so one tick earlier nothing breaks"
                continue
            mine = [fact for fact in facts if fact[0] in FACTS[reason.kind]]
            assert any(reason.other in (None, *fact) or reason.kind == "gear" for fact in mine), (name, reason, facts)
    assert {"lag", "floor", "wet", "person", "gear", "hours", "release", "now", "visit", "order", "night"} <= kinds


def test_behind_the_hours_stands_what_would_break_at_the_last_start_before():
    deeper = 0
    for network, plan in plans(150):
        tight = tighten(network, plan)
        for name, reason in reason_codes(network, tight).items():
            if reason.behind is not None:
                deeper += 1
                task = next(task for task in network.tasks if task.id == name)
                crew = task.crews[tight.crews[name]]
                tries = [t for t in range(tight.starts[name]) if (f := next_start(crew, t)) is not None and f[0] == t]
                facts = broken(network, moved(network, tight, name, tries[-1])) - broken(network, tight)
                assert any(fact[0] in FACTS[reason.behind.kind] for fact in facts), (name, reason, facts)
                assert reason.behind.until <= tight.starts[name]
    assert deeper > 20


def test_tightening_leaves_no_task_that_could_go_earlier_by_itself():
    for network, plan in plans(100):
        tight = tighten(network, plan)
        for name, reason in reason_codes(network, tight).items():
            assert reason != Reason("order", None, tight.starts[name]), name


def test_a_promise_is_what_is_lost_when_it_comes_before_the_finish():
    network = job(
        Task("coat", 12, worker(12)), Task("late", 12, worker(12), release=1400),
        dues=(Due("bath usable", (("coat", ((0, 100),)),), 500),),
    )  # fmt: skip
    plan = planned(network, coat=96, late=1400)
    assert (
        latest_starts(network, plan) == {"coat": 388 - 8, "late": 1400} or latest_starts(network, plan)["coat"] == 388
    )
    assert what_breaks(network, plan, "coat") == ("due", "bath usable")
    assert what_breaks(network, plan, "late") == ("finish",)


def test_a_task_that_counts_for_nothing_is_loose():
    network = job(Task("errand", 12, worker(12), counts=False), Task("set", 12, worker(12)))
    plan = planned(network, errand=120, set=96)
    assert latest_starts(network, plan)["errand"] is None
    assert what_breaks(network, plan, "errand") is None
    assert latest_starts(network, plan)["set"] == 96


def test_an_own_stay_off_gives_its_reason_too():
    coat = Task("coat", 12, worker(12), off=(Off("hall", "walk", ((0, 200),)),))
    other = Task("carry", 12, (Crew(("helper",), ((96, 180),)),), ways=(("hall",),))
    network = job(coat, other)
    plan = planned(network, carry=96, coat=108)
    assert reason_codes(network, plan)["coat"] == Reason("floor", "carry", 108)


@pytest.mark.parametrize("late", [1, 7])
def test_a_window_that_holds_its_opener_back_is_named(late):
    network = job(
        Task("prime", 6, worker(6)), Task("pour", 12, worker(12), release=400),
        lags=(Lag("prime", "pour", within=((0, 250 - late),)),),
    )  # fmt: skip
    plan = tighten(network, planned(network, prime=180, pour=400))
    assert reason_codes(network, plan)["prime"] == Reason("window", "pour", plan.starts["prime"])
