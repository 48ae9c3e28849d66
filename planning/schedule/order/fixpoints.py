"""Earliest and latest places of all tasks in one order of work, by calendar-aware fixpoints over its edges.

Both kinds of edges (no sooner than, no later than) are differences, so the earliest places of all tasks together are a
plan, and so are the latest.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

from planning.schedule.availability import (
    FAR,
    after,
    earliest_from,
    first_start_ending,
    is_visit,
    last_start,
    late_visit,
    latest_from,
    next_start,
)
from planning.schedule.network import Tick
from planning.schedule.order.orders import AT_ONCE, Edge, Limit, Order

MOST_SWEEPS = 60
"""Sweeps before a fixpoint is given up; orders that fit settle in a handful."""


@dataclass(slots=True)
class Earliest:
    """The least places. `settled` False: the order runs in a circle or past the horizon, and the places keep not all
    of it. `pulled`: how often each window moved its opener.
    """

    start: list[Tick]
    finish: list[Tick]
    settled: bool = True
    pulled: Counter[int] = field(default_factory=Counter)


def earliest(order: Order) -> Earliest:
    """The least fixpoint. A window that would be shut moves its opener later (never one already begun)."""
    size = len(order.shape.tasks)
    found = Earliest([-1] * size, [-1] * size)
    start, finish = found.start, found.finish
    low = list(order.low)
    for n, task in enumerate(order.shape.tasks):
        if task.fixed is not None:
            start[n], finish[n] = task.fixed
    free = [n for n in order.sequence if not order.fixed(n)]
    horizon = order.shape.network.horizon
    for _ in range(MOST_SWEEPS):
        changed = _sweep(order, free, found, low)
        pulled = _pull(order, found, low)
        if not changed and not pulled:
            return found
        if pulled and max(finish) > horizon:
            break
    found.settled = False
    return found


def _sweep(order: Order, free: Sequence[int], found: Earliest, low: Sequence[Tick]) -> bool:
    """Move every task as far right as the edges into it ask; True when any moved."""
    start, finish = found.start, found.finish
    changed = False
    for n in free:
        tick = low[n]
        for edge in order.into[n]:
            base = start[edge.before] if edge.from_start else finish[edge.before]
            if base >= 0:
                ready = base if edge.curve is AT_ONCE else after(edge.curve, base)
                if ready > tick:
                    tick = ready
        if tick > start[n]:
            start[n], finish[n] = place(order, n, tick)
            changed = True
    return changed


def place(order: Order, n: int, tick: Tick) -> tuple[Tick, Tick]:
    """Where task n lies if it begins as soon as its crew can from that tick; beyond every hour if it never can."""
    task = order.shape.tasks[n]
    found = next_start(task.crews[order.crew[n]], tick)
    if found is None:
        network = order.shape.network
        late = is_visit(task) and task.crews[0].starts
        start = late_visit(network, task.ticks, tick) if late else max(tick, network.horizon)
        return start, start + task.ticks
    return found[0], found[0] + task.ticks + found[1]


def _pull(order: Order, found: Earliest, low: list[Tick]) -> bool:
    """Raise the openers of windows that would be shut by the start of the later task; True when any was raised."""
    start, finish = found.start, found.finish
    changed = False
    for at, (before, lag, later) in enumerate(order.windows):
        if order.fixed(before) or lag.within is None:
            continue
        base = start[before] if lag.from_start else finish[before]
        if start[later] > after(lag.within, base):
            need = earliest_from(lag.within, start[later])
            if not lag.from_start:
                task = order.shape.tasks[before]
                need = first_start_ending(task.crews[order.crew[before]], task.ticks, need)
            if need > low[before]:
                low[before] = need
                found.pulled[at] += 1
                changed = True
    return changed


@dataclass(slots=True)
class Latest:
    """The greatest places; FAR where nothing bounds them. `cause[n]`: what bounds n, a limit, a window's opener with
    what is lost, or the edge to the task it would push.
    """

    start: list[Tick]
    finish: list[Tick]
    cause: dict[int, Limit | Edge | tuple[str, ...]] = field(default_factory=dict)


def latest(order: Order) -> Latest:
    """The greatest fixpoint of the order under its limits; the calendar's end bounds nothing."""
    shape = order.shape
    size = len(shape.tasks)
    found = Latest([FAR] * size, [FAR] * size)
    for n, task in enumerate(shape.tasks):
        if task.fixed is not None:
            found.start[n], found.finish[n] = task.fixed
    for limit in sorted(order.limits, key=lambda each: each.tick):
        _lower(order, found, limit.task, limit.tick, FAR, limit)
    backwards = order.sequence[::-1]
    for _ in range(MOST_SWEEPS):
        changed = False
        for n in backwards:
            if order.fixed(n):
                continue
            for edge in order.out_of[n]:
                begin = found.start[edge.after]
                if begin < FAR:
                    over = begin if edge.curve is AT_ONCE else latest_from(edge.curve, begin)
                    by, start = (FAR, over) if edge.from_start else (over, FAR)
                    changed |= _lower(order, found, n, by, start, edge)
        for before, lag, later in order.windows:
            base = found.start[before] if lag.from_start else found.finish[before]
            if base < FAR and lag.within is not None and not order.fixed(later):
                root = ("within", lag.before, lag.after)
                changed |= _lower(order, found, later, FAR, after(lag.within, base), root)
        if not changed:
            break
    return found


def _lower(
    order: Order, found: Latest, n: int, finish: Tick, start: Tick, cause: Limit | Edge | tuple[str, ...]
) -> bool:
    """Let n end by `finish` and begin by `start` at the latest; True when that is news."""
    if order.fixed(n) or (found.finish[n] <= finish and found.start[n] <= start):
        return False
    task = order.shape.tasks[n]
    crew = task.crews[order.crew[n]]
    latest_start = last_start(crew, task.ticks, min(finish, found.finish[n]), min(start, found.start[n]))
    if latest_start is None:
        latest_start = order.start[n]
    latest_start = max(latest_start, order.start[n])
    if latest_start >= found.start[n]:
        return False
    fit = next_start(crew, latest_start)
    extra = fit[1] if fit is not None and fit[0] == latest_start else order.finish[n] - order.start[n] - task.ticks
    found.start[n], found.finish[n] = latest_start, latest_start + task.ticks + extra
    found.cause[n] = cause
    return True
