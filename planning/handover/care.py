"""Care of the finished work, from a table: what an owner does and does not do with each material that was laid."""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from planning.trade.materials import MaterialClass


@dataclass(frozen=True, slots=True)
class Care:
    """The sentences for one family or class, and where they are from. The maker's own sheet comes first."""

    key: str
    lines: tuple[str, ...]
    source: str


@cache
def care_table() -> Mapping[str, Care]:
    """Every entry by its family or class."""
    text = files("planning.handover").joinpath("data", "care.toml").read_text(encoding="utf-8")
    return MappingProxyType({
        key: Care(key, tuple(row["care"]), str(row["source"])) for key, row in tomllib.loads(text).items()
    })  # fmt: skip


def care_lines(laid: Iterable[str], known: Mapping[str, MaterialClass]) -> tuple[str, ...]:
    """The sentences for these classes, each once: a class's own before its family's."""
    table = care_table()
    found: list[str] = []
    for key in laid:
        family = known[key].family if key in known else key
        care = table.get(key) or table.get(family)
        found += care.lines if care is not None else ()
    return tuple(dict.fromkeys(found))
