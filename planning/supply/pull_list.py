"""The pull-list: what to carry where on which day, in whole packages, and what is short. Read off a plan."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil
from zoneinfo import ZoneInfo

from planning.job.events import Event, effective
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.progress import read_progress
from planning.job.step import Amount, Step
from planning.job.words import Instant, Kind, Units
from planning.quantities.metric_words import in_units
from planning.supply.stock import Stock, delivered_by, stock_of, used_in_steps
from planning.trade.cautions import caution_words
from planning.trade.materials import MaterialClass, material_classes

FLOOR_LIFT_KG = 25.9 * 0.45359237
"""What one person should lift from the floor once a minute: NIOSH 94-110 (rev. 2021) worked for a bag, calculated."""


@dataclass(frozen=True, slots=True)
class Item:
    """So many whole packages of a class for one step.

    `need` has waste in it, `spare` stays shut unless something goes wrong. `stock`: packages at hand before the step.
    `comes`: when a delivery brings it; then it is not carried in the van. `water_l`: mix water a package, in liters.
    `amount` is exact and without waste, in `unit`. `ticked`: the setter said it is in the van, so it is not short.
    `told`: somebody said how many there are; else the van is taken to be empty of it, and it is to be bought.
    `more`: packages over the plan, because the earlier pieces of the step used more than was reckoned.
    """

    material: str
    title: str
    package: str
    need: int
    spare: int
    stock: float
    short: int
    weight_kg: float
    amount: float
    unit: str
    water_l: float | None = None
    comes: Instant | None = None
    ticked: bool = False
    told: bool = False
    more: int = 0

    @property
    def take(self) -> int:
        """Packages to have on site before the step begins."""
        return self.need + self.spare


@dataclass(frozen=True, slots=True)
class PullStep:
    """What one planned step (or piece) needs. `gear` is counted (mixers, saws), `small_items` are named."""

    id: str
    title: str
    kind: Kind
    room: str
    part: str | None
    start: Instant
    people: tuple[str, ...]
    items: tuple[Item, ...]
    gear: Mapping[str, int] = field(default_factory=dict)
    small_items: tuple[str, ...] = ()
    says: str = ""
    """What is done, in a sentence; empty when the title says it all."""


@dataclass(frozen=True, slots=True)
class PullDay:
    """One day's steps in order of start; the load is what the van carries, deliveries left out."""

    day: date
    steps: tuple[PullStep, ...]
    payload_kg: float | None
    cautions: tuple[str, ...] = ()

    @property
    def weight_kg(self) -> float:
        """What the van carries for this day."""
        return sum(item.weight_kg for step in self.steps for item in step.items if item.comes is None)

    @property
    def too_heavy(self) -> bool:
        """Is that more than the van may carry?"""
        return self.payload_kg is not None and self.weight_kg > self.payload_kg

    @property
    def short(self) -> tuple[tuple[PullStep, Item], ...]:
        """What is short on this day, and for which step."""
        return tuple((step, item) for step in self.steps for item in step.items if item.short)

    def by_room(self) -> tuple[tuple[str, tuple[PullStep, ...]], ...]:
        """The steps by room, rooms in the order in which work begins."""
        rooms = dict.fromkeys(step.room for step in self.steps)
        return tuple((room, tuple(step for step in self.steps if step.room == room)) for room in rooms)


@dataclass(frozen=True, slots=True)
class PullList:
    """The pull-list of a job, day by day; days without anything to carry are left out."""

    job: str
    days: tuple[PullDay, ...]

    def on(self, day: date) -> PullDay | None:
        """The list of one day, or None when nothing is carried then."""
        return next((each for each in self.days if each.day == day), None)


def pull_list(
    plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event] = (), day: date | None = None
) -> PullList:
    """What to carry for every step not yet done, by day (only `day` when given).

    Packages are whole: waste of the class in, its spare beside it. A step in several pieces takes what its first
    pieces together need, so that nothing is rounded up twice. What finished steps used is taken from the van first.
    """
    maker = _Maker(plan, job, steps, events)
    found: dict[date, list[PullStep]] = {}
    for planned in sorted(plan.steps, key=lambda step: (step.start, step.id)):
        pulled = maker.step(planned)
        if pulled is not None:
            found.setdefault(local(job.zone, planned.start).date(), []).append(pulled)
    days = [
        PullDay(each, tuple(listed), job.gear.payload_kg, _cautions(listed, job.units))
        for each, listed in sorted(found.items())
        if day is None or each == day
    ]
    return PullList(job.name, tuple(days))


@dataclass
class Pace:
    """What the finished pieces of a step used of a class, against what was reckoned for them."""

    reckoned: float = 0.0
    used: float = 0.0

    def note(self, reckoned: float, used: float) -> None:
        """One more piece is known."""
        self.reckoned += reckoned
        self.used += used

    @property
    def factor(self) -> float:
        """By how much the pieces to come need more. Less is not counted on: whole packages hide it."""
        return max(1.0, self.used / self.reckoned) if self.reckoned else 1.0


class _Maker:
    """Walks the plan in order of time and keeps the stock as it goes."""

    def __init__(self, plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event]) -> None:
        self.job = job
        self.by_id = {step.id: step for step in steps}
        self.classes = material_classes(job)
        self.stock: Stock = stock_of(job, plan, events)
        self.used = used_in_steps(events)
        progress = read_progress(job, events)
        self.delivered, self.finished = progress.delivered, progress.finished
        self.ticks = _ticks(events)
        self.shares: dict[str, float] = {}
        self.pace: dict[tuple[str, str], Pace] = {}

    def step(self, planned: PlannedStep) -> PullStep | None:
        """The planned step's list; None for what is done, and for what needs nothing."""
        step = self.by_id.get(planned.piece.of if planned.piece else planned.id)
        if step is None:
            return None
        self.stock.up_to(planned.start)
        before = self.shares.get(step.id, 0.0)
        share = planned.piece.share if planned.piece else 1.0
        self.shares[step.id] = before + share
        items = tuple(self._item(planned, amount, before, share) for amount in step.amounts)
        if planned.id in self.finished:
            return None
        small = [*step.small_items, *(s for a in step.amounts for s in self._small(a.material))]
        items = tuple(item for item in items if item.take or item.short)
        if not items and not small and not step.gear:
            return None
        return PullStep(
            planned.id, planned.title, planned.kind, planned.room, planned.part, planned.start, planned.people, items,
            dict(step.gear), tuple(dict.fromkeys(small)), step.says,
        )  # fmt: skip

    def _item(self, planned: PlannedStep, amount: Amount, before: float, share: float) -> Item:
        known, material = self.classes.get(amount.material), amount.material
        reckoned = packages(known, amount.quantity * (before + share)) - packages(known, amount.quantity * before)
        pace = self.pace.setdefault((planned.piece.of if planned.piece else planned.id, material), Pace())
        need = ceil(reckoned * pace.factor - 1e-9)
        used = self.used.get((planned.id, material))
        spare = known.spare if known is not None and need and not before else 0
        ticked = (planned.id, material) in self.ticks
        comes = delivered_by(self.job, known, material, planned.room, self.delivered)
        brought = comes is not None and comes <= planned.start
        lacks = material in self.stock.lacking
        stock = self.stock.at_hand(material, need + spare)
        gone = planned.id in self.finished or ticked or (brought and not lacks)
        short = 0 if gone else max(0, ceil(need + spare - stock - 1e-9))
        if not brought:
            self.stock.use(material, need if used is None else used)
        if used is not None:
            pace.note(reckoned, used)
        return Item(
            material=amount.material,
            title=amount.material if known is None else known.title,
            package=amount.unit if known is None else known.package.name,
            need=need,
            spare=spare,
            stock=stock,
            short=short,
            weight_kg=0.0 if known is None else known.package.weight_kg * (need + spare),
            amount=amount.quantity * share,
            unit=amount.unit,
            water_l=None if known is None or known.water_l is None else known.water_l.typical,
            comes=comes,
            ticked=ticked,
            told=material in self.stock.told,
            more=need - reckoned,
        )

    def _small(self, material: str) -> tuple[str, ...]:
        known = self.classes.get(material)
        return () if known is None else tuple(in_units(each, self.job.units) for each in known.small_items)


def packages(known: MaterialClass | None, quantity: float) -> int:
    """Whole packages of a class for an amount; of a class nobody knows, whole units."""
    if known is None:
        return ceil(quantity - 1e-9) if quantity > 0 else 0
    return known.packages(quantity)


def _ticks(events: Sequence[Event]) -> frozenset[tuple[str, str]]:
    """(step, class) of what was ticked as in the van, the last word counting."""
    said = {
        (str(event.body.get("step", "")), str(event.body.get("class", ""))): event.body.get("value", "on") != "off"
        for event in effective(events)
        if event.kind == "ticked"
    }
    return frozenset(key for key, on in said.items() if on)


def _cautions(steps: Sequence[PullStep], units: Units) -> tuple[str, ...]:
    heavy = any(
        item.take and item.weight_kg / item.take > FLOOR_LIFT_KG for step in steps for item in step.items
    )  # fmt: skip
    return caution_words(["lifting"], units) if heavy else ()


def day_of(plan: Plan, now: Instant) -> date | None:
    """The day to show at `now`: today if anything is still planned for it, else the next day with work."""
    zone = ZoneInfo(plan.zone)
    today = local(zone, now).date()
    days = sorted({local(zone, step.start).date() for step in plan.steps if step.state not in ("done", "curing")})
    return next((day for day in days if day >= today), None)
