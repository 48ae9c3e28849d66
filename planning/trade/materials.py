"""Material classes: windows at 23 C and 50 % RH, packages, water, yield, cautions. The setter's label always wins.

A class is never a product. Every number is a generic starting value to be replaced by the bag's own.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from types import MappingProxyType

from planning.job.job import Job, OwnMaterial
from planning.job.step import Band, Wait
from planning.job.words import LAWS, WINDOW_NAMES, Law
from planning.trade.tables import Span, Table, TableProblem, band, span, table, unit_size

MAXIMUM_ONLY: frozenset[str] = frozenset(("pot", "work", "heal"))
"""Windows of the work itself: one number of the setter's for them is a maximum."""
SPREADS: frozenset[str] = frozenset(("volume", "notch", "joint", "film", "area", "bead", "each", "tile", "screws"))


@dataclass(frozen=True, slots=True)
class Window:
    """No sooner than `minimum`, no later than `maximum` after a layer is done (or after water-in: pot, work, heal)."""

    name: str
    minimum: Band | None
    maximum: Band | None
    law: Law
    source: str
    late: str = ""
    own_label: bool = False


@dataclass(frozen=True, slots=True)
class Package:
    """What one buys: a bag of 22.7 kg that gives 0.0127 m3. `gives` is in the class's own unit."""

    name: str
    weight_kg: float
    gives: Span


@dataclass(frozen=True, slots=True)
class ActRow:
    """An inner act of a locked pour or float as the table has it; None: no such end."""

    key: str
    title: str
    counts_from: str
    opens: Window | None
    shuts: Window | None


@dataclass(frozen=True, slots=True)
class MaterialClass:
    """One class. `unit` is what amounts are counted in (m3, kg, l, m2, m, each), `use` the amount for one unit of the
    quantity it is spread by (its meaning depends on `spread`), `water_l` per package, `waste` a share of the amount.
    `needs_seal`: a cement grout. `sealed`: windows between a sealed base and tile of 12 in and more.
    """

    key: str
    title: str
    family: str
    law: Law
    unit: str
    spread: str
    package: Package
    source: str
    use: float = 1.0
    water_l: Span | None = None
    density_kg_m3: Span | None = None
    least_m: float | None = None
    """The thinnest it may lie, in meters."""
    waste: float = 0.0
    spare: int = 0
    rapid: bool = False
    needs_seal: bool = False
    pipe: str | None = None
    faster: str | None = None
    """The rapid class that may take its place, for ways out."""
    windows: Mapping[str, Window] = field(default_factory=dict)
    sealed: Mapping[str, Window] = field(default_factory=dict)
    acts: tuple[ActRow, ...] = ()
    cautions: tuple[str, ...] = ()
    small_items: tuple[str, ...] = ()

    def window(self, name: str, over_sealed: bool = False) -> Window | None:
        """The window of that name, or None if the class has none."""
        if over_sealed and name in self.sealed:
            return self.sealed[name]
        return self.windows.get(name)

    def wait(self, name: str, room: str = "", over_sealed: bool = False) -> Wait | None:
        """The minimum of a window as a wait in that room's air; None if the class has no such minimum."""
        found = self.window(name, over_sealed)
        return None if found is None or found.minimum is None else self._wait(found, found.minimum, room)

    def within(self, name: str, room: str = "", over_sealed: bool = False) -> Wait | None:
        """The maximum of a window as a wait in that room's air; None if the class has no such maximum."""
        found = self.window(name, over_sealed)
        return None if found is None or found.maximum is None else self._wait(found, found.maximum, room)

    def packages(self, quantity: float) -> int:
        """Whole packages for an amount in the class's unit, waste in, spare not: 1.3 bags are 2. 0 for nothing."""
        if quantity <= 0:
            return 0
        exact = quantity * (1 + self.waste) / self.package.gives.typical
        return max(1, -int(-(exact - 1e-9) // 1))

    def _wait(self, window: Window, label: Band, room: str) -> Wait:
        return Wait(window.name, label, window.law, self.key, room, window.source, window.own_label)


@cache
def common_classes() -> Mapping[str, MaterialClass]:
    """Every class of the trade with our generic numbers, by key."""
    return MappingProxyType({key: class_from(key, row) for key, row in table("materials.toml").items()})


def material_classes(job: Job) -> Mapping[str, MaterialClass]:
    """Every class by key, the setter's own label numbers of this job laid over ours.

    Label numbers for a class that does not exist are left out here; `expand` reports them as a problem.
    """
    known = dict(common_classes())
    for key, own in job.materials.items():
        if key in known:
            known[key] = with_label(known[key], own)
    return MappingProxyType(known)


def with_label(known: MaterialClass, own: OwnMaterial) -> MaterialClass:
    """A class with the setter's label numbers: each number he gave replaces ours, the others stay.

    A maximum he did not give stays too, unless his minimum is longer. His windows also hold over a sealed base.
    """
    package = known.package
    if own.yield_m3 is not None and known.unit == "m3":
        package = replace(package, gives=Span(own.yield_m3, own.yield_m3, own.yield_m3))
    if own.bag_kg is not None:
        gives = Span(own.bag_kg, own.bag_kg, own.bag_kg) if known.unit == "kg" else _scaled(known, own, package)
        package = replace(package, weight_kg=own.bag_kg, gives=gives)
    water = known.water_l if own.water_l is None else Span(own.water_l, own.water_l, own.water_l)
    mine = {name: _own_window(known, name, *bands) for name, bands in own.windows.items()}
    return replace(
        known,
        package=package,
        water_l=water,
        windows={**known.windows, **mine},
        sealed={name: window for name, window in known.sealed.items() if name not in mine},
        acts=tuple(_own_act(act, mine) for act in known.acts),
    )


def _scaled(known: MaterialClass, own: OwnMaterial, package: Package) -> Span:
    """A bag of another weight gives as much more, when the label does not say what it gives."""
    if own.yield_m3 is not None or own.bag_kg is None or known.unit != "m3":
        return package.gives
    more = own.bag_kg / package.weight_kg
    return Span(package.gives.low * more, package.gives.typical * more, package.gives.high * more)


def _own_window(known: MaterialClass, name: str, first: Band, last: Band | None) -> Window:
    ours = known.windows.get(name)
    law = ours.law if ours is not None else known.law
    late = ours.late if ours is not None else ""
    if name in MAXIMUM_ONLY:
        return Window(name, None, last or first, law, "the setter's label", late, True)
    maximum = last or (ours.maximum if ours is not None else None)
    if maximum is not None and last is None and maximum.typical < first.typical:
        maximum = first
    return Window(name, first, maximum, law, "the setter's label", late, True)


def _own_act(act: ActRow, mine: Mapping[str, Window]) -> ActRow:
    opens = mine.get(act.opens.name, act.opens) if act.opens else None
    shuts = mine.get(act.shuts.name, act.shuts) if act.shuts else None
    return replace(act, opens=opens, shuts=shuts)


def class_from(key: str, row: Table) -> MaterialClass:
    """One table of classes as a class. Raises TableProblem for a law, a spread, a unit or a number that cannot be."""
    law = _law(str(row["law"]))
    source = str(row["source"])
    if row["spread"] not in SPREADS:
        raise TableProblem(f"{key}: spread {row['spread']!r} is not known", f"write one of {', '.join(SPREADS)}")
    windows = {name: _window(name, each, law, source) for name, each in row.get("windows", {}).items()}
    sealed = {name: _window(name, each, law, source) for name, each in row.get("sealed", {}).items()}
    bought = row["package"]
    package = Package(
        str(bought["name"]),
        span(bought["weighs"], str(bought["weighs_unit"])).typical,
        span(bought["gives"], str(bought["gives_unit"])),
    )
    return MaterialClass(
        key=key, title=str(row["title"]), family=str(row["family"]), law=law, unit=str(row["unit"]),
        spread=str(row["spread"]), package=package, source=source, use=_use(row), water_l=_of(row, "water"),
        density_kg_m3=_of(row, "density"),
        least_m=_typical(row, "least"), waste=float(row.get("waste", 0)), spare=int(row.get("spare", 0)),
        rapid=bool(row.get("rapid", False)), needs_seal=bool(row.get("needs_seal", False)),
        pipe=row.get("pipe"), faster=row.get("faster"), windows=windows, sealed=sealed,
        acts=tuple(_act(each, windows, law, source) for each in row.get("acts", ())),
        cautions=tuple(row.get("cautions", ())), small_items=tuple(row.get("small_items", ())),
    )  # fmt: skip


def _use(row: Table) -> float:
    use = row.get("use")
    return 1.0 if use is None else float(use["rate"]) * unit_size(str(use["unit"]))


def _of(row: Table, name: str) -> Span | None:
    given = row.get(name)
    return None if given is None else span(given["of"], str(given["unit"]))


def _typical(row: Table, name: str) -> float | None:
    found = _of(row, name)
    return None if found is None else found.typical


def _law(name: str) -> Law:
    for law in LAWS:
        if law == name:
            return law
    raise TableProblem(f"law {name!r} is not known", f"write one of {', '.join(LAWS)}")


def _window(name: str, row: Table, law: Law, source: str) -> Window:
    if name not in WINDOW_NAMES:
        raise TableProblem(f"window {name!r} is not known", f"write one of {', '.join(WINDOW_NAMES)}")
    return _window_like(name, row, law, source)


def _window_like(name: str, row: Table, law: Law, source: str) -> Window:
    unit = str(row["unit"])
    low = band(row["min"], unit) if "min" in row else None
    high = band(row["max"], str(row.get("max_unit", unit))) if "max" in row else None
    return Window(name, low, high, _law(str(row.get("law", law))), str(row.get("source", source)),
                  str(row.get("late", "")))  # fmt: skip


def _act(row: Table, windows: Mapping[str, Window], law: Law, source: str) -> ActRow:
    def end(value: object) -> Window | None:
        if value is None or isinstance(value, str):
            return windows[value] if value else None
        assert isinstance(value, Mapping)
        return _window_like(str(row["key"]), value, law, source)

    return ActRow(
        str(row["key"]), str(row["title"]), str(row.get("from", "water_in")), end(row.get("opens")),
        end(row.get("shuts")),
    )  # fmt: skip
