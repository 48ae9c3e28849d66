"""What to do when a window was missed: a sentence, the extra labour, and the clock that begins again."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from planning.job.words import WINDOW_NAMES
from planning.trade.rates import Rate, rate_from, rates
from planning.trade.tables import Table, TableProblem, table


@dataclass(frozen=True, slots=True)
class Recovery:
    """A repair. `restarts` names the window counted anew from it; `again`: the missed step is done once more after."""

    key: str
    title: str
    say: str
    labour: tuple[Rate, ...]
    restarts: str
    again: bool
    source: str


@cache
def recoveries() -> Mapping[str, Recovery]:
    """Every recovery by its key."""
    return MappingProxyType({key: _recovery(key, row) for key, row in table("recoveries.toml").items()})


def recovery_words(key: str | None) -> str | None:
    """The sentence for a step's recovery, or None. An unknown key is the setter's own words and stays."""
    if key is None:
        return None
    found = recoveries().get(key)
    return found.say if found is not None else key


def _recovery(key: str, row: Table) -> Recovery:
    restarts = str(row["restarts"])
    if restarts not in WINDOW_NAMES:
        raise TableProblem(f"{key}: window {restarts!r} is not known", f"write one of {', '.join(WINDOW_NAMES)}")
    return Recovery(
        key, str(row["title"]), str(row["say"]), tuple(_rate(key, n, each) for n, each in enumerate(row["labour"])),
        restarts, bool(row.get("again", False)), str(row["source"]),
    )  # fmt: skip


def _rate(key: str, n: int, given: str | Table) -> Rate:
    if isinstance(given, str):
        return rates()[given]
    return rate_from(f"{key}/{n}", {"source": "common practice, no source", **given})
