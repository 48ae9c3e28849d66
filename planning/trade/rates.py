"""Attended labour by task: so many minutes for each unit of a quantity, from the table of rates."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from planning.job.step import Band
from planning.job.words import QUANTITIES, Quantity
from planning.trade.tables import Span, Table, TableProblem, span, table


@dataclass(frozen=True, slots=True)
class Rate:
    """Minutes of elapsed work for one unit of `per` (m2, m, m3 or each; "once": for the whole step).

    Low, typical, high are 10, 50 and 90 % of cases, with the crew the title names. Not a price and not a promise.
    """

    key: str
    title: str
    per: Quantity
    minutes: Span
    source: str


@cache
def rates() -> Mapping[str, Rate]:
    """Every rate of the trade by its name."""
    found = {key: rate_from(key, row) for key, row in table("rates.toml").items()}
    return MappingProxyType(found)


def rate_from(key: str, row: Table) -> Rate:
    """One row of the table as a rate. Raises TableProblem for a quantity, unit or number that cannot be."""
    per = row.get("per", "once")
    if per not in QUANTITIES:
        raise TableProblem(f"rate {key!r} is counted by {per!r}", f"write per as one of {', '.join(QUANTITIES)}")
    return Rate(key, str(row.get("title", key)), per, span(row.get("of"), str(row.get("unit", "min"))),
                str(row.get("source", "")))  # fmt: skip


def labour(parts: Mapping[Rate, float]) -> Band:
    """The sum of rates, each times its quantity in SI, as whole minutes; never less than one.

    Sums of low and of high overstate the spread of a long step a little: the parts are taken to go slow together.
    """
    low = sum(rate.minutes.low * quantity for rate, quantity in parts.items())
    typical = sum(rate.minutes.typical * quantity for rate, quantity in parts.items())
    high = sum(rate.minutes.high * quantity for rate, quantity in parts.items())
    return Band(max(1, round(low)), max(1, round(typical)), max(1, round(high)))


def scaled(band: Band, share: float) -> Band:
    """So many times as much labour, in whole minutes; never less than one."""
    return Band(*(max(1, round(minutes * share)) for minutes in (band.low, band.typical, band.high)))
