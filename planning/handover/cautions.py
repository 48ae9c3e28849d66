"""What a household is told to mind, from a table: by what comes next and by what is still curing."""

import tomllib
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from planning.job.words import KINDS, Kind


@dataclass(frozen=True, slots=True)
class HouseholdCaution:
    """One sentence, when it is said, and where it is from. No advice on law or health: the label and the code rule."""

    key: str
    say: str
    source: str
    cautions: frozenset[str]
    kinds: frozenset[str]


@cache
def household_cautions() -> tuple[HouseholdCaution, ...]:
    """Every sentence of the table, in its order. Raises ValueError for a kind of work that there is not."""
    text = files("planning.handover").joinpath("data", "household.toml").read_text(encoding="utf-8")
    found = []
    for key, row in tomllib.loads(text).items():
        kinds = frozenset(row.get("kinds", ()))
        if kinds - set(KINDS):
            raise ValueError(f"{key}: {sorted(kinds - set(KINDS))} is no kind of work; write one of {', '.join(KINDS)}")
        found.append(HouseholdCaution(key, row["say"], row["source"], frozenset(row.get("cautions", ())), kinds))
    return tuple(found)


def reader_cautions(ahead: Iterable[str], curing: Collection[Kind]) -> tuple[str, ...]:
    """The sentences for cautions of the work that comes next, and for kinds of work that still cure."""
    coming = frozenset(ahead)
    return tuple(each.say for each in household_cautions() if each.cautions & coming or each.kinds & set(curing))
