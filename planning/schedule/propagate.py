"""A plan's order of work worked through: everything as early as it allows, how late each task may begin, what is lost
first past that, and why a task is not earlier.
"""

from dataclasses import replace

from planning.schedule.availability import FAR
from planning.schedule.network import Network, Solution, Tick
from planning.schedule.order.fixpoints import Latest, earliest, latest
from planning.schedule.order.orders import Limit, Order, order_of
from planning.schedule.order.overrun import overruns
from planning.schedule.order.why import Reason, reason_codes

__all__ = ["Reason", "latest_starts", "reason_codes", "tighten", "what_breaks"]

ROUNDS = 4
"""How often a plan is tightened anew, as another toilet may serve a night once work has moved."""


def tighten(network: Network, solution: Solution) -> Solution:
    """Every task as early as the order of work allows (least fixpoint): same order, people, ways; curves exact.

    No task moves later. Nights stay served, windows stay kept, and what the solution breaks is broken no worse.
    """
    shape = None
    for _ in range(ROUNDS):
        order = order_of(network, solution, shape)
        shape = order.shape
        found = earliest(order)
        if not found.settled or found.start == order.start:
            break
        names = [task.id for task in shape.tasks]
        starts = dict(zip(names, found.start, strict=True))
        finishes = dict(zip(names, found.finish, strict=True))
        finish = max((finishes[task.id] for task in shape.tasks if task.counts), default=solution.finish)
        broken = overruns(shape, found.start, found.finish, order.crew) if solution.overrun else ()
        solution = replace(solution, starts=starts, finishes=finishes, finish=finish, overrun=broken)
    return solution


def latest_starts(network: Network, solution: Solution) -> dict[str, Tick | None]:
    """The latest safe start in this order of work of each task not yet begun (greatest fixpoint).

    Safe: no window, visit, due or night is lost and the job ends no later than the solution does (a due that is late
    already is no later). All tasks may begin at their latest together. None: nothing is lost however late (loose).
    """
    order, found = _worked(network, solution)
    tasks = order.shape.tasks
    return {
        task.id: found.start[n] if found.start[n] < FAR else None for n, task in enumerate(tasks) if task.fixed is None
    }


def what_breaks(network: Network, solution: Solution, task: str) -> tuple[str, ...] | None:
    """What is lost first when the task begins past its latest start and all else runs as late as it may.

    ("within", before, after): that window shuts; ("visit", id); ("due", what); ("night", its start tick);
    ("finish",): the job ends later. None when nothing is (loose) or the task has begun. Raises KeyError if unknown.
    """
    order, found = _worked(network, solution)
    n: int | None = order.shape.index[task]
    seen: set[int] = set()
    while n is not None and n not in seen:
        seen.add(n)
        cause = found.cause.get(n)
        if cause is None or isinstance(cause, tuple):
            return cause
        if isinstance(cause, Limit):
            return cause.root
        n = cause.after
    return None


_last: list[tuple[Network, Solution, Order, Latest]] = []
"""The last solution worked through: its sentences are asked for task by task."""


def _worked(network: Network, solution: Solution) -> tuple[Order, Latest]:
    for known, plan, order, found in _last:
        if known is network and plan is solution:
            return order, found
    order = order_of(network, solution)
    found = latest(order)
    _last[:] = [(network, solution, order, found)]
    return order, found
