"""Ways out of many impossible jobs: `python -m tests.bench.ways_out [SEEDS] [ROOMS]`. Prints a line a job and the sums.

Each clash is checked to be smallest by planning with every fact but one; each way out is noted in a record and planned
again, and must give a judged plan at the cost it named. A job that fails any of it is printed with what was wrong.
"""

import sys
from time import perf_counter

from planning.schedule.build.network_of import build
from planning.schedule.choices import make_choices
from planning.schedule.clash import job_clash
from planning.schedule.no_plan import NoPlan
from planning.trade.expand import expand
from tests.impossible_job import KINDS, impossible_job, morning
from tests.planning.schedule import test_ways_out as checks


def main(seeds: int, rooms: int) -> None:
    """Run them all."""
    named = smallest = some = two = wrong = made = 0
    clash_s: list[float] = []
    ways_s: list[float] = []
    for seed in range(seeds):
        try:
            job = impossible_job(seed, rooms)
        except (NoPlan, StopIteration):
            continue
        made += 1
        began = perf_counter()
        clash = job_clash(build(job, expand(job).steps, (), morning(job)), ())
        clash_s.append(perf_counter() - began)
        began = perf_counter()
        try:
            ways = make_choices(job, (), morning(job), solve=checks.quickly)
        except NoPlan:
            ways = []
        ways_s.append(perf_counter() - began)
        try:
            if clash.smallest:
                checks.check_smallest(job)
            for way in ways:
                checks.check_applied(job, (), morning(job), way)
        except AssertionError as found:
            wrong += 1
            print(f"seed {seed}: {' '.join(str(found).split())[:200]}")
        named += bool(clash.facts)
        smallest += clash.smallest
        some += bool(ways)
        two += len(ways) > 1
        titles = "; ".join(way.title for way in ways) or "no way out"
        titles = "; ".join(way.title for way in ways) or "no way out"
        kind = KINDS[seed % len(KINDS)]
        print(f"{seed:3} {kind:10} {clash_s[-1]:5.1f} s  {len(clash.facts)} facts  {ways_s[-1]:5.1f} s  {titles}")
    for name, took in (("clash", sorted(clash_s)), ("ways", sorted(ways_s))):
        print(f"{name}: p50 {took[len(took) // 2]:.1f} s, worst {took[-1]:.1f} s")
    print(f"{made} jobs: clash named {named}, smallest {smallest}; a way out {some}, two or more {two}; wrong {wrong}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 24, int(sys.argv[2]) if len(sys.argv) > 2 else 1)
