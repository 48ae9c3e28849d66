"""Mortar under tile: how thick a bed a notched trowel leaves, how far a bag goes, and whether the bed is thick enough.

Meters, square meters, cubic meters. The flattening share of a ridge is common practice, no source.
"""

from dataclasses import dataclass

from planning.quantities.si import INCH_M

UPRIGHT, SLANTED, FLATTENED = 1.0, 0.7, 0.5
"""Share of the notch's depth that stands as a ridge: trowel upright, held at about 45 degrees, held flatter."""

LEAST_BED_M = 3 / 32 * INCH_M
"""Bed between tile and backing after embedding (ANSI A108.5 2.2.2 as quoted)."""
LEAST_CONTACT_DRY, LEAST_CONTACT_WET = 0.80, 0.95
"""Mortar contact in dry rooms inside, and in wet ones or outside (ANSI A108.5 2.2.3 as quoted)."""
BACK_BUTTER = 0.2
"""Mortar on the back of the tile: 15 to 25 % more (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Notch:
    """A square notch: its width, its depth and the space to the next one, in meters."""

    width_m: float
    depth_m: float
    space_m: float

    @classmethod
    def even(cls, width_m: float, depth_m: float) -> "Notch":
        """A notch whose teeth are as wide as its gaps, as trowels are sold."""
        return cls(width_m, depth_m, width_m)


def bed_m(notch: Notch, stands: float = SLANTED) -> float:
    """Mean thickness of the bed that the notch leaves, in meters. A V notch holds half of a square one."""
    if min(notch.width_m, notch.depth_m) <= 0 or notch.space_m < 0:
        raise ValueError('a notch has a width and a depth above 0; write "1/4 x 3/8 in"')
    return stands * notch.depth_m * notch.width_m / (notch.width_m + notch.space_m)


def mortar_m3(area_m2: float, notch: Notch, stands: float = SLANTED, back_butter: float = 0.0) -> float:
    """Mortar for an area, with a share more for the backs of the tiles."""
    return area_m2 * bed_m(notch, stands) * (1 + back_butter)


def reach_m2(yield_m3: float, thickness_m: float) -> float:
    """How far one bag goes at a thickness of bed, waste not counted."""
    return yield_m3 / thickness_m


def farthest_reach_m2(yield_m3: float) -> float:
    """More than this from one bag means that the bed is too thin."""
    return yield_m3 / LEAST_BED_M


def grout_kg_m2(
    tile_length_m: float, tile_width_m: float, depth_m: float, joint_m: float, density_kg_m3: float = 1600.0
) -> float:
    """Grout in the joints of one square meter of tile, in kilograms, waste not counted.

    The joints of both sides of each tile, counted once: the formula that grout tables in handbooks follow (calculated).
    """
    if min(tile_length_m, tile_width_m) <= 0:
        raise ValueError('a tile has two sides above 0; write "12 x 24 x 3/8 in"')
    return (tile_length_m + tile_width_m) / (tile_length_m * tile_width_m) * depth_m * joint_m * density_kg_m3


GROUT_WASTE, MOSAIC_GROUT_WASTE = 0.10, 0.20
"""Common practice, no source."""
MOSAIC_SIDE_M = 3 * INCH_M


def grout_waste(tile_length_m: float, tile_width_m: float) -> float:
    """The share of grout lost: mosaics lose more."""
    return MOSAIC_GROUT_WASTE if max(tile_length_m, tile_width_m) < MOSAIC_SIDE_M else GROUT_WASTE
