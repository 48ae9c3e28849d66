"""Methods as data: what a floor or a shower is made of, row by row; ours from tables, the setter's from his job file.

A method names places, material slots, measurements and rows. It knows no room, no people and no clock.
"""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from planning.job.job import Job
from planning.job.words import Barrier, Kind, LinkEnd, Quantity, Service
from planning.trade.tables import NO_SOURCE, table, table_names

ROOM_PLACE = "room"
"""The place that every method has: all the floors it touches."""
LOCKED: frozenset[Kind] = frozenset(("pour", "float"))
"""Kinds of work that, once begun, go on to their end: poured and floated layers."""
UNCUT: frozenset[Kind] = frozenset(("prime", "pour", "float", "coat"))
"""Layers that are one: they are never done in two steps."""


class _Data(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class LinkRow(_Data):
    """After another row of the method. `wait` and `within` each name a window of the class that row lays, or say a
    length of time ("30 min"); `wait` may be "flood_hold"."""

    step: str
    on: LinkEnd = "finish"
    wait: str | None = None
    within: str | None = None


class LabourRow(_Data):
    """A part of a row's labour: a rate by name, or one written here; only under the flags in `when`.

    `place`: counted there instead of in the row's own place. `measure`: counted by that measure instead.
    """

    rate: str | None = None
    place: str | None = None
    measure: str | None = None
    per: Quantity = "once"
    of: float | tuple[float, float, float] = 0.0
    unit: str = "min"
    source: str = NO_SOURCE
    when: tuple[str, ...] = ()


class AmountRow(_Data):
    """How an amount is counted: by a quantity, of the row's place and tile unless others are named.

    `deep`: a measure, or a length ("1/2 in"), that makes a volume of an area. `at_drain`: thickness of a sloped bed at
    the drain ("1/2 in"), when it is not the measure `mud_at_drain`. `measure`: counted by that measure instead.
    """

    per: Quantity
    measure: str | None = None
    place: str | None = None
    tile: str | None = None
    deep: str | None = None
    at_drain: str | None = None


class Until(_Data):
    """A stay-off that lasts until another row of the method is done."""

    until: str


def _link(given: Any) -> Any:
    return {"step": given} if isinstance(given, str) else given


def _labour(given: Any) -> Any:
    return {"rate": given} if isinstance(given, str) else given


def _amount(given: Any) -> Any:
    return {"per": given} if isinstance(given, str) else given


def _listed(given: Any) -> Any:
    return given if isinstance(given, list | tuple) else [given]


Links = tuple[Annotated[LinkRow, BeforeValidator(_link)], ...]
Labours = tuple[Annotated[LabourRow, BeforeValidator(_labour)], ...]
Amounts = Annotated[tuple[Annotated[AmountRow, BeforeValidator(_amount)], ...], BeforeValidator(_listed)]


class Row(_Data):
    """One step of a method. Fields left out take the plainest value: no crew is one person who can do work of the
    kind, no stands_on is the place itself, no place is the whole of what the method touches.

    `lays` is the slot or class whose windows the row starts. `alone`: the labour when only the first of the crew is
    there to do it; without it, nobody does it alone. `tile`: the measure that holds the tile of this row.
    `over`: "sealed" when it lies on a membrane or another base that takes no water. `title` is short (screens have 18
    characters for a step), `says` the same in a sentence.
    """

    key: str = Field(pattern=r"^[a-z][a-z0-9-]*$")
    title: str
    says: str = ""
    kind: Kind
    place: str = ROOM_PLACE
    stands_on: tuple[str, ...] | None = None
    crew: tuple[str, ...] = ()
    labour: Labours
    alone: Labours | None = None
    pause: bool = False
    divisible: bool = False
    gear: Mapping[str, int] = Field(default_factory=dict)
    lays: str | None = None
    over: str | None = None
    tile: str = "tile"
    amounts: Mapping[str, Amounts] = Field(default_factory=dict)
    when: tuple[str, ...] = ()
    after: Links = ()
    keeps_off: Mapping[Barrier, str | Until] = Field(default_factory=dict)
    house: Mapping[Service, str] = Field(default_factory=dict)
    sees: str | None = None
    evidence: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    small_items: tuple[str, ...] = ()
    recovery: str | None = None
    source: str = NO_SOURCE

    @property
    def skills(self) -> tuple[str, ...]:
        """One skill a person: the crew, or one person who can do work of this kind."""
        return self.crew or (self.kind,)


class PlaceRow(_Data):
    """A place of a method. `floor` names the place whose floor one stands on, for walls; else it is a floor itself."""

    floor: str | None = None


class Method(_Data):
    """A whole method. `measures` holds the defaults in people's units; `takes` names measures without a default;
    `classes` says which material class fills each slot unless the setter chooses another of its family."""

    key: str = Field(pattern=r"^[a-z][a-z0-9-]*$")
    title: str
    places: Mapping[str, PlaceRow] = Field(default_factory=lambda: {"floor": PlaceRow()})
    measures: Mapping[str, Any] = Field(default_factory=dict)
    takes: tuple[str, ...] = ()
    classes: Mapping[str, str] = Field(default_factory=dict)
    source: str = NO_SOURCE
    row: tuple[Row, ...]

    @property
    def asks(self) -> frozenset[str]:
        """Every measure that a `[[room.do]]` of this method may give; one that pours or floats can be told its bays."""
        bays = ("bays",) if any(row.kind in LOCKED for row in self.row) else ()
        return frozenset((*self.measures, *self.takes, *self.classes, *bays))

    def by_key(self, key: str) -> Row | None:
        """The row of that key, or None."""
        return next((row for row in self.row if row.key == key), None)


def takes_bays(method: Method, row: Row) -> bool:
    """Does the measure `bays` speak of this row: of pours, and of floats only where the method pours nothing?"""
    return row.kind in LOCKED and (row.kind == "pour" or all(each.kind != "pour" for each in method.row))


@cache
def common_methods() -> Mapping[str, Method]:
    """Every method of the trade by its key."""
    found = (Method.model_validate(table(name)) for name in table_names("methods"))
    return MappingProxyType({method.key: method for method in found})


def known_measures() -> Mapping[str, frozenset[str]]:
    """Method -> the measures it takes, for the reader of job files."""
    return MappingProxyType({key: method.asks for key, method in common_methods().items()})


def all_methods(job: Job) -> Mapping[str, Method]:
    """Ours by key, and the setter's own of this job over them. Those that cannot be read are left out; what is wrong
    in them is said by planning.trade.own_methods."""
    mine = {}
    for raw in job.own_methods:
        method = read_own(raw)
        if isinstance(method, Method):
            mine[method.key] = method
    return MappingProxyType({**common_methods(), **mine})


def read_own(raw: Mapping[str, object]) -> Method | ValidationError:
    """A method that the setter wrote, or what is wrong with it. Lines of the file may stand in it and in its rows."""
    given = {key: value for key, value in raw.items() if key != "line"}
    rows = given.get("row")
    if isinstance(rows, list | tuple):
        given["row"] = [_without_line(row) for row in rows]
    try:
        return Method.model_validate(given)
    except ValidationError as wrong:
        return wrong


def _without_line(row: object) -> object:
    return {key: value for key, value in row.items() if key != "line"} if isinstance(row, Mapping) else row
