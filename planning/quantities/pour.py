"""How much leveler a floor takes: volume from depths read on a grid of points, its thin and thick spots, its weight.

The volume of a grid is the borrow-pit method of surveying: a point counts once for each cell that meets there. The
plain mean of all points is biased, because it counts edges too much. Meters, square meters, cubic meters, kilograms.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from planning.quantities.si import GRAVITY_M_S2, PSF_KG_M2, whole

Depths = Sequence[Sequence[float]]

USUAL_DEAD_LOAD_KG_M2 = 10 * PSF_KG_M2
"""10 psf, the dead load that dwelling floors are usually designed for (trade press; span tables from memory)."""


@dataclass(frozen=True, slots=True)
class Pour:
    """One pour: its volume, and how thin and thick it lies."""

    volume_m3: float
    area_m2: float
    least_m: float
    most_m: float

    @property
    def mean_m(self) -> float:
        """Mean depth in meters."""
        return self.volume_m3 / self.area_m2 if self.area_m2 else 0.0


def even_pour(area_m2: float, depth_m: float) -> Pour:
    """A pour of the same depth everywhere."""
    if area_m2 < 0 or depth_m < 0:
        raise ValueError(f"area {area_m2} and depth {depth_m} must be 0 or more")
    return Pour(area_m2 * depth_m, area_m2, depth_m, depth_m)


def grid_pour(depths: Depths, every_m: tuple[float, float], area_m2: float | None = None) -> Pour:
    """A pour from rows of depths read at points `every_m` apart, (along a row, from row to row).

    With `area_m2` the mean depth of the grid is taken for that floor, for a grid that does not reach into every corner.
    Raises ValueError when the rows are no grid of at least 2 x 2 points, or a depth is below 0.
    """
    rows, columns = _checked(depths)
    weighted = sum(
        depth * _cells_at(row, rows) * _cells_at(column, columns)
        for row, line in enumerate(depths)
        for column, depth in enumerate(line)
    )
    mean = weighted / (4 * (rows - 1) * (columns - 1))
    grid_m2 = (rows - 1) * (columns - 1) * every_m[0] * every_m[1]
    area = grid_m2 if area_m2 is None else area_m2
    flat = [depth for line in depths for depth in line]
    return Pour(mean * area, area, min(flat), max(flat))


def depths_to(target_m: float, readings_m: Depths) -> tuple[tuple[float, ...], ...]:
    """Depths from heights of the old floor and the height the new one should have, both over the same level line.

    A point above the target gives a depth below 0: `grid_pour` refuses it, so raise the target or grind the point.
    """
    return tuple(tuple(target_m - reading for reading in line) for line in readings_m)


def _cells_at(index: int, count: int) -> int:
    return 1 if index in (0, count - 1) else 2


def _checked(depths: Depths) -> tuple[int, int]:
    rows = len(depths)
    columns = len(depths[0]) if rows else 0
    if rows < 2 or columns < 2:
        raise ValueError('a grid needs at least 2 rows of 2 depths; write depth = ["1/4 3/8 in", "1/8 1/4 in"]')
    for number, line in enumerate(depths, start=1):
        if len(line) != columns:
            raise ValueError(f"row {number} has {len(line)} depths and row 1 has {columns}; give each row the same")
        for depth in line:
            if not isfinite(depth) or depth < 0:
                raise ValueError(f"row {number} has the depth {depth}; a depth is 0 or more: raise the target or grind")
    return rows, columns


def load_kg_m2(thickness_m: float, density_kg_m3: float) -> float:
    """What a layer weighs on each square meter of floor."""
    return thickness_m * density_kg_m3


def load_kpa(thickness_m: float, density_kg_m3: float) -> float:
    """The same as a pressure in kilopascals, as engineers say it."""
    return load_kg_m2(thickness_m, density_kg_m3) * GRAVITY_M_S2 / 1000


def too_heavy(load: float, dead_load_kg_m2: float = USUAL_DEAD_LOAD_KG_M2) -> bool:
    """Does the layer alone weigh more than the floor's design dead load? Then an engineer must say yes first."""
    return load > dead_load_kg_m2 * (1 + 1e-9)


def lifts(pour: Pour, most_per_lift_m: float) -> int:
    """How many lifts the deepest point takes at the label's maximum depth a lift (1 when it fits in one)."""
    return max(1, whole(pour.most_m / most_per_lift_m))


def too_thin(pour: Pour, least_m: float) -> bool:
    """Is the highest point of the floor under the label's least depth? Then raise the level or grind the point."""
    return pour.least_m < least_m - 1e-9
