"""The smallest set of facts that cannot all be kept: QuickXplain over questions "is there a plan?".

The method is as published (AAAI 2004). Each question is put to the quick first plan, which says yes in milliseconds,
and then to the solver, which says no as soon as it can; what neither settles counts as "may fit", and the set found
then is not said to be smallest.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from planning.schedule.first_plan import first_plan
from planning.schedule.network import Network

Key = TypeVar("Key")

MOST_QUESTIONS = 120
"""How often it is asked whether a plan fits, before nothing is named (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Smallest(Generic[Key]):
    """What clashes. `facts` empty: all can be kept, or it was not found out (`settled` False).

    `smallest`: without any one of the facts the others can be kept together.
    """

    facts: tuple[Key, ...]
    settled: bool
    smallest: bool


class _Enough(Exception):
    """So many questions were asked as may be."""


class _Search(Generic[Key]):
    def __init__(self, plannable: Callable[[Sequence[Key]], bool | None], most: int) -> None:
        self.plannable = plannable
        self.left = most
        self.sure = True

    def clash(self, kept: Sequence[Key]) -> bool:
        """Is it proved that these cannot all be kept?"""
        if self.left <= 0:
            raise _Enough
        self.left -= 1
        answer = self.plannable(kept)
        self.sure = self.sure and answer is not None
        return answer is False

    def needed(self, always: list[Key], added: bool, facts: Sequence[Key]) -> list[Key]:
        """Those of the facts that clash together with what is always kept, none of them to spare."""
        if added and self.clash(always):
            return []
        if len(facts) == 1:
            return list(facts)
        half = len(facts) // 2
        first, rest = list(facts[:half]), list(facts[half:])
        of_rest = self.needed([*always, *first], True, rest)
        of_first = self.needed([*always, *of_rest], bool(of_rest), first)
        return [*of_first, *of_rest]


def smallest(
    facts: Sequence[Key], plannable: Callable[[Sequence[Key]], bool | None], most: int = MOST_QUESTIONS
) -> Smallest[Key]:  # fmt: skip
    """A smallest clash among the facts. `plannable(kept)`: is there a plan that keeps these? None: not settled.

    At most `most` questions are asked: past them nothing is named.
    """
    search = _Search(plannable, most)
    try:
        whole = plannable(facts)
        if whole is not False or not facts:
            return Smallest((), settled=whole is not None, smallest=False)
        found = search.needed([], False, facts)
    except _Enough:
        return Smallest((), settled=False, smallest=False)
    return Smallest(tuple(found), settled=True, smallest=search.sure)


def has_plan(network: Network, effort: float) -> bool | None:
    """Is there a plan that keeps everything the network asks? None when `effort` (deterministic) did not settle it."""
    if any(not (crew.starts or crew.pauses) for task in network.tasks if task.fixed is None for crew in task.crews):
        network = _manned(network)
    if any(not task.crews for task in network.tasks):
        return False
    if first_plan(network, tries=1) is not None:
        return True
    from planning.schedule.solver import Limits, solve

    status = solve(network, None, Limits(effort=effort, stages=())).status
    return None if status == "unknown" else status != "none"


def _manned(network: Network) -> Network:
    """The network without the crews that may never begin."""
    tasks = tuple(
        task if task.fixed is not None
        else replace(task, crews=tuple(crew for crew in task.crews if crew.starts or crew.pauses))
        for task in network.tasks
    )  # fmt: skip
    return replace(network, tasks=tasks)
