"""What the air does to work, in sentences for the setter: why it holds, and what was done to a label's time."""

from math import ceil, floor

from planning.job.place import Air
from planning.job.step import Wait
from planning.job.words import Instant, Kind, Law, Units
from planning.quantities.show import show_minutes, show_share, show_temp
from planning.trade.air_course import LONGEST_MIN, SiteAir
from planning.trade.air_laws import (
    COLDEST_C,
    DAMPEST,
    DRYING_LAWS,
    HOTTEST_C,
    beyond_limits,
    least_surface_c,
    no_time_told,
)

_DRY_KINDS: tuple[Kind, ...] = ("prime", "coat", "seal")


def _degrees(celsius: float, units: Units) -> float:
    return celsius * 9 / 5 + 32 if units == "imperial" else celsius


def _at_least(celsius: float, units: Units) -> str:
    return f"{ceil(_degrees(celsius, units) - 1e-6)} {'F' if units == 'imperial' else 'C'}"


def hold_reason(kind_or_law: Kind | Law, air: Air, units: Units = "imperial") -> str | None:
    """Why no such wet work may begin in this air, as a sentence that names what is needed; None when it may.

    Films that dry (primer, membrane, sealer, and the laws "drying" and "resin") mind damp; cement minds only heat and
    cold. Limits: 50 to 95 F, RH 85 %, surface 3 C (5 F) over the dew point.
    """
    broken = beyond_limits(kind_or_law, air)
    if not broken:
        return None
    dries = kind_or_law in _DRY_KINDS or kind_or_law in DRYING_LAWS
    if broken == ("hot",):
        lead = "it is too hot to work to a clock"
    else:
        lead = "it will not dry like this" if dries else "it will not set like this"
    return f"{lead}, so there is no clock time. Needs: {', '.join(_needs(broken, air, units))}."


def _needs(broken: tuple[str, ...], air: Air, units: Units) -> list[str]:
    needs = []
    if "cold" in broken:
        coldest = min(air.air_c, air.surface_c)
        needs.append(f"air and floor {_at_least(COLDEST_C, units)} or more (now {floor(_degrees(coldest, units))})")
    if "hot" in broken:
        hottest = max(air.air_c, air.surface_c)
        needs.append(f"air and floor {show_temp(HOTTEST_C, units)} or less (now {ceil(_degrees(hottest, units))})")
    if "damp" in broken:
        needs.append(f"RH {show_share(DAMPEST)} or less (now {ceil(air.humidity * 100 - 1e-6)})")
    if "dew" in broken:
        least = _at_least(least_surface_c(air), units)
        needs.append(f"floor {least} or more, over the dew point (now {floor(_degrees(air.surface_c, units))})")
    return needs


def no_time_reason(wait: Wait, air: SiteAir, at: Instant, units: Units = "imperial") -> str | None:
    """Why no clock time is told for a wait that runs in the room's air at that instant; None when one is."""
    now = air.at(wait.room, at)
    if not no_time_told(wait.law, now):
        return None
    law: Law = "drying" if wait.law in DRYING_LAWS else wait.law
    return hold_reason(law, now, units)


def explained(wait: Wait, air: SiteAir, start: Instant, opens: Instant, units: Units) -> str:
    """What was done to a minimum's label time, when it runs from `start` and opens then (see `air.explain`)."""
    label = f"{show_minutes(wait.label.typical)} label"
    took = opens - start
    if took >= LONGEST_MIN:
        return f"{label}, no clock time: it does not set or dry in this air"
    where = _where(wait, air, start, opens, units)
    really = air.course(wait.room, wait.law, start, start).reach(start, wait.label.typical) - start
    if really > wait.label.typical + 1 or took < wait.label.typical:
        return f"{label}, {show_minutes(took)} {where}"
    return f"{label}, no sooner {where}" if really < wait.label.typical - 1 else label


def _where(wait: Wait, air: SiteAir, start: Instant, opens: Instant, units: Units) -> str:
    """ "at 62 F", "at 60 to 68 F", and with the humidity where a film dries: "at 62 F, 55 %"."""
    stretches = [each for _, _, each in air.between(wait.room, start, opens)]
    low = round(_degrees(min(each.surface_c for each in stretches), units))
    high = round(_degrees(max(each.surface_c for each in stretches), units))
    letter = "F" if units == "imperial" else "C"
    degrees = f"{high} {letter}" if low == high else f"{low} to {high} {letter}"
    if wait.law not in DRYING_LAWS:
        return f"at {degrees}"
    damp = sorted(round(each.humidity * 100) for each in stretches)
    humidity = f"{damp[0]} %" if damp[0] == damp[-1] else f"{damp[0]} to {damp[-1]} %"
    return f"at {degrees}, {humidity}"
