"""Tile: how many, with the waste of the pattern; movement joints; and the limits of joint, offset, lippage, flatness.

The limits are quoted from ANSI A108.02 and the EJ171 detail of the tile handbook, seen second-hand: check your copy.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from planning.quantities.si import FOOT_M, INCH_M, SQFT_M2, whole

PATTERN_WASTE: Mapping[str, float] = MappingProxyType(
    {"straight": 0.10, "third": 0.10, "half": 0.10, "diagonal": 0.15, "herringbone": 0.20}
)
"""Share cut off and broken, by pattern (common practice, no source)."""
SMALL_ROOM_WASTE = 0.05
SMALL_ROOM_M2 = 30 * SQFT_M2
"""A room under 30 sq ft loses 5 % more: every row ends in a cut (common practice, no source)."""

JOINT_SPACING_INSIDE_M = 25 * FOOT_M
JOINT_SPACING_SUN_OR_WET_M = 12 * FOOT_M
"""Most distance between movement joints: inside, and in sun, moisture or outside (EJ171)."""
LARGE_SIDE_M = 15 * INCH_M


def pattern_waste(pattern: str, area_m2: float | None = None) -> float:
    """The share of tile lost in a pattern, more in a small room. KeyError for a pattern that is not in the table."""
    small = SMALL_ROOM_WASTE if area_m2 is not None and area_m2 < SMALL_ROOM_M2 else 0.0
    return PATTERN_WASTE[pattern] + small


def tile_count(area_m2: float, length_m: float, width_m: float, waste: float) -> int:
    """Tiles to bring, joints not counted off: a joint only makes the count a little safer."""
    if min(length_m, width_m) <= 0:
        raise ValueError('a tile has two sides above 0; write "12 x 24 x 3/8 in"')
    return whole(area_m2 * (1 + waste) / (length_m * width_m))


@dataclass(frozen=True, slots=True)
class MovementJoints:
    """Movement joints of a floor: how many across each direction, and their length with the perimeter's."""

    across_length: int
    across_width: int
    field_m: float
    perimeter_m: float


def joints_across(length_m: float, spacing_m: float) -> int:
    """How many joints cut a length into fields no longer than the spacing."""
    if spacing_m <= 0:
        raise ValueError('the distance between movement joints is above 0; write "20 ft"')
    return max(0, whole(length_m / spacing_m) - 1)


def movement_joints(length_m: float, width_m: float, spacing_m: float = JOINT_SPACING_INSIDE_M) -> MovementJoints:
    """The movement joints of a rectangle: in the field by spacing, and always where tile meets a wall."""
    one, other = joints_across(length_m, spacing_m), joints_across(width_m, spacing_m)
    return MovementJoints(one, other, one * width_m + other * length_m, 2 * (length_m + width_m))


def least_joint_m(facial_variation_m: float) -> float:
    """The narrowest grout joint: three times the tile's variation in size, never under 1/16 in (A108.02 4.3.8)."""
    return max(3 * facial_variation_m, INCH_M / 16)


def least_offset_joint_m(longest_side_m: float, rectified: bool, warpage_m: float = 0.0) -> float:
    """The narrowest joint of a running bond: 1/8 in rectified, 3/16 in calibrated over 15 in, and the warpage."""
    if longest_side_m <= LARGE_SIDE_M:
        return INCH_M / 16
    return (1 / 8 if rectified else 3 / 16) * INCH_M + warpage_m


def most_offset(longest_side_m: float) -> float:
    """The most that rows may be offset: a third for sides over 15 in, half otherwise (A108.02)."""
    return 0.33 if longest_side_m > LARGE_SIDE_M else 0.5


def most_lippage_m(joint_m: float, warpage_m: float = 0.0) -> float:
    """How much two tile edges may differ in height: 1/32 in, from 1/4 in joints 1/16 in, and the warpage (A108.02)."""
    return (1 / 16 if joint_m >= INCH_M / 4 else 1 / 32) * INCH_M + warpage_m


@dataclass(frozen=True, slots=True)
class Flatness:
    """How far a floor may leave its plane: so much under a 10 ft straightedge, so much under a short one."""

    in_10_ft_m: float
    short_m: float
    short_over_m: float


def flatness(longest_side_m: float) -> Flatness:
    """What the floor must be before tile of that longest side: 1/4 in, from 15 in 1/8 in, in 10 ft (A108.02)."""
    if longest_side_m >= LARGE_SIDE_M:
        return Flatness(INCH_M / 8, INCH_M / 16, 24 * INCH_M)
    return Flatness(INCH_M / 4, INCH_M / 16, 12 * INCH_M)


def most_deflection_m(span_m: float, stone: bool = False) -> float:
    """How much a floor may bend over a span: L/360 under ceramic, L/720 under natural stone."""
    return span_m / (720 if stone else 360)
