"""How fast a wet cement surface loses water: the two forms of the hot-weather concrete guide ACI 305R, and Menzel's.

A traffic light, not a clock: the real rate is within 40 % of it. It holds for the open wet surface of the first hours.
Celsius, humidity 0 to 1, wind in km/h half a meter above the surface; kg per square meter and hour.
"""

from math import pow

from planning.job.words import Kind
from planning.quantities.psychro import saturation_pa
from planning.quantities.si import POUND_KG, SQFT_M2, fahrenheit

LB_FT2_KG_M2 = POUND_KG / SQFT_M2
MILE_KM = 1.609344

CAUTION_KG_M2_H = 1.0
"""0.2 lb per sq ft and hour: take precautions (ACI 305R)."""
CAUTION_THIN_KG_M2_H = 0.5
"""Half of it for mixes that bleed little; our own rule takes it for levelers and rapid floats."""
OPEN_KINDS: frozenset[Kind] = frozenset(("pour", "float"))


def evaporation_us(surface_f: float, air_f: float, humidity: float, wind_mph: float) -> float:
    """lb per square foot and hour, the guide's US form: (Tc^2.5 - r Ta^2.5)(1 + 0.4 V) / 10^6, Fahrenheit and mph.

    The one function here that is not in SI, because the form is fitted in these units.
    """
    return (pow(max(surface_f, 0.0), 2.5) - humidity * pow(max(air_f, 0.0), 2.5)) * (1 + 0.4 * wind_mph) * 1e-6


def evaporation(surface_c: float, air_c: float, humidity: float, wind_kmh: float = 0.0) -> float:
    """kg per square meter and hour, the guide's US form (which is the stricter of the two at low wind)."""
    rate = evaporation_us(fahrenheit(surface_c), fahrenheit(air_c), humidity, wind_kmh / MILE_KM)
    return rate * LB_FT2_KG_M2


def evaporation_si(surface_c: float, air_c: float, humidity: float, wind_kmh: float = 0.0) -> float:
    """The same by the SI form (ACI Materials Journal 95-M34): 5((Tc + 18)^2.5 - r(Ta + 18)^2.5)(V + 4) / 10^6."""
    warm = pow(max(surface_c + 18, 0.0), 2.5) - humidity * pow(max(air_c + 18, 0.0), 2.5)
    return 5 * warm * (wind_kmh + 4) * 1e-6


def evaporation_menzel(surface_c: float, air_c: float, humidity: float, wind_kmh: float = 0.0) -> float:
    """The same by Menzel's formula from vapor pressures (from memory): 0.315 (e0 - ea)(0.253 + 0.060 V), kPa."""
    deficit = (saturation_pa(surface_c) - humidity * saturation_pa(air_c)) / 1000
    return 0.315 * deficit * (0.253 + 0.060 * wind_kmh)


def drying_caution(
    kind: Kind, surface_c: float, air_c: float, humidity: float, wind_kmh: float = 0.0, thin: bool = True
) -> str | None:
    """What to do when an open pour or float loses water too fast, or None. `thin`: a leveler or a rapid float."""
    if kind not in OPEN_KINDS:
        return None
    limit = CAUTION_THIN_KG_M2_H if thin else CAUTION_KG_M2_H
    if evaporation(surface_c, air_c, humidity, wind_kmh) <= limit:
        return None
    return "it dries too fast: fan and heater off it, shut the door, cover it"
