"""When a crew may start, how long a curve makes one wait, and sets of ticks as big integers.

Start ranges and curves are ascending, as `network` says. A set of ticks is one integer: bit t is tick t.
"""

from bisect import bisect_right
from collections.abc import Sequence

from planning.schedule.network import Crew, Curve, Network, Task, Tick

FAR: Tick = 1 << 40
"""Beyond every tick of every network."""


def span(start: Tick, finish: Tick) -> int:
    """The ticks of [start, finish) as a set of bits; none when it is empty."""
    return ((1 << (finish - start)) - 1) << start if finish > start else 0


def ranges(inclusive: Sequence[tuple[Tick, Tick]]) -> int:
    """The ticks of ascending ranges (first, last), both included, as a set of bits."""
    if not inclusive:
        return 0
    # A run of ones is a power of two less a smaller one, so the set is the sum of the ends less that of the starts.
    size = (inclusive[-1][1] + 1 >> 3) + 1
    starts, ends = bytearray(size), bytearray(size)
    for first, last in inclusive:
        last += 1
        starts[first >> 3] |= 1 << (first & 7)
        ends[last >> 3] |= 1 << (last & 7)
    return int.from_bytes(ends, "little") - int.from_bytes(starts, "little")


def spread(ticks: int, length: int) -> int:
    """The starts from which `length` ticks in a row would touch any of those ticks."""
    reach = 1
    while reach * 2 <= length:
        ticks |= ticks >> reach
        reach *= 2
    return ticks | ticks >> (length - reach) if length > reach else ticks


def next_start(crew: Crew, tick: Tick) -> tuple[Tick, int] | None:
    """The first start at or after that tick, with the ticks a meal adds; None when there is none."""
    starts = crew.starts
    best = FAR
    at = bisect_right(starts, (tick, FAR))
    if at and starts[at - 1][1] >= tick:
        return tick, 0
    if at < len(starts):
        best = starts[at][0]
    extra = 0
    pauses = crew.pauses
    if pauses:
        at = bisect_right(pauses, (tick, FAR, 0))
        if at and pauses[at - 1][1] >= tick:
            return tick, pauses[at - 1][2]
        if at < len(pauses) and pauses[at][0] < best:
            best, _, extra = pauses[at]
    return (best, extra) if best < FAR else None


def meal_at(crew: Crew, start: Tick) -> int | None:
    """The ticks a meal adds to work begun at that very tick; None when the crew may not begin there."""
    found = next_start(crew, start)
    return found[1] if found is not None and found[0] == start else None


def last_start(crew: Crew, ticks: int, finish: Tick, start: Tick = FAR) -> Tick | None:
    """The last start no later than `start` from which `ticks` of work are over by `finish`; None when there is none."""
    best = -1
    bound = min(start, finish - ticks)
    at = bisect_right(crew.starts, (bound, FAR))
    if at:
        best = min(crew.starts[at - 1][1], bound)
    at = bisect_right(crew.pauses, (bound, FAR, 0))
    for first, last, extra in reversed(crew.pauses[max(0, at - 3) : at]):
        latest = min(last, start, finish - ticks - extra)
        if latest >= first:
            best = max(best, latest)
            break
    return best if best >= 0 else None


def first_start_ending(crew: Crew, ticks: int, finish: Tick) -> Tick:
    """The first start from which `ticks` of work end no sooner than `finish`; without a meal when there is none."""
    tick = finish - ticks - max((extra for _, _, extra in crew.pauses), default=0)
    while (found := next_start(crew, tick)) is not None:
        if found[0] + ticks + found[1] >= finish:
            return found[0]
        tick = found[0] + 1
    return finish - ticks


def late_visit(network: Network, ticks: int, tick: Tick) -> Tick:
    """Where a visit whose appointed time has gone by may come, at or after that tick: in anybody's working hours."""
    starts = (max(tick, first) for days in network.person_days.values() for first, last in days
              if max(tick, first) + ticks <= last)  # fmt: skip
    return min(starts, default=max(tick, network.horizon))


def value(curve: Curve, tick: Tick) -> int:
    """The curve's ticks for something that ends (or starts) at that tick."""
    if len(curve) == 1:
        return curve[0][1]
    return curve[max(0, bisect_right(curve, (tick, FAR)) - 1)][1]


def after(curve: Curve, tick: Tick) -> Tick:
    """The tick at which a wait counted from `tick` is over."""
    return tick + value(curve, tick)


def latest_from(curve: Curve, over: Tick) -> Tick:
    """The last tick from which the wait is over by `over`."""
    if len(curve) == 1:
        return over - curve[0][1]
    at = bisect_right(curve, over, key=lambda point: point[0] + point[1])
    latest = over - curve[max(0, at - 1)][1]
    return min(latest, curve[at][0] - 1) if 0 < at < len(curve) else latest


def earliest_from(curve: Curve, over: Tick) -> Tick:
    """The first tick from which the wait is over no sooner than `over`."""
    return latest_from(curve, over - 1) + 1


def is_visit(task: Task) -> bool:
    """Is it somebody from outside who comes? (No crew has people.)"""
    return not any(crew.people for crew in task.crews)
