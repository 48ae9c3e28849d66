"""Generated jobs asked whether a note tells a date too early: `python -m tests.bench.told_dates [JOBS] [FIRST]`.

JOBS is 200 and FIRST, the first seed, 1 when left out.
"""

import sys
from time import perf_counter

from tests.planning.handover.dates import any_case, told_too_early


def run(jobs: int, first: int) -> int:
    """Ask so many jobs that have a plan, each on the evening of one of its first six days; print what was found."""
    asked = bad = 0
    seed = first - 1
    began = perf_counter()
    while asked < jobs:
        seed += 1
        case = any_case(seed, days=seed % 6)
        if case is None:
            continue
        asked += 1
        if asked % 25 == 0:
            print(f"{asked} asked, {bad} too early", flush=True)
        for wrong in told_too_early(case):
            bad += 1
            print(f"job {seed}: {wrong}")
    print(f"{asked} jobs of {seed - first + 1}, {bad} dates told too early, {perf_counter() - began:.0f} s")
    return 1 if bad else 0


if __name__ == "__main__":
    given = [int(word) for word in sys.argv[1:3]]
    sys.exit(run(given[0] if given else 200, given[1] if len(given) > 1 else 1))
