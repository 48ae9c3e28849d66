"""What to do when a layer is lost or its window was missed: a sentence, and the steps it takes, as data."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from planning.job.step import Step
from planning.job.words import KINDS, QUANTITIES, Kind, Quantity
from planning.trade.rates import Rate, rate_from, rates
from planning.trade.tables import NO_SOURCE, Table, TableProblem, table

LAYER = "layer"
OPENER = "opener"
AS_BEFORE = "as before"


@dataclass(frozen=True, slots=True)
class RecoveryRow:
    """One step of a recovery. `lays`: "layer" (it takes the lost layer's place), a class, or None.

    `wait`: what the next step waits for; `edge`: worked from outside the floor; `ends`: it ends a stay-off that lasts
    until a later step; `off`: the floor is not walked on until what it waits for is over; `use`: the share of the
    layer's material it takes; `use_per`: else the quantity that its own class is counted by.
    """

    key: str
    title: str
    kind: Kind
    labour: tuple[Rate, ...]
    crew: tuple[str, ...]
    lays: str | None
    wait: str | None
    edge: bool
    ends: bool
    off: bool
    pause: bool
    use: float
    use_per: Quantity | None
    cautions: tuple[str, ...]
    small_items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Recovery:
    """A repair. `late`: the kinds of layer it cures when the next one came too late; `again`: what is repeated after
    the rows when the layer is lost; `part`: how much of it; `called`: how the repeat is told from the first (its title
    and id end so)."""

    key: str
    title: str
    say: str
    rows: tuple[RecoveryRow, ...]
    late: frozenset[str]
    again: tuple[str, ...]
    part: float
    called: str
    source: str


@cache
def recoveries() -> Mapping[str, Recovery]:
    """Every recovery by its key. Raises TableProblem for a table that cannot be."""
    return MappingProxyType({key: _recovery(key, row) for key, row in table("recoveries.toml").items()})


def late_recovery(kind: str) -> Recovery:
    """What cures a layer of this kind on which the next one came too late."""
    cures = (each for each in recoveries().values() if kind in each.late)
    return next(cures, recoveries()["clean-and-check"])


def recovery_words(key: str | None) -> str | None:
    """The sentence for a step's recovery, or None. An unknown key is the setter's own words and stays."""
    if key is None:
        return None
    found = recoveries().get(key)
    return found.say if found is not None else key


def words_if_missed(step: Step, before: Mapping[str, Step]) -> str | None:
    """What to do when this step comes after its window: the setter's own words; else what cures the layer under it;
    else the step's own recovery."""
    own = step.recovery is not None and step.recovery not in recoveries()
    for link in () if own else step.after:
        if link.within is not None and link.step in before:
            return late_recovery(before[link.step].kind).say
    return recovery_words(step.recovery)


def _recovery(key: str, row: Table) -> Recovery:
    again = tuple(map(str, row.get("again", ())))
    wrong = set(again) - {LAYER, OPENER}
    if wrong:
        raise TableProblem(f"{key}: again {sorted(wrong)} is not known", f"write {LAYER} or {OPENER}")
    return Recovery(
        key, str(row["title"]), str(row["say"]), tuple(_row(key, each) for each in row["rows"]),
        frozenset(map(str, row.get("late", ()))), again, float(row.get("part", 1.0)), str(row.get("called", "again")),
        str(row["source"]),
    )  # fmt: skip


def _row(key: str, row: Table) -> RecoveryRow:
    kind, per = row["kind"], row.get("use_per")
    if kind not in KINDS or per not in (None, *QUANTITIES):
        raise TableProblem(f"{key}: kind {kind!r} or quantity {per!r} is not known", "write one of the closed words")
    wait = row.get("wait")
    return RecoveryRow(
        key=str(row["key"]), title=str(row["title"]), kind=kind,
        labour=tuple(_rate(key, n, each) for n, each in enumerate(row["labour"])),
        crew=tuple(map(str, row.get("crew", (kind,)))), lays=row.get("lays"), wait=None if wait is None else str(wait),
        edge=row.get("stands") == "edge", ends=bool(row.get("ends", False)), off=bool(row.get("off", False)),
        pause=bool(row.get("pause", False)), use=float(row.get("use", 0.0)), use_per=per,
        cautions=tuple(map(str, row.get("cautions", ()))), small_items=tuple(map(str, row.get("small_items", ()))),
    )  # fmt: skip


def _rate(key: str, n: int, given: str | Table) -> Rate:
    if isinstance(given, str):
        return rates()[given]
    return rate_from(f"{key}/{n}", {"source": NO_SOURCE, **given})
