"""Cautions: one short sentence where the step is. The label, the local code and licensed people have the last word."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from planning.job.words import Units
from planning.trade.tables import table


@dataclass(frozen=True, slots=True)
class Caution:
    """What to mind in a step, in one sentence, and where that is from. It is no advice on law or on structures.

    `metric`: the same sentence with metric numbers, rounded to the safe side where they are limits.
    """

    key: str
    title: str
    say: str
    source: str
    metric: str


@cache
def cautions() -> Mapping[str, Caution]:
    """Every caution by its key."""
    return MappingProxyType({
        key: Caution(key, str(row["title"]), str(row["say"]), str(row["source"]), str(row.get("metric", row["say"])))
        for key, row in table("cautions.toml").items()
    })  # fmt: skip


def caution_words(keys: Iterable[str], units: Units = "imperial") -> tuple[str, ...]:
    """The sentences for these keys, in order, each once. An unknown key is the setter's own words and stays."""
    known = cautions()

    def said(key: str) -> str:
        caution = known.get(key)
        if caution is None:
            return key
        return caution.metric if units == "metric" else caution.say

    return tuple(dict.fromkeys(said(key) for key in keys))
