"""Liquid films and beads: how far membrane goes, what the film gauge must show, how far a cartridge goes."""

from dataclasses import dataclass

from planning.quantities.si import FLUID_OUNCE_M3

CARTRIDGE_M3 = 10.1 * FLUID_OUNCE_M3
"""The common sealant cartridge, 10.1 fl oz."""
BEAD_WASTE = 0.10
"""Common practice, no source: 10 to 15 %."""


def film_reach_m2(volume_m3: float, wet_m: float) -> float:
    """How much area a volume covers at a wet film thickness: 1604 sq ft a gallon at 1 mil."""
    if wet_m <= 0:
        raise ValueError('a film has a thickness above 0; write "25 mil"')
    return volume_m3 / wet_m


def wet_from_dry_m(dry_m: float, solids: float) -> float:
    """The wet film that leaves so much dry film. `solids`: solids by volume on the label, 0 to 1."""
    if not 0 < solids <= 1:
        raise ValueError(f"solids {solids} are not a share between 0 and 1; write 60 % as 0.6")
    return dry_m / solids


@dataclass(frozen=True, slots=True)
class Coats:
    """The coats of a membrane: what the wet gauge must show after each, and the liters each takes (waste in)."""

    gauge_m: tuple[float, ...]
    each_m3: float
    area_m2: float

    @property
    def volume_m3(self) -> float:
        """All coats together."""
        return self.each_m3 * len(self.gauge_m)


def coats(area_m2: float, dry_m: float, solids: float, count: int = 2, waste: float = 0.15) -> Coats:
    """The coats that leave `dry_m` of film in all, shared evenly; the gauge is read in each coat while it is wet."""
    if count < 1:
        raise ValueError("a membrane has one coat or more")
    return wet_coats(area_m2, wet_from_dry_m(dry_m, solids) / count, count, waste)


def wet_coats(area_m2: float, wet_m: float, count: int = 2, waste: float = 0.15) -> Coats:
    """The coats of so much wet film each, as the label names it."""
    return Coats((wet_m,) * count, area_m2 * wet_m * (1 + waste), area_m2)


def thin_spots(target_m: float, readings_m: tuple[float, ...]) -> tuple[int, ...]:
    """Which gauge readings (by place, from 0) are under the target: there goes more on while it is wet."""
    return tuple(n for n, reading in enumerate(readings_m) if reading < target_m - 1e-9)


def bead_m3(length_m: float, width_m: float, depth_m: float, waste: float = 0.0) -> float:
    """Sealant in a joint of that width and depth."""
    return length_m * width_m * depth_m * (1 + waste)


def bead_length_m(volume_m3: float, width_m: float, depth_m: float) -> float:
    """How far a volume of sealant goes: a 10.1 fl oz cartridge about 24 ft of 1/4 x 1/4 in."""
    if min(width_m, depth_m) <= 0:
        raise ValueError("a joint has a width and a depth above 0")
    return volume_m3 / (width_m * depth_m)
