"""What lies in the van and on site as the days go: said counts, deliveries, errands, and what steps use up."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from planning.job.events import Event, effective
from planning.job.job import Delivery, Job
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.trade.materials import MaterialClass

How = Literal["counted", "moved", "lacking"]


@dataclass(frozen=True, slots=True)
class Change:
    """At an instant a class is `counted`, so many packages are `moved` in (+) or out (-), or so many are `lacking` for
    the next step that takes some."""

    at: Instant
    material: str
    packages: float
    how: How = "moved"


@dataclass
class Stock:
    """Packages by class as time goes on. Ask in order of time: `up_to` takes in what happened before an instant.

    `told`: classes of which somebody said how many there are, in the job file, by a count or by a shortage.
    """

    changes: list[Change]
    have: dict[str, float] = field(default_factory=dict)
    lacking: dict[str, float] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)

    def up_to(self, at: Instant) -> None:
        """Take in every change up to that instant."""
        while self.changes and self.changes[0].at <= at:
            self._take(self.changes.pop(0))

    def _take(self, change: Change) -> None:
        material, count = change.material, change.packages
        if change.how == "lacking":
            self.lacking[material] = count
            self.told.add(material)
            return
        if change.how == "counted":
            self.have[material] = 0.0
            self.lacking.pop(material, None)
            self.told.add(material)
        self.have[material] = max(0.0, self.have.get(material, 0.0) + count)
        if material in self.lacking and count > 0:
            self.lacking[material] = max(0.0, self.lacking[material] - count)

    def at_hand(self, material: str, take: float) -> float:
        """Packages there for a step that takes so many. A noted shortage is believed before any count of ours."""
        have = self.have.get(material, 0.0)
        if material in self.lacking and take > 0:
            have = max(0.0, take - self.lacking.pop(material))
            self.have[material] = have
        return have

    def use(self, material: str, packages: float) -> None:
        """So many packages are used up; what is not there cannot go below nothing."""
        self.have[material] = max(0.0, self.have.get(material, 0.0) - packages)


def stock_of(job: Job, plan: Plan, events: Iterable[Event]) -> Stock:
    """The stock at the beginning of the job, and all that was counted, used or brought since or will be by errands.

    A count (`van_has`) outweighs everything before it, a shortage (`short`) every count before it. Deliveries are not
    counted here: see `delivered_by`.
    """
    noted = effective(events)
    changes = [each for event in noted for each in _noted(event)]
    done = {str(event.body.get("errand") or event.body.get("value")): event.minute
            for event in noted if event.kind == "errand"}  # fmt: skip
    planned = {step.id: step.finish for step in plan.steps}
    for errand in job.errands:
        comes = done.get(errand.id, planned.get(errand.id))
        if comes is not None:
            changes += [Change(comes, material, count) for material, count in errand.brings.items()]
    return Stock(sorted(changes, key=lambda change: (change.at, change.how != "counted")), dict(job.van),
                 told=set(job.van))  # fmt: skip


def _noted(event: Event) -> list[Change]:
    material = str(event.body.get("class", ""))
    count = _number(event.body.get("value"))
    if not material or count is None:
        return []
    if event.kind == "van_has":
        return [Change(event.minute, material, count, "counted")]
    if event.kind == "short":
        return [Change(event.minute, material, count, "lacking")]
    if event.kind == "used" and "step" not in event.body:
        return [Change(event.minute, material, -count)]
    if event.kind == "delivered":
        return [Change(event.minute, material, count)]
    return []


def used_in_steps(events: Iterable[Event]) -> Mapping[tuple[str, str], float]:
    """(step, class) -> packages really used, where the setter noted it: it replaces what was reckoned."""
    return {
        (str(event.body["step"]), str(event.body.get("class", ""))): count
        for event in effective(events)
        if event.kind == "used" and "step" in event.body
        for count in [_number(event.body.get("value"))]
        if count is not None
    }


def delivered_by(job: Job, known: MaterialClass | None, material: str, room: str, delivered: Mapping[str, Instant]) -> (
    Instant | None
):  # fmt: skip
    """When a delivery brings this class to this room (noted, or else the end of its span); None: none is booked."""
    names = {material} if known is None else {material, known.family}
    arrivals = [
        delivered.get(each.id, delivered.get(each.of, each.latest))
        for each in job.deliveries
        if each.of in names and each.room in (None, room)
    ]
    return min(arrivals, default=None)


def booked(job: Job, first: Instant, last: Instant) -> tuple[Delivery, ...]:
    """The deliveries that may come between two instants, in order of time."""
    coming = [each for each in job.deliveries if first <= each.latest and each.earliest < last]
    return tuple(sorted(coming, key=lambda each: each.earliest))


def _number(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None
