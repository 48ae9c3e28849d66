"""Looking for earlier days to end on: which days are asked about, and what comes of it in a whole solve."""

import time
from dataclasses import replace

import pytest

from planning.schedule.bound import finish_bound
from planning.schedule.first_plan import first_plan
from planning.schedule.network import Solution
from planning.schedule.repair import as_before, repair
from planning.schedule.solver import Limits, StopFlag, solve
from planning.schedule.solver.dives import DAY, dive, evenings
from planning.schedule.worker_client import SolverProcess
from tests.any_network import any_network
from tests.planning.schedule.late_day import late_day
from tests.planning.schedule.network_check import broken


@pytest.mark.parametrize("soonest", range(8))
def test_the_soonest_evening_that_works_is_found_in_few_dives(soonest: int) -> None:
    asked: list[int] = []

    def try_by(latest: int, _: float) -> bool:
        asked.append(latest)
        return latest >= soonest

    dive(range(7), try_by, lambda: 1.0)
    assert len(asked) <= 3
    works = [latest for latest in asked if latest >= soonest]
    assert min(works, default=7) == soonest


def test_no_dive_is_made_once_the_effort_is_spent() -> None:
    left = [0.3, 0.0]
    given: list[float] = []

    def try_by(_: int, effort: float) -> bool:
        given.append(effort)
        return True

    dive(range(5), try_by, lambda: left[len(given)])
    assert given == [pytest.approx(0.21)]


def test_evenings_are_those_of_working_days_before_the_day_of_the_plan() -> None:
    network = any_network(1, 2)
    shifts = [shift for shifts in network.person_days.values() for shift in shifts]
    low, high = 3 * DAY, 8 * DAY + 100
    asked = evenings(network, low, high)
    assert asked == sorted(asked)
    assert {end // DAY for end in asked} == {end // DAY for _, end in shifts if low <= end < 8 * DAY}
    assert all(any(end == last for _, end in shifts) for last in asked)


def test_a_solve_that_dives_ends_no_later_and_gives_the_same_plan_again() -> None:
    network = replace(any_network(1, 6), dues=())
    first = first_plan(network)
    assert first is not None
    bound = finish_bound(network)
    assert evenings(network, bound, first.finish), "this job must leave earlier days to look for"
    limits = Limits(effort=0.04, finish_bound=bound, stages=("finish",))
    found, again = solve(network, first, limits), solve(network, first, limits)
    assert broken(network, found) == []
    assert bound <= found.finish_bound <= found.finish
    assert found.finish // DAY < first.finish // DAY
    assert (found.starts, found.finish_bound) == (again.starts, again.finish_bound)


async def test_an_order_that_cannot_be_kept_ends_no_process_and_names_what_it_breaks() -> None:
    network = replace(any_network(0, 6), dues=())
    first = first_plan(network)
    assert first is not None
    after = late_day(network, first, 0, 18)
    kept = repair(after, as_before(after))
    assert kept.overrun, "the late day must break the old order"
    client = SolverProcess()
    found = await client.solve(after, kept, Limits(effort=0.1))
    await client.close()
    assert found.status == "good"
    assert found.overrun


def test_a_stop_in_the_middle_of_a_search_is_heard_at_once() -> None:
    network = replace(any_network(1, 6), dues=())
    stop = StopFlag()
    asked: list[float] = []

    def enough(_: Solution) -> None:
        if not asked:
            asked.append(time.perf_counter())
            stop.set()

    found = solve(network, first_plan(network), Limits(effort=50.0), enough, stop)
    # A tenth of a second where nothing else runs (see tests/bench/engine); here only that it is no matter of seconds.
    assert time.perf_counter() - asked[0] < 2.0
    assert found.cut_short
    assert broken(network, found) == []
