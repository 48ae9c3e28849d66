"""Flood tests: when one may begin, how deep, what the water weighs, and how much of a drop is only evaporation.

The test of horizontal waterproofing, ASTM D5957, is borrowed by the tile trade; how long the water stands is a setting
of the jurisdiction. Meters, kilograms, Celsius, minutes.
"""

from typing import Literal

from planning.job.words import Minutes
from planning.quantities.evaporation import evaporation
from planning.quantities.si import INCH_M, PSF_KG_M2

WATER_KG_M2_PER_M = 5.19 * PSF_KG_M2 / INCH_M
"""5.19 lb per sq ft for each inch (ASTM D5957 note, as quoted)."""
MOST_DEEP_M = 4 * INCH_M
"""Without an engineer (ASTM D5957 5.3 as quoted: 100 mm)."""
LEAST_AT_ENTRY_M = 2 * INCH_M
"""At the threshold, or at a temporary dam where there is none (IPC 312.9 as quoted)."""
COLD_C = 10.0
WAIT_MIN, WAIT_COLD_MIN = 24 * 60, 48 * 60

Verdict = Literal["tight", "look again", "leak"]


def wait_before_min(coldest_c: float, label_min: Minutes = 0) -> Minutes:
    """Minutes from the last coat to the test: 24 h, 48 h when the air was below 50 F, the label's if longer."""
    return max(WAIT_COLD_MIN if coldest_c < COLD_C - 1e-6 else WAIT_MIN, label_min)


def water_kg(area_m2: float, depth_m: float) -> float:
    """What the water weighs; a liter a kilogram."""
    return area_m2 * depth_m * WATER_KG_M2_PER_M


def drop_m(rate_kg_m2_h: float, hours: float) -> float:
    """How far the level falls at an evaporation rate."""
    return rate_kg_m2_h * hours / WATER_KG_M2_PER_M


def evaporation_drop_m(water_c: float, air_c: float, humidity: float, hours: float, wind_kmh: float = 0.0) -> float:
    """How far evaporation alone lowers the level: about 1/10 in a day in still room air, within 40 %."""
    return drop_m(max(0.0, evaporation(water_c, air_c, humidity, wind_kmh)), hours)


def verdict(drop: float, control_drop: float | None, reading_m: float = INCH_M / 32) -> Verdict:
    """What a fall of the level says beside a pan of water that stood next to it (None: no pan stood there).

    Without the pan a fall says little; with it, a fall past the pan's by more than the reading's error is a leak.
    """
    if drop <= reading_m:
        return "tight"
    if control_drop is None:
        return "look again"
    return "leak" if drop - control_drop > reading_m else "tight"
