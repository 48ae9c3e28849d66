"""What a row uses up: the amount of each material class, by the way that class is spread."""

from collections.abc import Callable, Mapping

from planning.job.step import Amount
from planning.job.words import Quantity
from planning.trade.materials import MaterialClass
from planning.trade.measures_of_room import LARGE_TILE_M, Measured
from planning.trade.methods import Row
from planning.trade.quantity_of import quantity
from planning.trade.tables import POUND_KG, SQUARE_FOOT_M2

BAG_KG = 50 * POUND_KG
NOTCHES: tuple[tuple[float, float], ...] = ((4 * 0.0254, 100.0), (8 * 0.0254, 85.0), (LARGE_TILE_M - 1e-6, 60.0))
"""Tile up to this edge -> square feet a 50 lb bag of thin-set covers with the notch it wants; larger tile: 45
(common practice, no source)."""
LARGE_COVER_SQFT = 45.0
PATTERN_WASTE: Mapping[str, float] = {"straight": 0.10, "third": 0.10, "half": 0.10, "diagonal": 0.15,
                                      "herringbone": 0.20}  # fmt: skip
"""Share of tile cut off and broken (common practice, no source)."""
SMALL_ROOM_M2 = 25 * SQUARE_FOOT_M2
SMALL_ROOM_WASTE = 0.05
USUAL_JOINT_M = 0.125 * 0.0254
MORTAR_ML = 1000.0
"""Liters in a cubic meter: a film of so many meters on a square meter is so many cubic meters."""


def amounts(measured: Measured, row: Row) -> tuple[Amount, ...]:
    """The amounts of a row, in each class's own unit, waste of the class not in (tile's is). Nothing is left out."""
    found = []
    for name, per in row.amounts.items():
        material = measured.material(name)
        if material is None:
            continue
        used = sum(_amount(measured, row, material, each) for each in per)
        if used > 0:
            found.append(Amount(material.key, used, material.unit, per[0]))
    return tuple(found)


def _amount(measured: Measured, row: Row, material: MaterialClass, per: Quantity) -> float:
    return _SPREADS[material.spread](measured, row, material, quantity(measured, per, row.place, material))


def _plain(_: Measured, __: Row, material: MaterialClass, much: float) -> float:
    return much * material.use


def _whole(_: Measured, __: Row, ___: MaterialClass, much: float) -> float:
    return much


def _notch(measured: Measured, row: Row, _: MaterialClass, area: float) -> float:
    tile = measured.tile(row.tile)
    edge = max(tile[0], tile[1]) if tile else 0.3048
    cover = next((cover for most, cover in NOTCHES if edge <= most), LARGE_COVER_SQFT)
    return area * BAG_KG / (cover * SQUARE_FOOT_M2)


def _joint(measured: Measured, row: Row, material: MaterialClass, area: float) -> float:
    """Kilograms of grout: joints of the full depth of the tile, as the trade's formula has it."""
    tile = measured.tile(row.tile) or (0.3048, 0.6096, 0.009525)
    joint = measured.number("joint") or USUAL_JOINT_M
    length, width, depth = tile
    return area * (length + width) / (length * width) * depth * joint * material.use


def _film(measured: Measured, _: Row, material: MaterialClass, area: float) -> float:
    return area * (measured.number("coat") or material.use) * MORTAR_ML


def _tile(measured: Measured, _: Row, __: MaterialClass, area: float) -> float:
    said = measured.number("waste")
    usual = PATTERN_WASTE.get(str(measured.values.get("pattern", "straight")), PATTERN_WASTE["straight"])
    if area < SMALL_ROOM_M2:
        usual += SMALL_ROOM_WASTE
    return area * (1 + (usual if said is None else said))


_SPREADS: Mapping[str, Callable[[Measured, Row, MaterialClass, float], float]] = {
    "volume": _whole,
    "notch": _notch,
    "joint": _joint,
    "film": _film,
    "area": _plain,
    "bead": _whole,
    "each": _plain,
    "tile": _tile,
}
