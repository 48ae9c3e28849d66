"""The sloped bed of a shower or wet room: its volume from the drain, the fall and the thickness at the drain."""

from math import hypot

from planning.trade.measures_of_room import Measured
from planning.trade.places import Where

USUAL_FALL = 0.25 / 12
"""1/4 in a foot, the least fall of a shower floor (IRC P2709.1 as quoted)."""
USUAL_AT_DRAIN_M = 1.25 * 0.0254
"""Bed at the drain when nothing is said (common practice, no source)."""


def pan_volume_m3(measured: Measured, where: Where) -> float:
    """Cubic meters of the bed: level along the walls to a point drain, or one plane to a linear drain."""
    at_drain = measured.number("mud_at_drain") or USUAL_AT_DRAIN_M
    fall = (measured.number("slope") or USUAL_FALL) * longest_run_m(measured, where)
    share = 1 / 2 if measured.number("linear_drain") else 2 / 3
    return where.area_m2 * (at_drain + fall * share)


def longest_run_m(measured: Measured, where: Where) -> float:
    """The longest way to the drain: to the farthest corner, or across the floor to a linear drain."""
    length, width = where.sides_m or (where.area_m2**0.5, where.area_m2**0.5)
    if measured.number("linear_drain"):
        return length if measured.values.get("drain_wall") in ("left", "right") else width
    drain = measured.values.get("drain")
    x, y = length / 2, width / 2
    if isinstance(drain, tuple) and len(drain) == 2:
        first, second = drain
        if not isinstance(first, tuple) and not isinstance(second, tuple):
            x, y = first, second
    return max(hypot(x - a, y - b) for a in (0.0, length) for b in (0.0, width))
