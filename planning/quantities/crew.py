"""Who and what a pour needs: mixers, people, the order of batches inside the flow time, and what to do if it fails.

The whole floor must stay live: the last batch lands before the first one stops flowing. Minutes, meters, cubic meters.
The rules are common practice, no source; flow and healing times come from the label, moved by the air.
"""

from dataclasses import dataclass
from math import floor, inf
from typing import Literal

from planning.quantities.bags import batch_sizes
from planning.quantities.si import whole

CYCLE_MIN = 3.5
"""Measure, mix, rest, carry and pour one bag with one mixer; 2.5 to 5."""
ALONE_MIN = 5.0
"""The same for one person who also spreads it: so 3 to 4 bags in a window of 15 to 20 min."""
BUCKETS_PER_MIXER = 2
MOST_SAID = 4
"""Bays told one by one."""
MOST_MIXERS = 4
"""More of them at once is no crew any more: a pump mixes and brings it (common practice, no source)."""
_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Site:
    """What there is for the pour. `stairs`: powder or water must be carried far, so a runner is wanted."""

    people: int
    mixers: int
    stairs: bool = False

    @property
    def mixing(self) -> int:
        """How many mixers can run: one person must spread, unless he is alone and does both in turn."""
        return min(self.mixers, max(1, self.people - 1)) if self.people > 0 else 0

    def cycle(self, cycle_min: float = CYCLE_MIN) -> float:
        """Minutes from one batch of a mixer to its next: longer for somebody alone, who also spreads."""
        return ALONE_MIN * cycle_min / CYCLE_MIN if self.people == 1 else cycle_min

    def at_once(self, flow_min: float, cycle_min: float = CYCLE_MIN) -> int:
        """The most bags these people land while the first still flows: the largest bay they can pour."""
        return most_bags(self.mixing, flow_min, self.cycle(cycle_min))


@dataclass(frozen=True, slots=True)
class Batch:
    """One batch: which mixer (from 1), how many bags, minutes after the first water when it begins and has landed."""

    number: int
    mixer: int
    bags: float
    begins_min: float
    lands_min: float


Change = Literal["bay", "hands", "class", "pump"]


@dataclass(frozen=True, slots=True)
class WayOut:
    """A change that makes the pour fit: bays of so many bags, more people and mixers, the slower class, a pump."""

    change: Change
    bags: tuple[int, ...] = ()
    people: int = 0
    mixers: int = 0
    flow_min: float = 0.0


@dataclass(frozen=True, slots=True)
class PourCrew:
    """A pour checked against its people: what it needs, how it runs with what there is, and what else would do."""

    bags: int
    mixers_needed: int
    people_needed: int
    people_wanted: int
    """With the runner who brings water and bags where two mixers run or there are stairs."""
    buckets: int
    fits: bool
    lasts_min: float
    batches: tuple[Batch, ...]
    ways_out: tuple[WayOut, ...] = ()


def mixers_needed(bags: int, flow_min: float, cycle_min: float = CYCLE_MIN) -> int:
    """Mixers for a floor that must stay live as a whole: bags times cycle over flow, rounded up."""
    if flow_min <= 0 or cycle_min <= 0:
        raise ValueError("flow time and mixing time are above 0 minutes; write the label's flow time")
    return whole(bags * cycle_min / flow_min)


def most_bags(mixing: int, flow_min: float, cycle_min: float = CYCLE_MIN) -> int:
    """The most bags that so many running mixers land inside the flow time."""
    return mixing * floor(flow_min / cycle_min + _HAIR)


def pour_order(bags: int, mixing: int, cycle_min: float = CYCLE_MIN) -> tuple[Batch, ...]:
    """The batches of one bag each, in the order they land: all mixers start together and take turns."""
    found = []
    for n in range(bags):
        turn, mixer = divmod(n, mixing)
        found.append(Batch(n + 1, mixer + 1, 1, turn * cycle_min, (turn + 1) * cycle_min))
    return tuple(found)


def pour_crew(
    bags: int, site: Site, flow_min: float, cycle_min: float = CYCLE_MIN, other_flow_min: float | None = None
) -> PourCrew:
    """Check a pour. `flow_min`: the label's flow time in this air; `other_flow_min`: that of the slower class.

    Raises ValueError without people or mixers, because then nothing can be poured at all.
    """
    if bags > 0 and site.mixing < 1:
        raise ValueError("a pour needs at least one person and one mixer; add them to the job")
    needed = mixers_needed(bags, flow_min, cycle_min) if bags else 0
    people = needed + 1 if needed > 1 else min(needed, 1)
    cycle = site.cycle(cycle_min)
    if needed == 1 and bags > most_bags(1, flow_min, ALONE_MIN * cycle_min / CYCLE_MIN):
        people = 2
    batches = pour_order(bags, max(1, site.mixing), cycle)
    lasts = batches[-1].lands_min if batches else 0.0
    fits = lasts <= flow_min + _HAIR
    runner = needed >= 2 or (site.stairs and needed > 0)
    return PourCrew(
        bags, needed, people, people + runner, BUCKETS_PER_MIXER * max(needed, min(bags, 1)), fits, lasts, batches,
        () if fits else _ways_out(bags, site, flow_min, cycle_min, other_flow_min),
    )  # fmt: skip


def _ways_out(bags: int, site: Site, flow_min: float, cycle_min: float, other: float | None) -> tuple[WayOut, ...]:
    cycle = site.cycle(cycle_min)
    found = []
    at_once = site.at_once(flow_min, cycle_min)
    if at_once:
        found.append(WayOut("bay", bags=batch_sizes(bags, at_once)))
    if flow_min >= cycle_min:
        mixers = whole(bags / floor(flow_min / cycle_min + _HAIR))
        people, more = max(0, mixers + 1 - site.people), max(0, mixers - site.mixers)
        found.append(WayOut("hands", people=people, mixers=more) if mixers <= MOST_MIXERS else WayOut("pump"))
    if other is not None and bags <= most_bags(site.mixing, other, cycle):
        found.append(WayOut("class", flow_min=other))
    return tuple(found)


def front_m_per_min(
    mixing: int, yield_m3: float, depth_m: float, width_m: float, cycle_min: float = CYCLE_MIN
) -> float:
    """How fast the wet edge of a floor that wide moves on."""
    if min(depth_m, width_m) <= 0:
        return inf
    return mixing * yield_m3 / (cycle_min * depth_m * width_m)


def widest_strip_m(
    length_m: float, mixing: int, yield_m3: float, depth_m: float, heal_min: float, cycle_min: float = CYCLE_MIN
) -> float:
    """The widest strip of that length whose edge is met again before it stops healing."""
    if min(depth_m, length_m) <= 0:
        return inf
    return heal_min * mixing * yield_m3 / (cycle_min * depth_m * length_m)


def say_way_out(way: WayOut) -> str:
    """A way out in the setter's words."""
    if way.change == "bay":
        return f"dam it into {len(way.bags)} bays of {say_bags(way.bags)}"
    if way.change == "pump":
        return "have a crew with a mixing pump pour it"
    if way.change == "class":
        return f"take the slower class: it flows {floor(way.flow_min)} min"
    people = f"{way.people} more {'person' if way.people == 1 else 'people'}" if way.people else ""
    mixers = f"{way.mixers} more mixer{'' if way.mixers == 1 else 's'}" if way.mixers else ""
    return f"bring {' and '.join(each for each in (people, mixers) if each)}"


def say_bags(bags: tuple[int, ...]) -> str:
    """The bags of each bay: "4 bags" when all are alike, else "4, 3, 3 bags", or "2 to 3 bags" when they are many."""
    if len(set(bags)) == 1:
        return f"{bags[0]} bag{'' if bags[0] == 1 else 's'}"
    said = ", ".join(map(str, bags)) if len(bags) <= MOST_SAID else f"{min(bags)} to {max(bags)}"
    return f"{said} bags"
