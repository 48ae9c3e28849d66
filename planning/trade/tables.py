"""Tables of the trade as they lie in the package: TOML in the units of the trade, turned to SI on the way in."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from planning.job.step import Band
from planning.quantities.si import CUFT_M3, FOOT_M, INCH_M, MIL_M, POUND_KG, QUART_M3, SQFT_M2

Table = Mapping[str, Any]

NO_SOURCE = "common practice, no source"
"""Where a number is from of which a table says nothing else."""

QUART_L = 1000 * QUART_M3

UNITS: Mapping[str, float] = {
    "min": 1.0,
    "h": 60.0,
    "d": 1440.0,
    "min/sq ft": 1 / SQFT_M2,
    "min/ft": 1 / FOOT_M,
    "min/each": 1.0,
    "min/cu ft": 1 / CUFT_M3,
    "lb": POUND_KG,
    "kg": 1.0,
    "lb/cu ft": POUND_KG / CUFT_M3,
    "lb/sq ft": POUND_KG / SQFT_M2,
    "qt": QUART_L,
    "gal": 4 * QUART_L,
    "l": 1.0,
    "cu ft": CUFT_M3,
    "m3": 1.0,
    "sq ft": SQFT_M2,
    "m2": 1.0,
    "ft": FOOT_M,
    "in": INCH_M,
    "mil": MIL_M,
    "m": 1.0,
    "each": 1.0,
    "each/sq ft": 1 / SQFT_M2,
    "each/ft": 1 / FOOT_M,
    "gal/sq ft": 4 * QUART_L / SQFT_M2,
    "sq ft/sq ft": 1.0,
    "ft/ft": 1.0,
}
"""Unit of the trade -> its size in SI (minutes, m, m2, m3, liters, kg, each). Exact by definition of the inch,
pound and US gallon."""


class TableProblem(ValueError):
    """A table of ours, or a method of the setter's, says something that cannot be: what, and how to write it."""

    def __init__(self, what: str, how: str) -> None:
        super().__init__(f"{what}; {how}")
        self.what = what
        self.how = how


@dataclass(frozen=True, slots=True)
class Span:
    """A low, typical and high value of anything but time, in SI."""

    low: float
    typical: float
    high: float


@cache
def table(name: str) -> Table:
    """The TOML table of that name in the package (`rates.toml`, `methods/curbless-shower.toml`)."""
    return tomllib.loads(files("planning.trade").joinpath("data", name).read_text(encoding="utf-8"))


def table_names(folder: str) -> tuple[str, ...]:
    """The names of the TOML tables in a folder of the package, sorted."""
    found = files("planning.trade").joinpath("data", folder).iterdir()
    return tuple(sorted(f"{folder}/{each.name}" for each in found if each.name.endswith(".toml")))


def unit_size(unit: str) -> float:
    """One unit of the trade in SI. Raises TableProblem for a unit that is not in `UNITS`."""
    try:
        return UNITS[unit]
    except KeyError:
        raise TableProblem(f"unit {unit!r} is not known", f"write one of {', '.join(UNITS)}") from None


def span(value: object, unit: str) -> Span:
    """A number, or [low, typical, high], as a span in SI. One number fills all three.

    Raises TableProblem when it is neither, or when the three do not ascend.
    """
    size = unit_size(unit)
    low, typical, high = (number * size for number in _three(value))
    return Span(low, typical, high)


def band(value: object, unit: str) -> Band:
    """A number, or [low, typical, high], of a time unit as a band in whole minutes. Raises TableProblem."""
    size = unit_size(unit)
    low, typical, high = (round(number * size) for number in _three(value))
    return Band(low, typical, high)


def _three(value: object) -> tuple[float, float, float]:
    if isinstance(value, int | float):
        return float(value), float(value), float(value)
    if isinstance(value, list | tuple) and len(value) == 3 and all(isinstance(each, int | float) for each in value):
        low, typical, high = (float(each) for each in value)
        if 0 <= low <= typical <= high:
            return low, typical, high
    raise TableProblem(f"{value!r} is no low, typical, high", "write one number, or three that ascend: [1, 2, 5]")
