"""How a poured or floated layer is brought in: who mixes, in how many bays, batch after batch, inside its working time.

A pour stays live as a whole: its last bag lands while the first still flows. A float is worked batch by batch, each
inside its own set. Where the people there cannot do it in one go, it is dammed into bays, as few as will do. Minutes
of windows are the class's own at the job file's air for the room; what is read later is judged, not planned for.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache
from itertools import permutations
from math import ceil
from zoneinfo import ZoneInfo

from planning.job.hours import shifts
from planning.job.people import Hours, Person
from planning.job.place import Air
from planning.job.step import Band, Step, StepBatch
from planning.job.words import Minutes
from planning.quantities.bags import shared_out
from planning.quantities.crew import Site, pour_order
from planning.quantities.floats import PARTS_OF_A_BAG, float_order, largest_batch
from planning.trade.air import act_minutes
from planning.trade.materials import MaterialClass
from planning.trade.measures_of_room import Measured
from planning.trade.methods import LabourRow, Row, takes_bays
from planning.trade.rates import labour
from planning.trade.rows import inner_acts, labour_parts

MIXES = "mix"
MIXERS = "mixers"
LOOK_AHEAD_DAYS = 21
"""How far the people's hours are looked at for the longest stretch that they have in common."""


@dataclass(frozen=True, slots=True)
class Hands:
    """The people for one pour: one skill a person, the mixers they run, and the longest they are there at one go."""

    crew: tuple[str, ...]
    mixers: int
    stretch_min: Minutes

    @property
    def site(self) -> Site:
        """The same for the arithmetic of pours."""
        return Site(len(self.crew), self.mixers)


@dataclass(frozen=True, slots=True)
class PourPlan:
    """One layer that is poured or floated, and how it is brought in: `bays` says the bags of each bay.

    `live_min`: how long the first bag of a pour flows (of a float: how long a batch may be worked). `parts` is the
    labour the row counts by, `own_labour` that the setter gave his own minutes for the whole.
    """

    step: Step
    row: Row
    material: MaterialClass
    bags: int
    live_min: Minutes
    hands: Hands
    bays: tuple[int, ...]
    parts: tuple[LabourRow, ...]
    own_labour: bool
    primer_min: Minutes = 0
    """Of the primer before it, for the whole floor; 0 when it may stop for a meal."""

    @property
    def fits(self) -> bool:
        """Can these people bring in every bay inside its time?"""
        return max(self.bays) <= self.most_bags()

    def most_bags(self) -> int:
        """The most bags of one bay, by the time they flow; a float has no such end."""
        return self.hands.site.at_once(self.live_min) if self.row.kind == "pour" else self.bags

    def labour_of(self, measured: Measured, bay: int) -> Band:
        """The labour of a bay of so many bags: its share, all of what each bay costs anew, mixers taking turns."""
        share = bay / self.bags
        if self.own_labour:
            own = self.step.labour
            return Band(*(max(1, ceil(each * share)) for each in (own.low, own.typical, own.high)))
        running = self.hands.site.mixing if self.row.kind == "pour" else 1
        found = {}
        for rate, much in labour_parts(measured, self.row, self.parts).items():
            turns = much * share if running == 1 else float(ceil(bay / running))
            found[rate] = turns if rate.per == "bags" else much if rate.per == "once" else much * share
        band, least = labour(found), lifts_min(measured, self.material)
        return Band(max(band.low, least), max(band.typical, least), max(band.high, least))

    def batches(self, bay: int, labour_min: Minutes) -> tuple[StepBatch, ...]:
        """The batches of a bay in the order they are mixed, each with the time it may be worked."""
        use = self.material.within("pot", self.step.room)
        if self.row.kind == "pour":
            site = self.hands.site
            order = pour_order(bay, max(1, site.mixing), site.cycle())
        else:
            size = largest_batch(self.live_min, labour_min / bay) or PARTS_OF_A_BAG[-1]
            order = float_order(bay, size, labour_min)
        return tuple(
            StepBatch(each.number, each.mixer, each.bags, ceil(each.begins_min), ceil(each.lands_min), use)
            for each in order
        )


def pour_plan(measured: Measured, row: Row, step: Step, opener: Step | None = None) -> PourPlan | None:
    """How this layer is brought in; None for a row that lays nothing counted in bags.

    `opener`: the primer before it, done bay by bay too: no more of it than fits a day in one go.
    """
    material = measured.material(row.lays)
    if material is None or material.spread != "volume":
        return None
    bags = sum(material.packages(amount.quantity) for amount in step.amounts if amount.material == material.key)
    live = live_min(measured, material, "work" if row.kind == "pour" else "pot")
    if bags < 1 or live is None:
        return None
    own = any(change.step == row.key and change.labor_min is not None for change in measured.scope.change)
    parts = row.alone if row.alone is not None and len(step.crew) < len(row.skills) else row.labour
    known = [
        PourPlan(step, row, material, bags, live, hands, (bags,), parts, own, _primer_min(opener))
        for hands in crews(measured, row, step)
    ]  # fmt: skip
    asked = _asked(measured, row)
    options = [_bayed(measured, each, asked) for each in known]
    fitting = [each for each in options if each.fits and _in_a_day(measured, each)]
    return min(fitting, key=lambda each: (len(each.bays), len(each.hands.crew)), default=options[0])


def _asked(measured: Measured, row: Row) -> int | None:
    asked = measured.number("bays")
    return None if asked is None or not takes_bays(measured.method, row) else max(1, int(asked))


def _bayed(measured: Measured, plan: PourPlan, asked: int | None) -> PourPlan:
    """The plan in as many bays as were asked for, else in as few as fit the working time and a day."""
    most = plan.most_bags()
    if asked is not None:
        return _in(plan, asked)
    if most < 1:
        return plan
    plan = _in(plan, ceil(plan.bags / most))
    while len(plan.bays) < plan.bags and not _in_a_day(measured, plan):
        plan = _in(plan, len(plan.bays) + 1)
    return plan


def _in(plan: PourPlan, bays: int) -> PourPlan:
    return replace(plan, bays=shared_out(plan.bags, bays))


def _in_a_day(measured: Measured, plan: PourPlan) -> bool:
    stretch, largest = plan.hands.stretch_min, max(plan.bays)
    primed = plan.primer_min * largest / plan.bags
    return stretch <= 0 or max(plan.labour_of(measured, largest).typical, primed) <= stretch


def _primer_min(opener: Step | None) -> Minutes:
    return 0 if opener is None or opener.pause else opener.labour.typical


def live_min(measured: Measured, material: MaterialClass, window: str) -> Minutes | None:
    """How long it flows, or may be worked, in the air this room has while people work: the shortest of day and night
    where they work at night too."""
    wait = material.within(window, measured.room.id)
    return None if wait is None else min(act_minutes(wait, air)[1] for air in worked_in(measured))


def lifts_min(measured: Measured, material: MaterialClass) -> Minutes:
    """The least minutes a float worked in lifts takes: until the last lift that must not be missed may be worked.

    In a cold room the lifts wait longer for each other than the work takes; nobody goes away in between.
    """
    opened: dict[str, Minutes] = {}
    longest = 0
    for act in inner_acts(material, measured.room.id):
        waits = 0 if act.opens is None else max(act_minutes(act.opens, air)[0] for air in worked_in(measured))
        opened[act.key] = opened.get(act.counts_from, 0) + waits
        if act.shuts is not None and act.counts_from in opened:
            longest = max(longest, opened[act.key])
    return longest


def worked_in(measured: Measured) -> tuple[Air, ...]:
    """The air the job file gives the room while anybody may work there."""
    hours, air = measured.job.hours, measured.room.air
    by_night = hours.start < hours.night_to or hours.finish > hours.night_from or hours.finish < hours.start
    return (air.day, air.night) if by_night else (air.day,)


def crews(measured: Measured, row: Row, step: Step) -> Iterator[Hands]:
    """The row's own crew, then with more people who mix, as long as the job has them and a mixer for each."""
    job = measured.job
    crew, mixers = step.crew, max(1, int(step.gear.get(MIXERS, 1)))
    yield Hands(crew, mixers, longest_together(job.hours, job.zone, job.start, job.people, crew))
    if row.kind != "pour" or crew != row.skills or MIXES not in crew:
        return
    while mixers < job.gear.count.get(MIXERS, 0) and len(crew) < len(job.people):
        crew, mixers = (*crew, MIXES), mixers + 1
        stretch = longest_together(job.hours, job.zone, job.start, job.people, crew)
        if not stretch:
            return
        yield Hands(crew, mixers, stretch)


@lru_cache(maxsize=128)
def longest_together(
    hours: Hours, zone: ZoneInfo, start: date, people: tuple[Person, ...], crew: tuple[str, ...]
) -> Minutes:  # fmt: skip
    """Minutes of the longest stretch without a meal in which people with these skills, one each, are all there.

    0: there are none such, or they are never there together in the first weeks of the job.
    """
    unbroken = {
        person.name: [
            span
            for shift in shifts(hours, person, zone, start, start + timedelta(days=LOOK_AHEAD_DAYS))
            for span in ([(shift.start, shift.eat[0]), (shift.eat[1], shift.finish)] if shift.eat else
                         [(shift.start, shift.finish)])
        ]
        for person in people
    }  # fmt: skip
    groups = {
        frozenset(person.name for person in group)
        for group in permutations(people, len(crew))
        if all(person.has(skill) for person, skill in zip(group, crew, strict=True))
    }
    return max((_longest([unbroken[name] for name in sorted(group)]) for group in groups), default=0)


def _longest(each: Sequence[Sequence[tuple[int, int]]]) -> Minutes:
    common = list(each[0]) if each else []
    for spans in each[1:]:
        common = [(max(a, c), min(b, d)) for a, b in common for c, d in spans if max(a, c) < min(b, d)]
    return max((b - a for a, b in common), default=0)
