"""How tall letters must be to be read from a distance: screens are read with wet hands from across the room."""

from math import radians, tan

READ_WELL_ARCMIN, READ_JUST_ARCMIN = 20.0, 16.0
"""Angle a letter fills in the eye: comfortable, and the least (human factors practice, from memory)."""


def letter_height_m(distance_m: float, arcmin: float = READ_WELL_ARCMIN) -> float:
    """Height of a letter in meters that fills this angle at this distance."""
    return 2 * distance_m * tan(radians(arcmin / 60) / 2)
