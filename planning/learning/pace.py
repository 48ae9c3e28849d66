"""One pace from many observations, a fifth of which may be nonsense: near the densest half, by how near each mark is.

A mark forgotten till evening, or pressed twice, makes a ratio of many times or next to none. So the middle is first
looked for where half of all marks lie closest together (least median of squares), and then moved to the mean of the
marks near it, the nearer the heavier and the far ones not at all (biweight with that half's spread held fixed: an
MM-estimate of location; Rousseeuw 1984 and Yohai 1987, from memory). Ratios are taken as logarithms: twice as long and
half as long weigh the same.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

LEAST_SEEN = 8
"""Fewer observations say nothing."""
FAR = 4.0
"""What lies further from the middle than so many spreads does not count at all."""
NORMAL_HALF = 1.349
"""The densest half of a normal distribution is so many standard deviations wide."""
FEW = 5.0
"""The densest half of few marks is too narrow by about this much over their number (Rousseeuw's correction)."""
LEAST_SPREAD = 0.05
"""Nobody works more evenly than this; a narrower half is chance, or marks rounded to the hour."""
NINE_IN_TEN = 1.645
ROUNDS = 60
NEAR_ENOUGH = 1e-9


@dataclass(frozen=True, slots=True)
class Pace:
    """`ratio`: how many times as long as usual. `seen` observations, of which `kept` were near enough to count.

    `sure`: a factor; about nine times in ten the true pace lies between ratio / sure and ratio * sure, if the marks
    are independent of each other. It is a middle of what was noted, not a promise for the next room.
    """

    ratio: float
    seen: int
    kept: int
    sure: float


def pace_of(ratios: Iterable[float]) -> Pace | None:
    """The pace that most of these ratios agree on; None when there are too few to say. Ratios of 0 are no marks."""
    logs = sorted(log(ratio) for ratio in ratios if ratio > 0)
    if len(logs) < LEAST_SEEN:
        return None
    middle, spread = _densest_half(logs)
    for _ in range(ROUNDS):
        weights = [_weight((each - middle) / spread) for each in logs]
        moved = sum(weight * each for weight, each in zip(weights, logs, strict=True)) / sum(weights)
        if abs(moved - middle) < NEAR_ENOUGH:
            break
        middle = moved
    whole = sum(weights)
    rest = sqrt(sum(weight * (each - middle) ** 2 for weight, each in zip(weights, logs, strict=True)) / whole)
    error = NINE_IN_TEN * max(rest, 0.8 * spread) / sqrt(0.9 * whole)
    return Pace(exp(middle), len(logs), sum(weight > 0 for weight in weights), exp(error))


def _weight(away: float) -> float:
    """How much a mark counts that lies so many spreads from the middle: Tukey's biweight."""
    inside = 1 - (away / FAR) ** 2
    return inside * inside if inside > 0 else 0.0


def _densest_half(logs: Sequence[float]) -> tuple[float, float]:
    """The middle of the narrowest span that holds more than half, and the spread it stands for."""
    half = len(logs) // 2 + 1
    width, at = min((logs[n + half - 1] - logs[n], n) for n in range(len(logs) - half + 1))
    spread = width / NORMAL_HALF * (1 + FEW / (len(logs) - 1))
    return (logs[at] + logs[at + half - 1]) / 2, max(LEAST_SPREAD, spread)
