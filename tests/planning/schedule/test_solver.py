"""Small networks whose best plan is known from counting on one's fingers."""

from dataclasses import replace

import pytest

from planning.schedule.network import Before, Crew, Due, Lag, Network, Night, Off, Overrun, Solution, Task, Toilet
from planning.schedule.solver import Limits, StopFlag, solve
from tests.planning.schedule.network_check import broken

QUICK = Limits(effort=2.0)
OPEN = ((0, 10), (20, 30), (40, 50), (60, 70))
"""Four short days."""


def hours(ticks: int) -> tuple[tuple[int, int], ...]:
    return tuple((first, last - ticks) for first, last in OPEN if last - first >= ticks)


def task(name: str, ticks: int, *people: str, **more) -> Task:  # type: ignore[no-untyped-def]  # a shorthand
    crews = tuple(Crew((person,), hours(ticks)) for person in people)
    return Task(name, ticks, crews, **more)


def network(*tasks: Task, **more) -> Network:  # type: ignore[no-untyped-def]  # a shorthand
    people = {name for one in tasks for crew in one.crews for name in crew.people}
    filled = {"lags": (), "gear": {}, "person_days": dict.fromkeys(sorted(people), OPEN), **more}
    return Network(origin=0, horizon=80, now=0, tasks=tasks, **filled)


def solved(problem: Network, limits: Limits = QUICK, hint: Solution | None = None) -> Solution:
    found = solve(problem, hint, limits)
    if found.status in ("best", "good"):
        assert broken(problem, found) == []
    return found


def test_one_person_does_one_thing_at_a_time():
    found = solved(network(task("a", 4, "ann"), task("b", 4, "ann"), task("c", 4, "ann")))
    assert (found.status, found.finish) == ("best", 24)


def test_two_people_share_the_work():
    found = solved(network(task("a", 5, "ann", "ben"), task("b", 5, "ann", "ben"), task("c", 5, "ann", "ben")))
    assert (found.status, found.finish) == ("best", 10)
    assert {found.crews[name] for name in "abc"} == {0, 1}


def test_fewer_days_on_site_beat_an_early_start_but_not_an_early_finish():
    tasks = (task("a", 5, "ann", counts=False), task("b", 5, "ben"), task("end", 5, "ann", release=60))
    found = solved(network(*tasks, lags=(Lag("b", "end", ((0, 0),)),)))
    assert found.finish == 65
    assert found.stages["person_days"] == 2
    assert found.starts["a"] >= 60


def test_of_as_many_days_on_site_the_setters_own_are_taken():
    both = ("ann", "ben")
    work = (task("a", 5, *both), task("b", 5, *both), task("end", 5, *both, release=40))
    for setter, other in (both, both[::-1]):
        found = solved(network(*work, person_days={setter: OPEN, other: OPEN}))
        assert (found.finish, found.stages["person_days"]) == (45, 2)
        assert {both[found.crews[name]] for name in ("a", "b", "end")} == {setter}


def test_a_wait_runs_through_the_night():
    found = solved(network(task("pour", 4, "ann"), task("set", 4, "ann"), lags=(Lag("pour", "set", ((0, 17),)),)))
    assert found.starts["set"] == 21


def test_a_wait_that_grows_later_in_the_day_is_taken_at_the_tick_it_counts_from():
    curve = ((0, 16), (5, 18))
    tasks = (task("pour", 4, "ann"), task("set", 4, "ann"))
    assert solved(network(*tasks, lags=(Lag("pour", "set", curve),))).starts["set"] == 20
    later = replace(tasks[0], release=1)
    assert solved(network(later, tasks[1], lags=(Lag("pour", "set", curve),))).starts["set"] == 23


def test_a_window_pulls_the_earlier_step_later():
    tasks = (task("coat", 2, "ann"), task("next", 2, "ann", release=42))
    found = solved(network(*tasks, lags=(Lag("coat", "next", ((0, 0),), ((0, 6),)),)))
    assert found.starts["coat"] >= 34
    assert found.finish == 44


def test_a_window_nobody_can_meet_means_no_plan_and_that_is_proved():
    tasks = (task("coat", 2, "ann"), task("next", 2, "ann"))
    found = solved(network(*tasks, lags=(Lag("coat", "next", ((0, 9),), ((0, 9),)),)))
    assert found.status == "none"


def test_nobody_crosses_a_green_floor_and_nobody_is_late_for_it():
    pour = task("pour", 2, "ann", ways=(("hall",),), off=(Off("hall", "walk", ((0, 18),)),))
    room = task("room", 2, "ben", ways=(("hall", "room"),))
    found = solved(network(pour, room))
    assert found.finish == 4
    assert found.starts["room"] < found.starts["pour"]


def test_a_second_way_in_is_used_while_the_first_is_green():
    pour = task("pour", 2, "ann", ways=(("hall",),), off=(Off("hall", "walk", ((0, 40),)),), counts=False)
    room = task("room", 2, "ann", ways=(("hall", "room"), ("deck", "room")))
    found = solved(network(pour, room, lags=(Lag("pour", "room"),)))
    assert (found.finish, found.ways["room"]) == (4, 1)


def test_two_people_may_stand_on_one_floor():
    found = solved(network(task("a", 8, "ann", ways=(("hall",),)), task("b", 8, "ben", ways=(("hall",),))))
    assert found.finish == 8


def test_two_wet_trades_may_not():
    found = solved(network(task("a", 6, "ann", wet_on=("hall",)), task("b", 6, "ben", wet_on=("hall",))))
    assert found.finish == 26


def test_a_stay_off_until_a_step_is_done_lasts_until_then_and_lets_that_step_in():
    fill = task("fill", 1, "ann", ways=(("floor",),), off=(Off("floor", "walk", until=("drain",)),))
    drain = task("drain", 1, "ann", ways=(("floor",),))
    other = task("other", 2, "ben", ways=(("floor",),), release=1)
    found = solved(network(fill, drain, other, lags=(Lag("fill", "drain", ((0, 20),)),)))
    assert found.starts["drain"] == 21
    assert found.starts["other"] == 22 or found.starts["fill"] >= found.finishes["other"]


def test_a_piece_works_on_beside_the_green_part_of_its_own_step_and_others_wait():
    green = (Off("floor", "walk", ((0, 15),)),)
    pieces = tuple(task(f"set#{n}", 4, "ann", ways=(("floor",),), off=green, piece_of="set", piece=n) for n in (1, 2))
    other = task("look", 1, "ben", ways=(("floor",),), release=5)
    found = solved(network(*pieces, other, lags=(Lag("set#2", "look"),)))
    assert (found.starts["set#1"], found.starts["set#2"]) == (0, 4)
    assert found.starts["look"] == 23


def test_a_meal_between_makes_the_step_longer():
    crew = Crew(("ann",), ((0, 2), (6, 10)), ((3, 5, 2),))
    found = solved(network(Task("a", 4, (crew,), release=3), person_days={"ann": ((0, 20),)}))
    assert (found.starts["a"], found.finishes["a"]) == (3, 9)


def test_gear_is_shared_out():
    tasks = [task(f"cut{n}", 5, person, gear={"saws": 1}) for n, person in enumerate(("ann", "ben", "cis"))]
    assert solved(network(*tasks, gear={"saws": 3})).finish == 5
    assert solved(network(*tasks, gear={"saws": 2})).finish == 10
    assert solved(network(*tasks, gear={"saws": 1})).finish == 25


def test_one_toilet_serves_every_promised_night():
    steps = []
    for bath in ("up", "down"):
        steps += [task(f"{bath}/out", 1, "ann"), task(f"{bath}/back", 1, "ann")]
    lags = tuple(Lag(f"{bath}/out", f"{bath}/back", ((0, 20),)) for bath in ("up", "down"))
    toilets = tuple(Toilet(bath, ((bath,),), (f"{bath}/out",), f"{bath}/back") for bath in ("up", "down"))
    night = (Night(11, 19), Night(31, 39))
    both = network(*steps, lags=lags, toilets=toilets)
    assert solved(both).finish == 23
    found = solved(replace(both, nights=night))
    assert found.finish == 42


def test_a_toilet_behind_a_green_hall_does_not_serve():
    pour = task("pour", 2, "ann", ways=(("hall",),), off=(Off("hall", "walk", ((0, 9),)),))
    toilet = Toilet("bath", (("hall", "bath"),))
    found = solved(network(pour, toilets=(toilet,), nights=(Night(10, 19),)))
    assert found.starts["pour"] == 20


def test_a_promise_counts_more_than_the_finish():
    long, short = task("long", 8, "ann"), task("short", 3, "ann")
    tail = task("tail", 8, "ben")
    lags = (Lag("long", "tail", ((0, 12),)),)
    free = solved(network(long, short, tail, lags=lags))
    assert free.finish == 28
    kept = solved(network(long, short, tail, lags=lags, dues=(Due("short", (("short", ((0, 0),)),), 5),)))
    assert kept.stages["late"] == 0
    assert kept.finishes["short"] <= 5
    assert kept.finish == 48


def test_a_late_promise_is_as_little_late_as_can_be():
    found = solved(network(task("a", 8, "ann"), dues=(Due("a", (("a", ((0, 4),)),), 3),)))
    assert found.stages["late"] == 9


def test_the_margin_is_widened_once_the_rest_is_settled():
    tasks = (task("coat", 2, "ann"), task("next", 2, "ben"), task("end", 2, "ann", release=62))
    found = solved(network(*tasks, lags=(Lag("coat", "next", ((0, 2),), ((0, 8),)), Lag("next", "end"))))
    assert found.starts["next"] - found.finishes["coat"] == 2
    assert found.stages["margin"] == 6


def test_what_has_begun_stays_where_it_is_and_may_even_overlap():
    run = Task("run", 5, (Crew(("ann",), ()),), fixed=(1, 9), ways=(("hall",),))
    other = Task("other", 5, (Crew(("ann",), ()),), fixed=(2, 7), off=(Off("hall", "walk", ((0, 20),)),))
    new = task("new", 2, "ann", ways=(("hall",),))
    found = solved(replace(network(run, other, new), now=6))
    assert found.status == "best"
    assert found.starts["new"] == 27


def test_a_night_that_is_spoiled_already_does_not_forbid_a_plan():
    run = Task("run", 5, (Crew(("ann",), ()),), fixed=(0, 5), off=(Off("bath", "walk", ((0, 30),)),))
    problem = network(run, task("new", 2, "ann"), toilets=(Toilet("bath", (("bath",),)),), nights=(Night(11, 19),))
    assert solved(replace(problem, now=4)).status == "best"


def test_the_search_stops_at_a_bound_proved_elsewhere():
    found = solved(network(task("a", 4, "ann"), task("b", 4, "ann")), Limits(2.0, finish_bound=8))
    assert (found.status, found.finish, found.finish_bound) == ("best", 8, 8)


def test_only_the_asked_stages_run():
    found = solved(network(task("a", 4, "ann")), Limits(2.0, stages=("finish",)))
    assert found.finish == 4


def test_names_that_mean_nothing_are_said():
    with pytest.raises(ValueError, match="a lag names task ghost"):
        solve(network(task("a", 1, "ann"), lags=(Lag("ghost", "a"),)))
    with pytest.raises(ValueError, match="given twice: a"):
        solve(network(task("a", 1, "ann"), task("a", 1, "ann")))


def test_a_stop_asked_before_the_start_gives_nothing_at_once():
    stop = StopFlag()
    stop.set()
    found = solve(network(task("a", 1, "ann")), stop=stop)
    assert (found.status, found.cut_short) == ("unknown", True)


# an accepted plan


def reshuffled(problem: Network, starts: dict[str, int], finish: int) -> Solution:
    people = {one.id: one.crews[0].people for one in problem.tasks}
    return solved(replace(problem, before=Before(starts, people, finish)))


def test_a_reshuffle_moves_nothing_that_need_not_move():
    problem = network(task("a", 4, "ann"), task("b", 4, "ann"), task("c", 4, "ann"))
    found = reshuffled(problem, {"a": 20, "b": 5, "c": 40}, 44)
    assert found.starts == {"a": 20, "b": 5, "c": 40}
    assert found.stages["change"] == 0


def test_a_reshuffle_keeps_the_finish_it_promised_rather_than_the_places():
    problem = network(task("a", 4, "ann", release=22), task("b", 4, "ann"), lags=(Lag("a", "b"),))
    found = reshuffled(problem, {"a": 20, "b": 24}, 30)
    assert (found.starts["a"], found.starts["b"], found.finish) == (22, 26, 30)
    pushed = network(task("a", 6, "ann", release=22), task("b", 4, "ann"), lags=(Lag("a", "b"),))
    assert reshuffled(pushed, {"a": 20, "b": 24}, 30).finish == 44


def test_a_reshuffle_keeps_people_too():
    problem = network(task("a", 4, "ben", "ann"), task("b", 4, "ann", "ben"))
    people = {"a": ("ann",), "b": ("ben",)}
    found = solved(replace(problem, before=Before({"a": 0, "b": 0}, people, 4)))
    assert (found.crews["a"], found.crews["b"]) == (1, 1)


def test_a_window_that_cannot_be_kept_is_broken_by_as_little_as_can_be_and_named():
    ran = Task("coat", 2, (Crew(("ann",), ()),), fixed=(0, 2))
    late = task("next", 2, "ann", release=22)
    problem = replace(network(ran, late, lags=(Lag("coat", "next", ((0, 1),), ((0, 15),)),)), now=2)
    assert solved(problem).status == "none"
    found = reshuffled(problem, {"coat": 0, "next": 6}, 8)
    assert found.status == "good"
    assert found.overrun == (Overrun("within", "next", "coat", 5),)


def test_a_window_is_broken_before_a_visit_is_missed():
    coat = task("coat", 2, "ann", release=8)
    coat = replace(coat, crews=(Crew(("ann",), ((8, 8),)),))
    visit = Task("visit", 1, (Crew((), ((25, 26),)),), counts=False)
    lags = (Lag("coat", "visit", ((0, 3),), ((0, 12),)),)
    found = reshuffled(network(coat, visit, lags=lags), {"coat": 8, "visit": 25}, 10)
    assert found.overrun == (Overrun("within", "visit", "coat", 3),)


def test_a_visit_is_missed_only_when_nothing_else_will_do():
    prep = task("prep", 4, "ann", release=22)
    visit = Task("visit", 1, (Crew((), ((23, 24),)),), counts=False)
    found = reshuffled(network(prep, visit, lags=(Lag("prep", "visit"),)), {"prep": 18, "visit": 23}, 26)
    assert found.overrun == (Overrun("visit", "visit", "", 2),)
    assert found.starts["visit"] == 26
