"""Lengths inside a sentence of the trade said in the units of the job: `fill 2 in` is `fill 50 mm`."""

import re

from planning.job.words import Units
from planning.quantities.si import FOOT_M, INCH_M

_NUMBER = r"\d+(?:\.\d+)?(?:-\d+/\d+|/\d+)?"
_LENGTH = re.compile(rf"\b({_NUMBER})(?: (to|x) ({_NUMBER}))? (in|ft)\b")


def in_units(text: str, units: Units) -> str:
    """The sentence with its inches and feet turned to round millimeters and meters for a metric job; else as it is."""
    return _LENGTH.sub(_metric, text) if units == "metric" else text


def _metric(found: re.Match[str]) -> str:
    first, between, second, unit = found.groups()
    said = _said(first, unit) if second is None else f"{_said(first, unit)} {between} {_said(second, unit)}"
    return f"{said} {'mm' if unit == 'in' else 'm'}"


def _said(number: str, unit: str) -> str:
    """Millimeters to 5 from 20 up, to 1 below; meters to a tenth."""
    value = _value(number)
    if unit == "ft":
        return f"{value * FOOT_M:.1f}".removesuffix(".0")
    millimeters = value * INCH_M * 1000
    return str(round(millimeters / 5) * 5 if millimeters >= 20 else round(millimeters))


def _value(number: str) -> float:
    whole, dash, part = number.partition("-")
    return float(whole) + _value(part) if dash else _fraction(number)


def _fraction(number: str) -> float:
    above, slash, below = number.partition("/")
    return float(above) / float(below) if slash else float(above)
