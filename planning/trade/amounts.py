"""What a row uses up: the amount of each material class, by the way that class is spread."""

from collections.abc import Callable, Mapping

from planning.job.measures import MEASUREMENTS
from planning.job.step import Amount
from planning.quantities import units
from planning.quantities.mortar import Notch, grout_kg_m2, mortar_m3
from planning.quantities.sheets import joist_screws
from planning.quantities.si import CUFT_M3, FOOT_M, INCH_M, POUND_KG, SQFT_M2
from planning.quantities.tile import LARGE_SIDE_M, pattern_waste
from planning.trade.materials import MaterialClass
from planning.trade.measures_of_room import Measured
from planning.trade.methods import AmountRow, Row
from planning.trade.pan_of import pan_of
from planning.trade.quantity_of import quantity

BAG_KG = 50 * POUND_KG
BAG_M3 = 0.58 * CUFT_M3
"""A bag of thin-set and what it gives when mixed (from memory, calculated from its weight and water)."""
NOTCHES: tuple[tuple[float, float], ...] = ((4 * INCH_M, 100.0), (8 * INCH_M, 85.0), (LARGE_SIDE_M - 1e-6, 60.0))
"""Tile up to this edge -> square feet a 50 lb bag of thin-set covers with the notch it wants; larger tile: 45
(common practice, no source)."""
LARGE_COVER_SQFT = 45.0
USUAL_JOINT_M = INCH_M / 8
USUAL_TILE_M = (12 * INCH_M, 24 * INCH_M, 3 / 8 * INCH_M)
LITERS = 1000.0
SHEET_M = (8 * FOOT_M, 4 * FOOT_M)
USUAL_JOISTS_M = 16 * INCH_M


def amounts(measured: Measured, row: Row) -> tuple[Amount, ...]:
    """The amounts of a row, in each class's own unit, waste of the class not in (tile's is). Nothing is left out."""
    found = []
    for name, parts in row.amounts.items():
        material = measured.material(name)
        if material is None:
            continue
        used = sum(_amount(measured, row, material, part) for part in parts)
        if used > 0:
            found.append(Amount(material.key, used, material.unit, parts[0].per))
    return tuple(found)


def _amount(measured: Measured, row: Row, material: MaterialClass, part: AmountRow) -> float:
    place = part.place or row.place
    much = quantity(measured, part.per, place, material, part.measure)
    if part.deep is not None:
        much *= (measured.number(part.deep) or 0.0) if part.deep in MEASUREMENTS else units.length_m(part.deep, None)
    if part.at_drain is not None:
        much = pan_of(measured, measured.places[place], units.length_m(part.at_drain, None)).volume_m3
    return _SPREADS[material.spread](measured, part.tile or row.tile, material, much)


def _plain(_: Measured, __: str, material: MaterialClass, much: float) -> float:
    return much * material.use


def _whole(_: Measured, __: str, ___: MaterialClass, much: float) -> float:
    return much


def _notch(measured: Measured, tile: str, _: MaterialClass, area: float) -> float:
    """Kilograms of thin-set: by the setter's trowel if he named one, else by what a bag covers under such tile."""
    trowel = measured.values.get("trowel")
    if isinstance(trowel, tuple) and len(trowel) == 2:
        width, depth = trowel
        if isinstance(width, int | float) and isinstance(depth, int | float):
            return mortar_m3(area, Notch.even(width, depth)) * BAG_KG / BAG_M3
    edge = max((measured.tile(tile) or USUAL_TILE_M)[:2])
    cover = next((cover for most, cover in NOTCHES if edge <= most), LARGE_COVER_SQFT)
    return area * BAG_KG / (cover * SQFT_M2)


def _joint(measured: Measured, tile: str, material: MaterialClass, area: float) -> float:
    length, width, depth = measured.tile(tile) or USUAL_TILE_M
    joint = measured.number("joint") or USUAL_JOINT_M
    return area * grout_kg_m2(length, width, depth, joint, material.use)


def _screws(measured: Measured, _: str, __: MaterialClass, area: float) -> float:
    """Screws of whole sheets of 4 x 8 ft on joists, as many as the area takes."""
    length, width = SHEET_M
    sheet = joist_screws(length, width, measured.number("joists") or USUAL_JOISTS_M)
    return area / (length * width) * sheet.total


def _film(measured: Measured, _: str, material: MaterialClass, area: float) -> float:
    return area * (measured.number("coat") or material.use) * LITERS


def _tile(measured: Measured, _: str, __: MaterialClass, area: float) -> float:
    said = measured.number("waste")
    if said is None:
        said = pattern_waste(str(measured.values.get("pattern", "straight")), area)
    return area * (1 + said)


_SPREADS: Mapping[str, Callable[[Measured, str, MaterialClass, float], float]] = {
    "volume": _whole,
    "notch": _notch,
    "joint": _joint,
    "film": _film,
    "area": _plain,
    "bead": _whole,
    "each": _plain,
    "tile": _tile,
    "screws": _screws,
}
