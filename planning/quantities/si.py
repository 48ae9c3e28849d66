"""What the trade's units are in SI. Exact by definition of the inch, the pound and the US gallon."""

from math import ceil

INCH_M = 0.0254
FOOT_M = 0.3048
MIL_M = INCH_M / 1000
SQFT_M2 = FOOT_M**2
CUFT_M3 = FOOT_M**3
CUIN_M3 = INCH_M**3
POUND_KG = 0.45359237
GALLON_M3 = 231 * CUIN_M3
QUART_M3 = GALLON_M3 / 4
FLUID_OUNCE_M3 = GALLON_M3 / 128
PCF_KG_M3 = POUND_KG / CUFT_M3
PSF_KG_M2 = POUND_KG / SQFT_M2
GRAVITY_M_S2 = 9.80665
FALL_PER_INCH_IN_FOOT = 1 / 12
"""1 inch per foot as rise over run."""

_HAIR = 1e-9


def whole(amount: float) -> int:
    """Rounded up to whole things. Rounding noise of a calculation does not buy one more."""
    return ceil(amount - _HAIR * max(1.0, abs(amount)))


def fahrenheit(celsius: float) -> float:
    """A temperature in Fahrenheit."""
    return celsius * 9 / 5 + 32


def celsius(fahrenheit_degrees: float) -> float:
    """A temperature in Celsius."""
    return (fahrenheit_degrees - 32) * 5 / 9
