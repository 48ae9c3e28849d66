"""Sets of ticks as sorted, disjoint, inclusive ranges: the calendar's own arithmetic."""

from bisect import bisect_right
from collections.abc import Iterable

from planning.schedule.network import Tick

Ranges = tuple[tuple[Tick, Tick], ...]
"""Ascending (first, last) pairs, both ends in, that neither overlap nor touch."""


def normal(ranges: Iterable[tuple[Tick, Tick]]) -> Ranges:
    """The same ticks as sorted ranges that neither overlap nor touch; empty ones are dropped."""
    merged: list[tuple[Tick, Tick]] = []
    for first, last in sorted(r for r in ranges if r[0] <= r[1]):
        if merged and first <= merged[-1][1] + 1:
            merged[-1] = (merged[-1][0], max(merged[-1][1], last))
        else:
            merged.append((first, last))
    return tuple(merged)


def clip(ranges: Ranges, low: Tick, high: Tick) -> Ranges:
    """The ticks of `ranges` from `low` to `high`, both in."""
    if not ranges or (ranges[0][0] >= low and ranges[-1][1] <= high):
        return ranges
    return tuple((max(a, low), min(b, high)) for a, b in ranges if b >= low and a <= high)


def shift(ranges: Ranges, by: int) -> Ranges:
    """Every tick moved by so many ticks."""
    return tuple((a + by, b + by) for a, b in ranges)


def union(many: Iterable[Ranges]) -> Ranges:
    """All ticks that are in any of them."""
    return normal({pair for ranges in many for pair in ranges})


def holds(ranges: Ranges, tick: Tick) -> bool:
    """Is the tick in one of the ranges?"""
    n = bisect_right(ranges, (tick, 1 << 60)) - 1
    return n >= 0 and ranges[n][1] >= tick
