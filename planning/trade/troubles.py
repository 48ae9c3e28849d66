"""What can be found on the job or go wrong, and which recovery it asks for: a table, read from people's words."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from planning.job.words import KINDS
from planning.trade.recoveries import Recovery, recoveries
from planning.trade.tables import Table, TableProblem, table

OTHER = "other"
HITS = ("layer", "test", "floor")


@dataclass(frozen=True, slots=True)
class Trouble:
    """`hits`: what is hurt, a layer, a test or the floor itself. `recovery`: by the kind of the layer ("" for any).
    `asks`: who must say yes before it is mended, or None."""

    key: str
    title: str
    words: tuple[str, ...]
    hits: str
    recovery: Mapping[str, str]
    asks: str | None
    source: str

    def cure(self, kind: str) -> Recovery | None:
        """The recovery of a layer of this kind; None when the trouble does not hurt such a layer."""
        key = self.recovery.get(kind) or self.recovery.get("")
        return recoveries()[key] if key is not None else None


@cache
def troubles() -> Mapping[str, Trouble]:
    """Every trouble by its key. Raises TableProblem for a table that cannot be."""
    return MappingProxyType({key: _trouble(key, row) for key, row in table("troubles.toml").items()})


def trouble_named(text: str) -> Trouble:
    """The trouble that people's words speak of; "other" when none of the known words is among them."""
    said = f" {' '.join(text.casefold().replace('-', ' ').split())} "
    for each in troubles().values():
        if any(f" {word}" in said for word in (each.key.replace("-", " "), *each.words) if each.key != OTHER):
            return each
    return troubles()[OTHER]


def _trouble(key: str, row: Table) -> Trouble:
    cures = row["recovery"]
    by_kind = {"": str(cures)} if isinstance(cures, str) else {str(kind): str(each) for kind, each in cures.items()}
    unknown = [each for each in by_kind.values() if each not in recoveries()]
    if unknown or set(by_kind) - {"", *KINDS} or row["hits"] not in HITS:
        raise TableProblem(f"{key}: {unknown or row['hits']} is not known", "write recoveries, by kinds that there are")
    return Trouble(
        key, str(row["title"]), tuple(map(str, row["words"])), str(row["hits"]), by_kind, row.get("asks"),
        str(row["source"]),
    )  # fmt: skip
