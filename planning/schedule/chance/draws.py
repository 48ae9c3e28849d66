"""Seeded draws: each uncertain thing has its own stream, so the same seed gives the same numbers in every process.

A stream is known by a name, not by its turn: a step more or less leaves the draws of all others as they were, and two
plans of one job can be compared draw by draw.
"""

from collections.abc import Callable, Hashable
from functools import lru_cache
from statistics import NormalDist
from zlib import crc32

import numpy as np
import numpy.typing as npt

Draw = npt.NDArray[np.float64]
"""One number for each draw."""

Z90 = NormalDist().inv_cdf(0.9)
"""How many standard deviations the 90 % value of a normal distribution lies above its middle."""

FARTHEST = NormalDist().inv_cdf(0.99)
"""No draw lies beyond its 1 or 99 % value: the bands say nothing of what lies there (our own rule)."""


class Draws:
    """Streams of standard normal numbers, `count` of them in each.

    Each stream holds one number from each of `count` equally likely slices, in its own random order (a Latin
    hypercube): so every band is met exactly, and shares settle with far fewer draws.
    """

    def __init__(self, count: int, seed: int, labels_known: bool = True) -> None:
        """`labels_known`: materials cure as the plan's numbers say; else each class may be any product of its kind."""
        self.count = count
        self.labels_known = labels_known
        self._seed = seed
        self._known: dict[str, Draw] = {}
        self._kept: dict[Hashable, Draw] = {}

    def kept(self, key: Hashable, make: Callable[[], Draw]) -> Draw:
        """What was made of the draws under that key, made once."""
        if key not in self._kept:
            self._kept[key] = make()
        return self._kept[key]

    def normal(self, name: str) -> Draw:
        """The stream of that name: mean 0, deviation 1, cut at the 1 and 99 % values."""
        if name not in self._known:
            seeds = np.random.SeedSequence([self._seed, crc32(name.encode())])
            order = np.random.Generator(np.random.PCG64(seeds)).permutation(self.count)
            self._known[name] = _slices(self.count)[order]
        return self._known[name]

    def beyond(self, name: str, least: float) -> Draw:
        """The same stream, given that it lies above `least`."""
        below = NormalDist().cdf(min(least, FARTHEST))
        ranks = np.argsort(np.argsort(self.normal(name), kind="stable"), kind="stable")
        middles = (np.arange(self.count) + 0.5) / self.count
        found: Draw = np.interp(below + middles[ranks] * (1 - below), middles, _slices(self.count))
        return found


@lru_cache(maxsize=8)
def _slices(count: int) -> Draw:
    normal = NormalDist()
    values = np.array([normal.inv_cdf((n + 0.5) / count) for n in range(count)], np.float64)
    found: Draw = np.clip(values, -FARTHEST, FARTHEST)
    return found


def between(low: float, typical: float, high: float, z: Draw) -> Draw:
    """Numbers whose 10, 50 and 90 % values are these three: half a normal distribution on either side of the middle.

    (A split normal through three quantiles; from memory.) Never below half of `low`.
    """
    if low == typical == high:
        return np.full(z.shape, float(typical))
    below, above = (typical - low) / Z90, (high - typical) / Z90
    found: Draw = np.maximum(typical + np.where(z < 0, below, above) * z, low / 2)
    return found


def standing(low: float, typical: float, high: float, value: float) -> float:
    """How many deviations from the middle a value lies: what `between` would have had to be given."""
    spread = (typical - low if value < typical else high - typical) / Z90
    return (value - typical) / spread if spread > 0 else (0.0 if value <= typical else FARTHEST)
