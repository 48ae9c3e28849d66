"""Moist air: how much water it holds, how hard it pulls water out of a wet film, and where dew falls.

Saturation pressure is the Hyland-Wexler form printed in the ASHRAE Fundamentals handbook (2017, chapter 1, equations 5
and 6). Temperatures are degrees Celsius, humidity is 0 to 1, pressures are pascals. It says nothing of how long a film
takes to dry: that is a trade rule built on `vapor_deficit_pa`.
"""

import math
from functools import lru_cache

KELVIN = 273.15
TRIPLE_POINT_C = 0.01
COLDEST_C, HOTTEST_C = -100.0, 200.0
_STEP_C = 1e-4

_ICE = (-5.6745359e3, 6.3925247, -9.677843e-3, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
_WATER = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)


def _log_saturation(air_c: float) -> float:
    kelvin = air_c + KELVIN
    over, c0, c1, c2, c3, c4, log = _ICE if air_c <= TRIPLE_POINT_C else _WATER
    power = c0 + kelvin * (c1 + kelvin * (c2 + kelvin * (c3 + kelvin * c4)))
    return over / kelvin + power + log * math.log(kelvin)


@lru_cache(maxsize=4096)
def saturation_pa(air_c: float) -> float:
    """Pressure of water vapor over water (over ice below 0.01 C) at a temperature, in pascals.

    Raises ValueError outside -100 to 200 C, where the equations do not hold.
    """
    if not COLDEST_C <= air_c <= HOTTEST_C:
        raise ValueError(f"{air_c} C is outside {COLDEST_C:g} to {HOTTEST_C:g} C; give the temperature in Celsius")
    return math.exp(_log_saturation(air_c))


def vapor_pa(air_c: float, humidity: float) -> float:
    """Pressure of the water vapor in air at a temperature and relative humidity (0 to 1), in pascals."""
    if not 0.0 <= humidity <= 1.0:
        raise ValueError(f"humidity {humidity} is not between 0 and 1; write 55 % as 0.55")
    return humidity * saturation_pa(air_c)


def vapor_deficit_pa(air_c: float, humidity: float, surface_c: float) -> float:
    """How hard air pulls water from a wet surface: saturation at the surface less the vapor in the air, in pascals.

    Negative means that dew falls on the surface.
    """
    return saturation_pa(surface_c) - vapor_pa(air_c, humidity)


def saturated_at_c(vapor: float) -> float:
    """The temperature in Celsius at which air is saturated by that much vapor pressure (pascals, above 0).

    The reverse of `saturation_pa`, by Newton's method on its logarithm, kept inside the range the equations hold for.
    """
    if vapor <= 0.0:
        raise ValueError("air without water has no dew point; give a humidity above 0")
    wanted = math.log(vapor)
    low, high = COLDEST_C, HOTTEST_C
    guess = 20.0
    for _ in range(60):
        miss = _log_saturation(guess) - wanted
        low, high = (low, guess) if miss > 0 else (guess, high)
        slope = (_log_saturation(guess + _STEP_C) - _log_saturation(guess - _STEP_C)) / (2 * _STEP_C)
        better = guess - miss / slope
        better = better if low <= better <= high else (low + high) / 2
        if abs(better - guess) < 1e-10:
            return better
        guess = better
    return guess


def dew_point_c(air_c: float, humidity: float) -> float:
    """The temperature at which this air's vapor begins to condense, in Celsius. Dry air has none: ValueError."""
    return saturated_at_c(vapor_pa(air_c, humidity))
