"""How much of each quantity a place has: floor, walls, pour, mud, bags, points. SI units, counts as floats."""

from collections.abc import Callable, Mapping

from planning.job.words import Quantity
from planning.quantities.pour import Pour, even_pour, grid_pour
from planning.quantities.sheets import height_points, sheet_count
from planning.quantities.si import FOOT_M, SQFT_M2
from planning.quantities.tile import movement_joints, tile_count
from planning.trade.materials import MaterialClass
from planning.trade.measures_of_room import Measured
from planning.trade.pan_of import pan_of
from planning.trade.places import Where

WALL_HEIGHT_M = 7 * FOOT_M
"""Height of tiled walls when nothing is said (common practice, no source)."""
SHEET_M2 = 15 * SQFT_M2
"""A board of 3 x 5 ft."""


def quantity(
    measured: Measured, name: Quantity, place: str, laid: MaterialClass | None = None, measure: str | None = None
) -> float:
    """That quantity of that place in SI: m2, m, m3, or a count. `laid` is the class that bags are counted of.

    `measure`: the measure that says it instead, where the setter or the method gives one.
    """
    said = measured.number(measure) if measure is not None else None
    if said is not None:
        return said
    where = measured.places.get(place) or measured.places["room"]
    return _QUANTITIES[name](measured, where, laid)


def pour_of(measured: Measured, where: Where) -> Pour:
    """The leveler's pour: from the grid of depths if there is one, else the average depth on the whole place."""
    grid = measured.values.get("heights")
    every = measured.values.get("heights_every")
    area = _floor_area(measured, where, None)
    if isinstance(grid, tuple) and isinstance(every, tuple) and len(every) == 2:
        rows = tuple(tuple(float(depth) for depth in row) for row in grid if isinstance(row, tuple))
        first, second = every
        if not isinstance(first, tuple) and not isinstance(second, tuple):
            return grid_pour(rows, (first, second), area)
    return even_pour(area, measured.number("depth") or 0.0)


def bags_of(measured: Measured, where: Where, laid: MaterialClass | None) -> float:
    """Whole bags of a poured or floated class, waste in, spare not; 0 for a class that is not laid by volume."""
    if laid is None or laid.spread != "volume":
        return 0.0
    poured = laid.family in ("leveler", "primer")
    volume = pour_of(measured, where).volume_m3 if poured else pan_of(measured, where).volume_m3
    return float(laid.packages(volume))


def _floor_area(measured: Measured, where: Where, _: MaterialClass | None) -> float:
    """The place's floor. The measure "floor" speaks for a floor that is not the whole place."""
    floors = [row for row in measured.method.places.values() if row.floor is None]
    given = measured.number("floor")
    return given if given is not None and len(floors) == 1 else where.area_m2


def _perimeter(measured: Measured, where: Where, _: MaterialClass | None) -> float:
    floors = [row for row in measured.method.places.values() if row.floor is None]
    given = measured.number("perimeter")
    return given if given is not None and len(floors) == 1 else where.perimeter_m


def _wall_area(measured: Measured, where: Where, _: MaterialClass | None) -> float:
    given = measured.number("walls")
    if given is not None:
        return given
    walls = [place for place, row in measured.method.places.items() if row.floor is not None]
    around = measured.places[walls[0]] if walls else where
    return around.perimeter_m * (measured.number("water_up") or WALL_HEIGHT_M)


def _points(measured: Measured, where: Where, _: MaterialClass | None) -> float:
    given = measured.number("points")
    grid = measured.values.get("heights")
    if given is not None:
        return given
    if isinstance(grid, tuple):
        return float(sum(len(row) for row in grid if isinstance(row, tuple)))
    length, width = where.sides_m or (where.area_m2**0.5, where.area_m2**0.5)
    return float(height_points(length, width))


def _sheets(measured: Measured, where: Where, _: MaterialClass | None) -> float:
    given = measured.number("sheets")
    if given is not None:
        return given
    area = _wall_area(measured, where, None) if measured.number("walls") is not None else where.area_m2
    return float(sheet_count(area, SHEET_M2))


def _joints(measured: Measured, where: Where, _: MaterialClass | None) -> float:
    """Meters of caulk: as said, else the floor's outline, the walls' inside corners, and movement joints asked for."""
    given = measured.number("caulk")
    if given is not None:
        return given
    height = measured.number("water_up") or WALL_HEIGHT_M
    around = _perimeter(measured, where, None) + (measured.number("corners") or 0.0) * height
    spacing = measured.number("movement_joint")
    field = movement_joints(*where.sides_m, spacing).field_m if spacing and where.sides_m else 0.0
    return around + field


def _tiles(measured: Measured, where: Where, _: MaterialClass | None) -> float:
    tile = measured.tile()
    return 0.0 if tile is None else float(tile_count(_floor_area(measured, where, None), tile[0], tile[1], 0.0))


def _count(key: str) -> Callable[[Measured, Where, MaterialClass | None], float]:
    return lambda measured, _, __: measured.number(key) or 0.0


_QUANTITIES: Mapping[Quantity, Callable[[Measured, Where, MaterialClass | None], float]] = {
    "once": lambda _, __, ___: 1.0,
    "floor_area": _floor_area,
    "wall_area": _wall_area,
    "perimeter": _perimeter,
    "pour_volume": lambda measured, where, _: pour_of(measured, where).volume_m3,
    "mud_volume": lambda measured, where, _: pan_of(measured, where).volume_m3,
    "bags": bags_of,
    "points": _points,
    "drains": _count("drains"),
    "niches": _count("niches"),
    "corners": _count("corners"),
    "sheets": _sheets,
    "joints": _joints,
    "tiles": _tiles,
}
