"""Days on which the job might end sooner, tried one after the other before a plan is made better bit by bit.

A search around a plan stays near it; a search for any plan at all that ends by a given evening often finds one where
the other never gets to. The days are halved: each answer, found or not, says which to ask about next.
"""

from collections.abc import Callable, Sequence

from planning.schedule.network import Network, Tick

DAY = 288

MOST_TASKS = 250
"""Of larger jobs a search from scratch finds no plan at all in useful time (measured on 20 to 60 rooms)."""

Dive = Callable[[Tick, float], bool]
"""(latest finish, effort) -> was a plan found that ends by then? It may spend less than it was given."""

SHARE = 0.75
"""How much of a stage's effort all dives together may take (measured on generated jobs of 6 and 8 rooms)."""

ONE = 0.7
"""How much of what is left one of several dives may take."""


def evenings(network: Network, bound: Tick, finish: Tick) -> list[Tick]:
    """The ends of the working days on which the job may end, from `bound` on, sooner than the day of `finish`;
    none for a job too large to look for a plan from scratch.
    """
    if sum(task.fixed is None for task in network.tasks) > MOST_TASKS:
        return []
    last: dict[int, Tick] = {}
    for shifts in network.person_days.values():
        for _, end in shifts:
            last[end // DAY] = max(end, last.get(end // DAY, 0))
    return sorted(end for day, end in last.items() if bound <= end < finish and day < finish // DAY)


def dive(asked: Sequence[Tick], try_by: Dive, left: Callable[[], float]) -> None:
    """Look for the soonest of these evenings by which the job can end, while `left` says that effort is left."""
    low, high = 0, len(asked)
    while low < high and (effort := left()) > 0:
        middle = (low + high) // 2
        if try_by(asked[middle], effort if high - low == 1 else effort * ONE):
            high = middle
        else:
            low = middle + 1
