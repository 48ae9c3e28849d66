"""People's units read into SI: feet-inches-fractions, sq ft, hours, bags, air. Converting is pint's, reading ours.

Every function raises `UnitProblem` (what is wrong, how to write it right) and nothing else. A number without a unit is
refused wherever two units are likely; only lengths take a `bare` unit. What comes back is float SI or whole minutes.
"""

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Any

from planning.job.place import Air
from planning.job.step import Band
from planning.quantities.number_words import NUMBER, UnitProblem, number, plain, shown
from planning.quantities.show import (
    show_area,
    show_length,
    show_mass,
    show_minutes,
    show_temp,
    show_volume,
)
from planning.quantities.unit_words import AREAS, DEFINITIONS, LENGTHS, MASSES, PACKAGES, TIMES, VOLUMES

__all__ = [
    "UnitProblem", "air", "area_m2", "band", "depths_m", "length_m", "liters", "mass_kg", "minutes", "packages",
    "point_m", "share", "show_area", "show_length", "show_mass", "show_minutes", "show_temp", "show_volume", "sides_m",
    "size_m", "slope", "temperature_c", "volume_m3", "window",
]  # fmt: skip

MOST_LENGTH_M = 1000.0
MOST_MINUTES = 400 * 24 * 60

_LENGTH_HOW = "write 5' 3 1/2\", 63.5 in or 1613 mm"
_TIME_HOW = 'write it as "35 min", "2 h 15" or "3 days"'
_PIECE = re.compile(rf"\s*({NUMBER})\s*([a-z]+|'|\")?\.?\s*[-,]?")
_BETWEEN = re.compile(r"\s*(?:x|\*|\bby\b)\s*")


@lru_cache(maxsize=1)
def _registry() -> Any:  # Any: pint's registry type is generic over its own magnitudes, which says nothing here
    from pint import UnitRegistry  # here, because it takes half a second and shown numbers never need it

    registry: Any = UnitRegistry(None, non_int_type=Fraction)  # exact: 5 ft is 1.524 m, not 1.5239999999999998
    registry.load_definitions(list(DEFINITIONS))
    return registry


@lru_cache(maxsize=256)
def _factor(unit: str, base: str) -> Fraction:
    return Fraction(_registry().Quantity(Fraction(1), unit).to(base).magnitude)


def _measured(text: object, table: Mapping[str, str], base: str, how: str, most: float) -> float:
    words = plain(text, how).lower()
    matched = re.fullmatch(rf"({NUMBER})\s*(\D.*)", words)
    unit = table.get(matched[2].replace(".", "").strip()) if matched else None
    if not matched or unit is None:
        missing = re.fullmatch(NUMBER, words) is not None
        raise UnitProblem(f"{shown(text)} has no unit" if missing else f"{shown(text)} is not clear", how)
    value = number(matched[1], how) * _factor(unit, base)
    if value > most:
        raise UnitProblem(f"{shown(text)} is too much", how)
    return float(value)


def _pieces(words: str, table: Mapping[str, str], how: str, text: object) -> list[tuple[Fraction, str | None]]:
    """A row of numbers with their units, left to right: 5' 3 1/2" -> [(5, foot), (3.5, inch)]."""
    found: list[tuple[Fraction, str | None]] = []
    at = 0
    while at < len(words):
        matched = _PIECE.match(words, at)
        if matched is None or (matched[2] and matched[2] not in table):
            raise UnitProblem(f"{shown(text)} is not clear", how)
        found.append((number(matched[1], how), table[matched[2]] if matched[2] else None))
        at = matched.end()
    if not found or words.endswith((",", "-")):
        raise UnitProblem(f"{shown(text)} is not clear", how)
    return found


@lru_cache(maxsize=1024)
def _one_length(words: str, bare: str | None, text: object, how: str) -> Fraction:
    """Meters of one length. `bare` is a unit as written ("ft"), for a number that has none."""
    pieces = _pieces(words, LENGTHS, how, text)
    units = [unit for _, unit in pieces]
    if units == [None]:
        if bare is None:
            raise UnitProblem(f"{shown(text)} has no unit", how)
        units = [LENGTHS[bare]]
    if units == ["foot", None]:
        units = ["foot", "inch"]
    if len(units) != 1 and units != ["foot", "inch"]:
        raise UnitProblem(f"{shown(text)} is not clear", how)
    lengths = (value * _factor(str(unit), "meter") for (value, _), unit in zip(pieces, units, strict=True))
    meters = sum(lengths, Fraction(0))
    if meters > MOST_LENGTH_M:
        raise UnitProblem(f"{shown(text)} is too long", how)
    return meters


def length_m(text: object, bare: str | None = "ft", how: str = _LENGTH_HOW) -> float:
    """One length in meters: 5'-3 1/2", 1-3/8 in, 63.5 in, 25 mil, 1613 mm. `bare` None refuses a plain number."""
    return float(_one_length(plain(text, how).lower(), bare, text, how))


def sides_m(text: object, bare: str | None, how: str) -> tuple[float, ...]:
    """Lengths joined by x, in meters; a side without a unit takes the one of the next side that has one.

    12 x 24 x 3/8 in are inches all; 5x4'6" is five feet by four and a half.
    """
    parts = _BETWEEN.split(plain(text, how).lower())
    if any(not part for part in parts):
        raise UnitProblem(f"{shown(text)} is not clear", how)
    units = [_pieces(part, LENGTHS, how, text)[0][1] for part in parts]
    spelled = {unit: word for word, unit in LENGTHS.items()}
    found = []
    for n, part in enumerate(parts):
        borrowed = [unit for unit in (*units[n:], *reversed(units[:n])) if unit is not None]
        found.append(_one_length(part, spelled[borrowed[0]] if borrowed else bare, text, how))
    if min(found) <= 0:
        raise UnitProblem(f"{shown(text)} has a side of nothing", how)
    return tuple(float(side) for side in found)


def size_m(text: object, how: str = 'write it as "10 x 6 ft", "5\' x 4\'6\\"" or "25 sqft"') -> tuple[float, float]:
    """Two sides of a floor in meters, as written. An area ("25 sqft") gives the square of that area."""
    words = plain(text, how).lower()
    if not _BETWEEN.search(words) and any(words.endswith(unit) for unit in AREAS):
        side = float(area_m2(words, how) ** 0.5)
        return side, side
    sides = sides_m(text, "ft", how)
    if len(sides) != 2:
        raise UnitProblem(f"{shown(text)} has {len(sides)} side{'s' * (len(sides) > 1)}, not two", how)
    return sides[0], sides[1]


def area_m2(text: object, how: str = 'write it as "88 sq ft", "2.3 m2" or "11 x 8 ft"') -> float:
    """An area in square meters: 88 sq ft, 25 sqft, 2.3 m2, or two sides, 11 x 8 ft."""
    words = plain(text, how).lower()
    if _BETWEEN.search(words):
        first, second, *more = (*sides_m(text, "ft", how), 0.0)
        if not second or len(more) > 1:
            raise UnitProblem(f"{shown(text)} is not two sides", how)
        return first * second
    return _measured(text, AREAS, "meter**2", how, MOST_LENGTH_M**2)


def volume_m3(text: object, how: str = 'write it as "0.45 cu ft" or "12.7 l"') -> float:
    """A volume in cubic meters: 0.45 cu ft, 5.5 qt, 12.7 l."""
    return _measured(text, VOLUMES, "meter**3", how, 1000.0)


def liters(text: object, how: str = 'write it as "5.5 qt" or "5.2 l"') -> float:
    """A volume of liquid in liters."""
    return _measured(text, VOLUMES, "liter", how, 100_000.0)


def mass_kg(text: object, how: str = 'write it as "50 lb" or "25 kg"') -> float:
    """A mass in kilograms."""
    return _measured(text, MASSES, "kilogram", how, 100_000.0)


def minutes(text: object, how: str = _TIME_HOW) -> int:
    """A stretch of time in whole minutes: 35 min, 2 h 15, 1-1/2 h, 3 days."""
    return _minutes(plain(text, how).lower(), text, how)


@lru_cache(maxsize=1024)
def _minutes(words: str, text: object, how: str) -> int:
    pieces = _pieces(words, TIMES, how, text)
    units = [unit for _, unit in pieces]
    if units == [None]:
        raise UnitProblem(f"{shown(text)} has no unit", how)
    if units == ["hour", None]:
        units = ["hour", "minute"]
    factors = [_factor(unit, "minute") if unit else Fraction(0) for unit in units]
    if any(later >= sooner for sooner, later in pairwise(factors)) or 0 in factors:
        raise UnitProblem(f"{shown(text)} is not clear", how)
    total = sum(value * factor for (value, _), factor in zip(pieces, factors, strict=True))
    if total > MOST_MINUTES:
        raise UnitProblem(f"{shown(text)} is too long a time", how)
    return round(total)


def band(text: object, how: str = 'write it as "2 h", or low, usual and high as "1 / 2 / 4 h"') -> Band:
    """A time, or its low, typical and high case divided by slashes, in minutes. One time fills all three."""
    words = plain(text, how).lower()
    parts = [words] if words.count("/") < 2 else [part.strip() for part in words.split("/")]
    if len(parts) not in (1, 3):
        raise UnitProblem(f"{shown(text)} is not clear", how)
    last = re.search(r"([a-z]+)$", words)
    times = [_minutes(part if re.search("[a-z]", part) or not last else f"{part} {last[1]}", text, how)
             for part in parts]  # fmt: skip
    if times != sorted(times):
        raise UnitProblem(f"{shown(text)} does not go up from low to high", how)
    return Band(times[0], times[len(times) // 2], times[-1])


def window(text: object, how: str = 'write it as "2 h", or as "1-1/2 h to 24 h"') -> tuple[Band, Band | None]:
    """A window of a label: the least time, and the longest or None. "1-1/2 h to 24 h" opens and shuts."""
    words = plain(text, how).lower()
    opens, to, shuts = words.partition(" to ")
    if not to:
        return band(words, how), None
    last = re.search(r"([a-z]+)$", shuts)
    first = band(opens if re.search("[a-z]", opens) or not last else f"{opens} {last[1]}", how)
    second = band(shuts, how)
    if second.typical < first.typical:
        raise UnitProblem(f"{shown(text)} shuts before it opens", how)
    return first, second


def temperature_c(text: object, how: str = 'write it as "68 F" or "20 C"') -> float:
    """A temperature in degrees Celsius, from Fahrenheit or Celsius, -40 to 60 C."""
    words = plain(text, how).lower()
    matched = re.fullmatch(rf"(-?)\s*({NUMBER})\s*(?:°|deg)?\s*(f|c)", words)
    if not matched:
        raise UnitProblem(f"{shown(text)} is not a temperature", how)
    value = number(matched[2], how) * (-1 if matched[1] else 1)
    celsius = float(_registry().Quantity(value, f"deg{matched[3].upper()}").to("degC").magnitude)
    if not -40 <= celsius <= 60:
        raise UnitProblem(f"{shown(text)} is no air to work in", how)
    return celsius


def share(text: object, how: str = 'write it as "10 %"') -> float:
    """A percentage as 0 to 1."""
    matched = re.fullmatch(rf"({NUMBER})\s*%", plain(text, how))
    value = number(matched[1], how) / 100 if matched else Fraction(2)
    if value > 1:
        raise UnitProblem(f"{shown(text)} is not a share from 0 to 100 %", how)
    return float(value)


def air(text: object, how: str = 'write it as "68 F 55 % floor 66 F"') -> Air:
    """Air as read in a room: air temperature, humidity, and the floor's temperature (the air's if not said)."""
    words = plain(text, how).lower().replace(",", " ")
    matched = re.fullmatch(r"(.*?[fc])\s+(\S+\s*%)\s*(?:rh)?\s*(?:(?:floor|surface)\s+(.*))?", words)
    if not matched:
        raise UnitProblem(f"{shown(text)} is not air, humidity and floor", how)
    air_c = temperature_c(matched[1], how)
    return Air(air_c, share(matched[2], how), temperature_c(matched[3], how) if matched[3] else air_c)


def slope(text: object, how: str = 'write it as "1/4 in per ft", "2 %" or "1:50"') -> float:
    """A fall as rise over run, 0 to 0.2."""
    words = plain(text, how).lower()
    ratio = re.fullmatch(r"1\s*:\s*(\d{1,4}(?:\.\d{1,3})?)", words)
    per = re.fullmatch(r"(.+?)\s*(?:/|\bper\b)\s*(1\s*)?(ft|foot|m|meter)", words)
    value: Fraction | float
    if ratio and float(ratio[1]) > 0:
        value = 1 / Fraction(ratio[1])
    elif per:
        value = _one_length(per[1], None, text, how) / _factor(LENGTHS[per[3]], "meter")
    elif words.endswith("%"):
        value = share(words, how)
    else:
        raise UnitProblem(f"{shown(text)} is not a slope", how)
    if value > 0.2:
        raise UnitProblem(f"{shown(text)} is too steep for a floor", how)
    return float(value)


def point_m(text: object, how: str = 'write it as "2\'-6\\", 1\'-6\\""') -> tuple[float, float]:
    """A point as two lengths with a comma between, in meters: from the left wall, from the far wall."""
    parts = plain(text, how).lower().split(",")
    if len(parts) != 2:
        raise UnitProblem(f"{shown(text)} is not two lengths", how)
    first, second = (_one_length(part.strip(), "in" if part.strip() == "0" else None, text, how) for part in parts)
    return float(first), float(second)


def depths_m(text: object, how: str = 'write a row as "1/4 3/8 1-1/2 in"') -> tuple[float, ...]:
    """A row of depths in meters, blanks between (a mixed number takes a hyphen), the unit once at the end."""
    words = plain(text, how).lower()
    matched = re.fullmatch(r"(.*?)\s*([a-z]+|\")", words)
    if not matched or matched[2] not in LENGTHS:
        raise UnitProblem(f"{shown(text)} has no unit", how)
    depths = [number(each, how) * _factor(LENGTHS[matched[2]], "meter") for each in re.split(r"[,\s]+", matched[1])]
    if max(depths) > MOST_LENGTH_M:
        raise UnitProblem(f"{shown(text)} is too deep", how)
    return tuple(float(depth) for depth in depths)


def packages(text: object, how: str = 'write it as "2 bags"') -> float:
    """So many whole or part packages: 2 bags, 1 pail, 1/2 bag. What a package holds is its class's own matter."""
    if isinstance(text, int) and not isinstance(text, bool) and 0 <= text <= 10_000:
        return float(text)
    matched = re.fullmatch(rf"({NUMBER})\s*([a-z]+)?", plain(text, how).lower())
    if not matched or (matched[2] and matched[2] not in PACKAGES):
        raise UnitProblem(f"{shown(text)} is not a number of packages", how)
    value = number(matched[1], how)
    if value > 10_000:
        raise UnitProblem(f"{shown(text)} is too many", how)
    return float(value)
