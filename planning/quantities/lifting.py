"""What a person may lift and what a van may carry.

The recommended weight limit is the equation of NIOSH publication 94-110 in its inch and pound form; its frequency and
grip tables are from memory. A guide for two-handed lifts by healthy adults, not a safety assessment. Meters, kilograms.
"""

from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from planning.quantities.si import INCH_M, POUND_KG

LOAD_CONSTANT_KG = 51 * POUND_KG
KNUCKLE_M = 30 * INCH_M

Grip = Literal["good", "fair", "poor"]
Spell = Literal["1 h", "2 h", "8 h"]

GRIP_LOW: Mapping[Grip, float] = MappingProxyType({"good": 1.0, "fair": 0.95, "poor": 0.90})
GRIP_HIGH: Mapping[Grip, float] = MappingProxyType({"good": 1.0, "fair": 1.0, "poor": 0.90})
"""Grip multiplier with the hands below 30 in, and from there up (from memory)."""

_LIFTS_A_MIN = (0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15)
_FREQUENCY: Mapping[Spell, tuple[float, ...]] = MappingProxyType(
    {
        "1 h": (1.0, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28),
        "2 h": (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.23, 0.21),
        "8 h": (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13),
    }
)
_LOW_HANDS: Mapping[Spell, int] = MappingProxyType({"1 h": 14, "2 h": 12, "8 h": 10})
"""How many of those columns hold with the hands below 30 in; beyond them nothing may be lifted (from memory)."""


@dataclass(frozen=True, slots=True)
class Lift:
    """One lift: hands so far out from the ankles, so high at the start, moved up so far, twisted by so many degrees."""

    out_m: float
    height_m: float
    travel_m: float
    twist_deg: float = 0.0
    per_min: float = 1.0
    spell: Spell = "1 h"
    grip: Grip = "fair"


FROM_FLOOR = Lift(12 * INCH_M, 0.0, 30 * INCH_M)
"""A bag from the floor to knuckle height."""
FROM_KNUCKLE = Lift(10 * INCH_M, 30 * INCH_M, 10 * INCH_M, grip="good")
"""The same bag from a stack at knuckle height."""


def frequency_multiplier(per_min: float, spell: Spell, height_m: float) -> float:
    """The share left by lifting so often, for so long; 0 where the table ends."""
    row = _FREQUENCY[spell]
    column = bisect_left(_LIFTS_A_MIN, per_min - 1e-9)
    known = len(row) if height_m >= KNUCKLE_M - 1e-9 else min(len(row), _LOW_HANDS[spell])
    return row[column] if column < known else 0.0


def weight_limit_kg(lift: Lift) -> float:
    """The recommended weight limit of a lift in kilograms (NIOSH 94-110); 0 where no weight is recommended."""
    height, out, travel = lift.height_m / INCH_M, lift.out_m / INCH_M, abs(lift.travel_m) / INCH_M
    if out > 25 or not 0 <= height <= 70 or travel > 70 or lift.twist_deg > 135:
        return 0.0
    horizontal = 10 / max(out, 10)
    vertical = 1 - 0.0075 * abs(height - 30)
    distance = 0.82 + 1.8 / max(travel, 10)
    twist = 1 - 0.0032 * lift.twist_deg
    grip = (GRIP_HIGH if height >= 30 - 1e-9 else GRIP_LOW)[lift.grip]
    often = frequency_multiplier(lift.per_min, lift.spell, lift.height_m)
    return LOAD_CONSTANT_KG * horizontal * vertical * distance * twist * often * grip


def lifting_index(weight_kg: float, lift: Lift = FROM_FLOOR) -> float:
    """The weight over its limit: above 1 some people get hurt, so two lift or the bags stand higher."""
    limit = weight_limit_kg(lift)
    return weight_kg / limit if limit else float("inf")


def lifting_caution(weight_kg: float, lift: Lift = FROM_FLOOR) -> str | None:
    """What to do about a heavy package, or None when one person may lift it so."""
    index = lifting_index(weight_kg, lift)
    if index <= 1.0:
        return None
    return f"{index:.1f} times what one person should lift from there: lift with two, or stack it knee to waist high"


@dataclass(frozen=True, slots=True)
class Load:
    """A van load against its payload."""

    total_kg: float
    payload_kg: float | None

    @property
    def over_kg(self) -> float:
        """Kilograms over the payload; 0 when it fits or no payload is known."""
        return max(0.0, self.total_kg - self.payload_kg) if self.payload_kg is not None else 0.0


def van_load(packages: Iterable[tuple[float, float]], payload_kg: float | None) -> Load:
    """The load of (kilograms of one, how many)."""
    return Load(sum(each * count for each, count in packages), payload_kg)
