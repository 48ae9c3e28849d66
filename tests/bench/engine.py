"""The planner on generated jobs: how soon a plan is there, how good it is proved to be, how it takes a late day.

`python -m tests.bench.engine [--level L] [--only NAME ...]`. L of 1 is the whole bench (30 jobs of each size, hours of
it on two cores); the default 0.1 takes some minutes. Wall-clock limits mean what they mean on this machine while
nothing else runs on it: the load is printed. Plain Python is timed by its own work. Times of the jobs are invented and
plausible (tests/any_network), so the figures are about the planner, not about the world. Every plan counted is
checked by a second reading of the rules.
"""

import argparse
import os
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import time as clock_time
from functools import cache, partial
from pathlib import Path

from ortools.sat.python import cp_model

from planning.job.hours import instant
from planning.job.plan import NOT_PROVED
from planning.records.job_file import read_job
from planning.schedule.bound import finish_bound
from planning.schedule.build.network_of import build as built_of
from planning.schedule.chance.of_plan import chance_of
from planning.schedule.first_plan import first_plan, patient_plan
from planning.schedule.lay.board import Board
from planning.schedule.lay.laying import lay_all
from planning.schedule.make_plan import SPARE_DAYS, Answer, finished_plan
from planning.schedule.network import TICK_MIN, Network, Solution
from planning.schedule.order.measures import solution_from
from planning.schedule.propagate import tighten
from planning.schedule.repair import as_before, repair
from planning.schedule.shape import groups, shape_of
from planning.schedule.solver import Limits, StopFlag, solve
from planning.schedule.solver.build import build
from planning.schedule.solver.goals import finish as finish_of
from planning.trade.expand import expand
from tests.any_network import any_network
from tests.planning.schedule.late_day import late_day
from tests.planning.schedule.network_check import broken

DAY = 288
SIZES = (2, 4, 6, 8)
LARGE = {20: 6, 40: 11, 60: 17}
"""Rooms and people of a building: pooled crews."""
SEEDS = 30
DEMOS = Path(__file__).parents[2] / "demo_jobs"
NORMAL = Limits(wall_s=1e6)
WALL = time.perf_counter


@dataclass(frozen=True)
class Case:
    """One generated job with its first plan and our bound."""

    rooms: int
    seed: int
    network: Network
    first: Solution | None
    bound: int
    first_ms: float
    instant_ms: float
    bound_ms: float


def took_ms(call: Callable[[], object], clock: Callable[[], float] = time.process_time) -> float:
    """Milliseconds of one call: of this process's own work, unless another clock is given."""
    begin = clock()
    call()
    return (clock() - begin) * 1000


@cache
def case(rooms: int, seed: int, people: int | None = None) -> Case:
    """The job of that size and seed. Promises are left out: here the finish alone is looked at."""
    network = replace(any_network(seed, rooms, people), dues=())
    first_ms = min(took_ms(lambda: first_plan(network, 1)) for _ in range(3))
    instant_ms = took_ms(lambda: first_plan(network))
    bound_ms = took_ms(lambda: finish_bound(network))
    first, bound = first_plan(network), finish_bound(network)
    if first is not None:
        network = replace(network, horizon=min(network.horizon, first.finish + SPARE_DAYS * DAY))
    return Case(rooms, seed, network, first, bound, first_ms, instant_ms, bound_ms)


def ours(one: Case, seconds: float) -> Solution:
    """As a plan is made: first plan, bound, stages; the wall clock cuts it."""
    begin = WALL()
    first = patient_plan(one.network)
    left = max(0.1, seconds - (WALL() - begin))
    limits = Limits(effort=max(0.5, seconds / 10), wall_s=left, finish_bound=one.bound, stages=("finish",))
    return solve(one.network, first, limits)


def plain(one: Case, seconds: float) -> tuple[int | None, int]:
    """The bare model: the same rules, no first plan, no bound of ours, the engine's own ways. (finish, bound)."""
    model = build(one.network)
    expr = finish_of(model)
    model.cp.minimize(expr)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model.cp)
    found = solver.value(expr) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
    return found, int(solver.best_objective_bound) if status != cp_model.UNKNOWN else 0


def by_hand(one: Case, by_rooms: bool) -> Solution | None:
    """A setter's rule, looking ahead within windows: room after room, or each next step in every room in turn."""
    shape = shape_of(one.network)
    turn: dict[str, int] = {}
    key = [0.0] * len(shape.tasks)
    for n in shape.topo:
        room = shape.tasks[n].id.partition("/")[0]
        turn[room] = turn.get(room, 0) + 1
        place = list(turn).index(room)
        key[n] = place * 1000.0 + turn[room] if by_rooms else turn[room] * 1000.0 + place
    board = Board(shape)
    if lay_all(board, groups(shape, False), key) is not None:
        return None
    laid = [board.laid[n] for n in range(len(shape.tasks))]
    return solution_from(shape, [s.start for s in laid], [s.finish for s in laid], [s.crew for s in laid],
                         [s.way for s in laid])  # fmt: skip


def at(values: Iterable[float], share: float) -> float:
    """The value that this share of them does not exceed."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] if ordered else float("nan")


def valid(one: Case, plan: Solution) -> bool:
    """Does a second reading of the rules find nothing broken?"""
    return not broken(one.network, plan)


def plannable(rooms: int, seeds: int) -> list[Case]:
    """The jobs of a size that have a plan at all, as far as our first plan knows."""
    return [one for one in (case(rooms, seed) for seed in range(seeds)) if one.first is not None]


def first_plans(seeds: int) -> Iterator[str]:
    """(a) How soon a first valid plan is there."""
    yield "CPU ms p50 p95 of: first valid plan | instant plan | bound"
    yield "rooms steps links jobs none | first | instant | bound | proved at once"
    for rooms in SIZES:
        some = plannable(rooms, seeds)
        steps, links = len(some[0].network.tasks), len(some[0].network.lags)
        times = [(at(t, 0.5), at(t, 0.95)) for t in ([o.first_ms for o in some], [o.instant_ms for o in some],
                                                     [o.bound_ms for o in some])]  # fmt: skip
        proved = sum(o.first is not None and o.first.finish <= o.bound for o in some)
        cells = " | ".join(f"{p50:6.1f} {p95:6.1f}" for p50, p95 in times)
        yield f"{rooms:5} {steps:5} {links:5} {len(some):4} {seeds - len(some):4} | {cells} | {proved}/{len(some)}"


def proofs(seeds: int) -> Iterator[str]:
    """(b, c) How many are proved best in 5 s, ours against the bare model; how far from the best known at 4 s."""
    yield "rooms jobs | proved: ours plain | within 2 h of best at 4 s | days to the better bound p50 p95 | invalid"
    for rooms in SIZES:
        rows = []
        for one in plannable(rooms, seeds):
            four, five, bare = ours(one, 4), ours(one, 5), plain(one, 5)
            longer = ours(one, 20) if five.finish > five.finish_bound else five
            known = min(x for x in (four.finish, five.finish, longer.finish, bare[0]) if x is not None)
            bound = max(five.finish_bound, bare[1])
            rows.append((five.finish <= five.finish_bound, bare[0] is not None and bare[0] <= bare[1],
                         (four.finish - known) * TICK_MIN <= 120, working_days(one.network, bound, five.finish),
                         not valid(one, five)))  # fmt: skip
        count = len(rows)
        sums = [sum(row[n] for row in rows) for n in (0, 1, 2, 4)]
        days = [row[3] for row in rows]
        yield (f"{rooms:5} {count:4} | {sums[0]}/{count} {sums[1]}/{count} | {sums[2]}/{count} | "
               f"{at(days, 0.5):.2f} {at(days, 0.95):.2f} | {sums[3]}")  # fmt: skip


def working_days(network: Network, first: int, last: int) -> float:
    """How many working days of the longest-working person lie between two ticks."""
    shifts = max(network.person_days.values(), key=len)
    full = max(end - start for start, end in shifts)
    return sum(max(0, min(end, last) - max(start, first)) for start, end in shifts) / full


def hands(seeds: int) -> Iterator[str]:
    """How much sooner than a setter's own rules, in working days, and how many person-days fewer."""
    yield "rooms jobs | days sooner than room by room p50 p95 | than step by step | person-days fewer p50"
    for rooms in SIZES:
        sooner: dict[bool, list[float]] = {True: [], False: []}
        fewer = []
        for one in plannable(rooms, seeds):
            best = solve(one.network, one.first, replace(NORMAL, finish_bound=one.bound))
            for rule in sooner:
                plan = by_hand(one, rule)
                if plan is not None:
                    sooner[rule].append(working_days(one.network, best.finish, plan.finish))
                    fewer.append(plan.stages["person_days"] - best.stages["person_days"])
        cells = " | ".join(f"{at(v, 0.5):.1f} {at(v, 0.95):.1f} ({len(v)})" for v in sooner.values())
        yield f"{rooms:5} {len(plannable(rooms, seeds)):4} | {cells} | {at(fewer, 0.5):.0f}"


def late_days(seeds: int) -> Iterator[str]:
    """(d) A running step 90 min late: the order-keeping answer, and the usable one."""
    yield "rooms jobs | order kept, pushed right ms p50 p95 | keeps all facts | reshuffle s p50 p95"
    for rooms in SIZES:
        pushed, whole, best = [], [], []
        for one in plannable(rooms, seeds):
            assert one.first is not None
            after = late_day(one.network, one.first, one.seed, 90 // TICK_MIN)
            before = as_before(after)
            pushed.append(min(took_ms(partial(repair, after, before)) for _ in range(3)))
            kept = repair(after, before)
            whole.append(not kept.overrun)
            best.append(took_ms(partial(solve, after, kept, Limits(wall_s=5.0)), WALL) / 1000)
        cells = f"{at(pushed, 0.5):.1f} {at(pushed, 0.95):.1f} | {sum(whole)}/{len(whole)}"
        yield f"{rooms:5} {len(pushed):4} | {cells} | {at(best, 0.5):.2f} {at(best, 0.95):.2f}"


def stops(seeds: int) -> Iterator[str]:
    """How soon a running search ends once it is asked to, wherever it stands."""
    yield "rooms stops | ms p50 p95 max"
    for rooms in SIZES[1:]:
        waits = [wait for one in plannable(rooms, seeds) for wait in (_stop_after(one, n / 5) for n in range(1, 5))]
        yield f"{rooms:5} {len(waits):5} | {at(waits, 0.5):.0f} {at(waits, 0.95):.0f} {max(waits):.0f}"


def _stop_after(one: Case, seconds: float) -> float:
    stop, asked = StopFlag(), [0.0]

    def ask() -> None:
        asked[0] = WALL()
        stop.set()

    timer = threading.Timer(seconds, ask)
    timer.start()
    solve(one.network, one.first, Limits(effort=50.0), stop=stop)
    timer.join()
    return (WALL() - asked[0]) * 1000


def chances(_: int) -> Iterator[str]:
    """How long 2,000 draws of a whole plan take: its scene and all four runs (labels read or not, by day or not)."""
    yield "demo job steps | CPU ms"
    for path in sorted(DEMOS.glob("*.toml")):
        job = read_job(path)[0]
        assert job is not None
        steps = expand(job).steps
        built = built_of(job, steps, (), instant(job.zone, job.start, clock_time(6, 58)))
        first = first_plan(built.network)
        assert first is not None
        found = tighten(built.network, first)
        plan = finished_plan(built, Answer(found, NOT_PROVED), job, steps, ())
        spent = min(took_ms(partial(chance_of, built, found, plan)) for _ in range(3))
        yield f"{path.stem:15} {len(built.network.tasks):4} | {spent:.0f}"


def buildings(seeds: int) -> Iterator[str]:
    """(e) Twenty to sixty rooms: the first plan, and the distance to the bound after 30 s."""
    yield "rooms steps jobs | first valid plan ms p50 | bound s p50 | distance % first plan p50, at 30 s p50"
    for rooms, people in LARGE.items():
        some = [case(rooms, seed, people) for seed in range(max(1, seeds // 6))]
        found = [(one, ours(one, 30.0)) for one in some if one.first is not None]
        gap = [_gap(one, one.first.finish) for one, _ in found if one.first is not None]
        after = [_gap(one, plan.finish) for one, plan in found]
        times = f"{at([o.first_ms for o in some], 0.5):.0f} | {at([o.bound_ms for o in some], 0.5) / 1000:.1f}"
        size = f"{rooms:5} {len(some[0].network.tasks):5} {len(found):4}"
        yield f"{size} | {times} | {at(gap, 0.5):.0f} {at(after, 0.5):.0f}"


def _gap(one: Case, finish: int) -> float:
    """Per cent of working time between the bound and that finish."""
    whole = working_days(one.network, one.network.now, one.bound) or 1.0
    return 100 * working_days(one.network, one.bound, finish) / whole


PARTS: dict[str, Callable[[int], Iterator[str]]] = {
    "first": first_plans, "proof": proofs, "hands": hands, "late": late_days, "stop": stops, "chance": chances,
    "large": buildings,
}  # fmt: skip


def main(arguments: Sequence[str]) -> int:
    """Print the tables asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--level", type=float, default=0.1)
    parser.add_argument("--only", action="append", choices=list(PARTS), default=[])
    asked = parser.parse_args(arguments)
    seeds = max(2, round(SEEDS * asked.level))
    print(f"{seeds} seeds a size; load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    for name, part in PARTS.items():
        if not asked.only or name in asked.only:
            print(f"\n{name}: {part.__doc__}")
            for line in part(seeds):
                print(line, flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
