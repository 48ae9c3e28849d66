"""Lengths inside a sentence of the trade said in the units of the job: `fill 2 in` is `fill 50 mm`."""

import re

from planning.job.words import Units
from planning.quantities.number_words import NUMBER, number
from planning.quantities.si import FOOT_M, INCH_M

_LENGTH = re.compile(rf"(?<![\w.,/])({NUMBER})(?: (to|x) ({NUMBER}))? (in|ft)\b")


def in_units(text: str, units: Units) -> str:
    """The sentence with its inches and feet turned to round millimeters and meters for a metric job; else as it is.

    Raises UnitProblem for a number that is none, such as 1/0.
    """
    return _LENGTH.sub(_metric, text) if units == "metric" else text


def _metric(found: re.Match[str]) -> str:
    first, between, second, unit = found.groups()
    said = _said(first, unit) if second is None else f"{_said(first, unit)} {between} {_said(second, unit)}"
    return f"{said} {'mm' if unit == 'in' else 'm'}"


def _said(said: str, unit: str) -> str:
    """Millimeters to 5 from 20 up, to 1 below; meters to a tenth."""
    value = float(number(said, "write such as 1-1/4"))
    if unit == "ft":
        return f"{value * FOOT_M:.1f}".removesuffix(".0")
    millimeters = value * INCH_M * 1000
    return str(round(millimeters / 5) * 5 if millimeters >= 20 else round(millimeters))
