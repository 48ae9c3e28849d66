"""How fast each law runs in a given air, against the air that labels are printed for.

A speed of 1 is the label's own; 0.5 takes twice as long. Cement: ASTM C1074 (Arrhenius form, 5000 K, against 23 C), at
the surface's temperature, because the material takes the slab's. Drying: vapor pressure deficit at the surface against
the lab's, held between 0.2 and 1.5 (our own rule: no standard ties a recoat time to it). Solvent: ASTM D2855's resting
times of a pipe joint (from memory). None of this is a clock where `hold_reason` speaks.
"""

from collections.abc import Callable
from functools import lru_cache

from planning.job.place import LAB_AIR, Air
from planning.job.words import LAWS, Kind, Law
from planning.quantities.maturity import LEAST_C, age_factor
from planning.quantities.psychro import saturated_at_c, vapor_deficit_pa, vapor_pa

SLOWEST_DRYING, FASTEST_DRYING = 0.2, 1.5
COLDEST_C, HOTTEST_C = 10.0, 35.0
"""50 to 95 F, of air and surface: common practice; the 50 F is the setting standards' own (from memory)."""
DAMPEST = 0.85
DEW_MARGIN_C = 3.0
"""Surface over dew point before primer, membrane or epoxy: ISO 8502-4 (guidance for steel) and coating practice."""
EDGE = 1e-6
"""A limit typed in Fahrenheit is met by its own value in Celsius."""

DRYING_LAWS: frozenset[str] = frozenset(("drying", "maturity_then_drying"))
DAMP_LAWS: frozenset[str] = frozenset(("drying", "resin"))
DAMP_KINDS: frozenset[Kind] = frozenset(("prime", "coat", "seal"))
"""Kinds of work spoiled by damp: films that dry. Fresh cement does not mind it."""

_SOLVENT_STEPS = ((15.5, 1.0), (4.4, 1 / 2), (-6.7, 1 / 4))
"""From 60 F the label's time, from 40 F twice, from 20 F four times, below it eight times (ASTM D2855, from memory)."""
_SOLVENT_COLDEST = 1 / 8

LAB_DEFICIT_PA = vapor_deficit_pa(LAB_AIR.air_c, LAB_AIR.humidity, LAB_AIR.surface_c)


def drying_ratio(air: Air) -> float:
    """Vapor pressure deficit at the surface over the lab's. Not clamped; negative when dew falls."""
    return vapor_deficit_pa(air.air_c, air.humidity, air.surface_c) / LAB_DEFICIT_PA


def will_not_dry(air: Air) -> bool:
    """Is this air outside what a drying time can be told for: under a fifth of the lab's pull, too damp or too cold?"""
    too_damp = air.humidity > DAMPEST + EDGE
    too_cold = min(air.air_c, air.surface_c) < COLDEST_C - EDGE
    return too_damp or too_cold or drying_ratio(air) < SLOWEST_DRYING


def _drying_speed(air: Air) -> float:
    if will_not_dry(air):
        return SLOWEST_DRYING
    return min(FASTEST_DRYING, drying_ratio(air))


def _cement_speed(air: Air) -> float:
    return 0.0 if air.surface_c < LEAST_C - EDGE else age_factor(air.surface_c)


def _solvent_speed(air: Air) -> float:
    coldest = min(air.air_c, air.surface_c)
    return next((speed for least_c, speed in _SOLVENT_STEPS if coldest >= least_c), _SOLVENT_COLDEST)


def _slower_of_both(air: Air) -> float:
    return min(_cement_speed(air), _drying_speed(air))


def _unmoved(_air: Air) -> float:
    return 1.0


_SPEEDS: dict[Law, Callable[[Air], float]] = {
    "maturity": _cement_speed,
    "resin": _cement_speed,
    "drying": _drying_speed,
    "maturity_then_drying": _slower_of_both,
    "solvent": _solvent_speed,
    "fixed": _unmoved,
}
if set(_SPEEDS) != set(LAWS):
    raise RuntimeError(f"a law has no speed: {set(LAWS) ^ set(_SPEEDS)}")


@lru_cache(maxsize=4096)
def speed(law: Law, air: Air) -> float:
    """How many label minutes one minute of this air is worth: 1 in the lab's, 0 for cement under 5 C.

    Resin has no law of its own here: it is counted as cement until the label's table says better.
    """
    return _SPEEDS[law](air)


def no_time_told(law: Law, air: Air) -> bool:
    """Is this air outside what the law can tell a time for? Never for a fixed time or a solvent joint's table."""
    if law in ("fixed", "solvent"):
        return False
    if min(air.air_c, air.surface_c) < COLDEST_C - EDGE or max(air.air_c, air.surface_c) > HOTTEST_C + EDGE:
        return True
    return law in DRYING_LAWS and will_not_dry(air)


def multiplier(law: Law, air: Air) -> float | None:
    """How many times as long as on the label it takes in this air; None where no time can be told."""
    return None if no_time_told(law, air) else 1.0 / speed(law, air)


def beyond_limits(kind_or_law: Kind | Law, air: Air) -> tuple[str, ...]:
    """Which limits this air breaks for such work: "cold", "hot", "damp", "dew" (the surface). Empty: none.

    `kind_or_law`: a kind of work, or the law of its material where that is known. Limits: see the constants above.
    """
    broken = []
    if min(air.air_c, air.surface_c) < COLDEST_C - EDGE:
        broken.append("cold")
    if max(air.air_c, air.surface_c) > HOTTEST_C + EDGE:
        broken.append("hot")
    if kind_or_law in DAMP_KINDS or kind_or_law in DAMP_LAWS:
        broken += _damp_limits(air, dries=kind_or_law != "resin")
    return tuple(broken)


def _damp_limits(air: Air, dries: bool) -> list[str]:
    broken = []
    if air.humidity > DAMPEST + EDGE:
        broken.append("damp")
    if air.surface_c < least_surface_c(air, dries) - EDGE:
        broken.append("dew")
    return broken


def least_surface_c(air: Air, dries: bool = True) -> float:
    """The coldest surface on which a film may start in this air: its dew point and 3 C.

    A film that `dries` also asks that the surface pull a fifth of what the lab's does, which is a little warmer.
    """
    vapor = vapor_pa(air.air_c, max(air.humidity, 0.01))
    over_dew = saturated_at_c(vapor) + DEW_MARGIN_C
    return max(over_dew, saturated_at_c(vapor + SLOWEST_DRYING * LAB_DEFICIT_PA)) if dries else over_dew
