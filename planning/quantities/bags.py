"""Whole packages: never 1.3 bags without "take 2", the spare where the trade keeps one, mix water and batches."""

from dataclasses import dataclass
from itertools import product
from math import ceil

from planning.quantities.si import whole


@dataclass(frozen=True, slots=True)
class Packages:
    """So many whole packages to use and so many spare. `needed` is the count before rounding, waste in."""

    needed: float
    use: int
    spare: int = 0

    @property
    def bring(self) -> int:
        """What goes in the van."""
        return self.use + self.spare


def packages(amount: float, per_package: float, waste: float = 0.0, spare: int = 0) -> Packages:
    """Whole packages for an amount in the package's own unit. A spare is only taken where something is used."""
    if per_package <= 0:
        raise ValueError(f"a package holds more than 0, not {per_package}; write its yield from the label")
    if amount < 0 or waste < 0:
        raise ValueError(f"amount {amount} and waste {waste} must be 0 or more")
    needed = amount * (1 + waste) / per_package
    use = whole(needed)
    return Packages(needed, use, spare if use else 0)


def mixed_sizes(amount: float, sizes: tuple[float, ...]) -> tuple[int, ...]:
    """How many of each package size to take: the least left over, then the fewest packages, then the largest ones.

    One count a size, in the order given: 4.2 gal from (3.5, 1) is one of each, 3.7 gal four of 1.
    """
    if not sizes or min(sizes) <= 0:
        raise ValueError("give at least one package size above 0")
    ranges = [range(ceil(amount / size) + 1) for size in sizes]
    enough = [
        counts for counts in product(*ranges) if sum(n * s for n, s in zip(counts, sizes, strict=True)) >= amount - 1e-9
    ]
    return min(enough, key=lambda c: _worth(c, amount, sizes))


def _worth(counts: tuple[int, ...], amount: float, sizes: tuple[float, ...]) -> tuple[float, int, tuple[float, ...]]:
    bought = sum(n * size for n, size in zip(counts, sizes, strict=True))
    largest = tuple(-n for _, n in sorted(zip(sizes, counts, strict=True), reverse=True))
    return round(bought - amount, 9), sum(counts), largest


def yield_m3(powder_kg: float, water_l: float, wet_density_kg_m3: float) -> float:
    """What a bag gives when it is mixed, from its weight and water: a check on the label, not instead of it."""
    return (powder_kg + water_l) / wet_density_kg_m3


def mix_water_l(bags: int, water_per_bag_l: float) -> float:
    """Water for so many bags, measured, never to feel. More water makes weak and dusty work."""
    return bags * water_per_bag_l


def batch_sizes(bags: int, most_per_batch: int) -> tuple[int, ...]:
    """Bags of each batch, as even as can be, the larger ones first: 5 bags of at most 2 a batch are 2, 2, 1."""
    if most_per_batch < 1:
        raise ValueError("a batch takes at least one bag")
    return shared_out(bags, ceil(bags / most_per_batch)) if bags > 0 else ()


def shared_out(bags: int, shares: int) -> tuple[int, ...]:
    """Whole bags in so many shares as even as can be, the larger ones first; no share is empty: 2 bags make two."""
    count = min(shares, bags)
    if count < 1:
        return ()
    least, more = divmod(bags, count)
    return tuple(least + 1 for _ in range(more)) + tuple(least for _ in range(count - more))
