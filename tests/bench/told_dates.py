"""Generated jobs asked whether a note tells a date too early: `python -m tests.bench.told_dates [JOBS]` (200)."""

import sys
from time import perf_counter

from tests.planning.handover.dates import any_case, told_too_early


def run(jobs: int) -> int:
    """Ask so many jobs that have a plan, each on the evening of one of its first six days; print what was found."""
    asked = bad = seed = 0
    began = perf_counter()
    while asked < jobs:
        seed += 1
        case = any_case(seed, days=seed % 6)
        if case is None:
            continue
        asked += 1
        for wrong in told_too_early(case):
            bad += 1
            print(f"job {seed}: {wrong}")
    print(f"{asked} jobs of {seed}, {bad} dates told too early, {perf_counter() - began:.0f} s")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(run(int(sys.argv[1]) if len(sys.argv) > 1 else 200))
