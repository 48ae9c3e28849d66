"""Sets of ticks as sorted, disjoint, inclusive ranges: the calendar's own arithmetic."""

from bisect import bisect_right
from collections.abc import Iterable
from functools import lru_cache

from planning.schedule.network import Tick

Ranges = tuple[tuple[Tick, Tick], ...]
"""Ascending (first, last) pairs, both ends in, that neither overlap nor touch."""

FAR = 1 << 40
"""Beyond every tick."""


def normal(ranges: Iterable[tuple[Tick, Tick]]) -> Ranges:
    """The same ticks as sorted ranges that neither overlap nor touch; empty ones are dropped."""
    return _normal(tuple(ranges))


@lru_cache(maxsize=4096)
def _normal(ranges: tuple[tuple[Tick, Tick], ...]) -> Ranges:
    merged: list[tuple[Tick, Tick]] = []
    last_tick = -FAR
    for first, last in sorted(ranges):
        if first > last:
            continue
        if first <= last_tick + 1:
            if last > last_tick:
                merged[-1] = (merged[-1][0], last)
                last_tick = last
        else:
            merged.append((first, last))
            last_tick = last
    return tuple(merged)


def clip(ranges: Ranges, low: Tick, high: Tick) -> Ranges:
    """The ticks of `ranges` from `low` to `high`, both in."""
    if not ranges or (ranges[0][0] >= low and ranges[-1][1] <= high):
        return ranges
    first = bisect_right(ranges, (low, FAR)) - 1
    if first < 0 or ranges[first][1] < low:
        first += 1
    end = bisect_right(ranges, (high, FAR))
    if first >= end:
        return ()
    kept = list(ranges[first:end])
    kept[0] = (max(kept[0][0], low), kept[0][1])
    kept[-1] = (kept[-1][0], min(kept[-1][1], high))
    return tuple(kept)


def shift(ranges: Ranges, by: int) -> Ranges:
    """Every tick moved by so many ticks."""
    return tuple((a + by, b + by) for a, b in ranges)


def union(many: Iterable[Ranges]) -> Ranges:
    """All ticks that are in any of them."""
    different = set(many)
    if len(different) == 1:
        return next(iter(different))
    return normal(sorted({pair for ranges in different for pair in ranges}))


def holds(ranges: Ranges, tick: Tick) -> bool:
    """Is the tick in one of the ranges?"""
    n = bisect_right(ranges, (tick, FAR)) - 1
    return n >= 0 and ranges[n][1] >= tick
