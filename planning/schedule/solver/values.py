"""A curve cut to few constant values without changing which plans fit.

A wait that moves with the air has many values, but what starts after it can start in working hours only. For each
tick it is counted from there is a whole interval of lengths that mean the same to what follows; the fewest constants
that hit every interval say exactly what the curve says.
"""

from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from planning.schedule.network import Curve
from planning.schedule.solver.ranges import Ranges

Ticks = npt.NDArray[np.int64]

FAR = 1 << 24
MARGIN = 12
"""Slack beyond this many ticks (an hour) is worth nothing more."""


@dataclass(frozen=True, slots=True)
class Value:
    """A constant length and the ticks it stands for."""

    ticks: int
    when: Ranges


@lru_cache(maxsize=1024)
def _ticks(ranges: Ranges) -> Ticks:
    if not ranges:
        return np.empty(0, np.int64)
    return np.concatenate([np.arange(a, b + 1, dtype=np.int64) for a, b in ranges])


def _ranges(ticks: Ticks) -> Ranges:
    ends = np.flatnonzero(np.diff(ticks) > 1)
    firsts = np.concatenate((ticks[:1], ticks[ends + 1]))
    lasts = np.concatenate((ticks[ends], ticks[-1:]))
    return tuple(zip(firsts.tolist(), lasts.tolist(), strict=True))


def constant(curve: Curve, when: Ranges) -> int | None:
    """The curve's one value over these ticks, or None when it has several."""
    if len(curve) == 1:
        return curve[0][1]
    n = max(bisect_right(curve, (when[0][0], FAR)) - 1, 0)
    end = max(bisect_right(curve, (when[-1][1], FAR)), 1)
    inside = {ticks for _, ticks in curve[n:end]}
    return inside.pop() if len(inside) == 1 else None


@lru_cache(maxsize=1024)
def _points(curve: Curve) -> tuple[Ticks, Ticks]:
    points = np.array(curve, np.int64)
    return points[:, 0], points[:, 1]


def _lengths(curve: Curve, at: Ticks) -> Ticks:
    starts, lengths = _points(curve)
    found: Ticks = lengths[np.maximum(np.searchsorted(starts, at, "right") - 1, 0)]
    return found


def wait_values(curve: Curve, when: Ranges, targets: Ranges) -> tuple[Value, ...]:
    """The fewest constants for a minimum counted from `when` to what can only start in `targets`."""
    alone = constant(curve, when)
    if alone is not None:
        return (Value(alone, when),)
    at = _ticks(when)
    ready = at + _lengths(curve, at)
    goals = np.concatenate(([-FAR], _ticks(targets), [FAR]))
    n = np.searchsorted(goals, ready, "left")
    return _stab(at, goals[n - 1] + 1 - at, goals[n] - at, largest=True)


def within_values(curve: Curve, when: Ranges, targets: Ranges, breakable: bool = False) -> tuple[Value, ...]:
    """The fewest constants for a maximum, exact also for slack up to an hour; if `breakable`, exact also beyond."""
    alone = constant(curve, when)
    if alone is not None:
        return (Value(alone, when),)
    at = _ticks(when)
    shut = at + _lengths(curve, at)
    goals = np.concatenate(([-FAR], _ticks(targets), [FAR]))
    n = np.searchsorted(goals, shut, "right")
    before, after = goals[n - 1], goals[n]
    loose = (shut - before >= MARGIN) & (not breakable)
    low = np.where(loose, before + MARGIN, shut)
    high = np.where(loose, after - 1, shut)
    # A start beyond the window must count from the window's true end.
    return _stab(at, low - at, high - at, largest=False)


def due_values(curve: Curve, when: Ranges, due: int) -> tuple[Value, ...]:
    """The fewest constants for how late something is; all that is in time counts alike."""
    alone = constant(curve, when)
    if alone is not None:
        return (Value(alone, when),)
    at = _ticks(when)
    lengths = _lengths(curve, at)
    early = at + lengths <= due
    return _stab(at, np.where(early, -FAR, lengths), np.where(early, due - at, lengths), largest=True)


def _stab(at: Ticks, low: Ticks, high: Ticks, largest: bool) -> tuple[Value, ...]:
    """Fewest points that hit every [low, high] (greedy by the smallest high), with the ticks that each one serves."""
    order = np.argsort(high, kind="stable")
    at, low, high = at[order], low[order], high[order]
    found: list[Value] = []
    while at.size:
        point = int(high[0])
        hit = low <= point
        if not largest or point >= FAR // 2:
            # Never below both zero and every value that will do: lengths stay lengths.
            point = max(int(low[hit].max()), min(0, int(high[hit].min())))
        found.append(Value(point, _ranges(np.sort(at[hit]))))
        at, low, high = at[~hit], low[~hit], high[~hit]
    return tuple(sorted(found, key=lambda value: value.ticks))
