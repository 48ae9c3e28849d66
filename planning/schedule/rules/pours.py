"""A pour is finished inside its working time, and so is each batch and each lift of a float (rule 13)."""

from collections.abc import Iterator, Mapping

from planning.job.plan import Broken
from planning.job.step import InnerAct
from planning.job.words import Instant, Minutes
from planning.quantities.crew import CYCLE_MIN, PourCrew, Site, pour_crew, say_way_out
from planning.quantities.floats import PARTS_OF_A_BAG, batch_min, largest_batch
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.rule import Rule
from planning.trade.air import act_opens_at, act_shuts_at
from planning.trade.materials import MaterialClass, material_classes

COOLER = "wait for a cooler room"


class PourFitsItsWorkingTime(Rule):
    """With its people and mixers the last bag lands while the first still flows, in the air the room has then.

    Of a float every batch is placed before it sets, and every lift may be worked before the one under it is lost.
    """

    number = 13
    never = "start a pour that the people and buckets there cannot finish inside the working time"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each pour and float, not begun, that cannot be brought in when and as it is planned."""
        laid = [each for each in case.open if each.step is not None and each.step.kind in ("pour", "float")]
        classes = material_classes(case.job) if laid else {}
        for each in laid:
            if each.step is None or not case.has_air(each.start):
                continue
            for material, bags in _bags(each, classes).items():
                if each.step.kind == "pour":
                    yield from self._too_many(case, each, classes[material], bags)
                else:
                    yield from self._sets_first(case, each, classes[material], bags)
            yield from self._lift_lost(case, each)

    def _too_many(self, case: Case, each: Placed, material: MaterialClass, bags: int) -> Iterator[Broken]:
        flow = material.within("work", each.step.room if each.step is not None else "")
        if flow is None:
            return
        here = act_shuts_at(flow, case.air, each.start) - each.start
        planned = _crew(each, bags, here)
        if not planned.fits:
            words = f"{case.name(each)}, {case.when(each.start)}: {_said(bags)} {planned.lasts_min:.0f} min, but"
            ways = ", or ".join(map(say_way_out, planned.ways_out)) or COOLER
            yield self.says(f"{words} it flows {here} min then. {ways[:1].upper()}{ways[1:]}.", each.id)

    def _sets_first(self, case: Case, each: Placed, material: MaterialClass, bags: int) -> Iterator[Broken]:
        """A batch of the smallest size that is still not placed before it sets."""
        pot = material.within("pot", each.step.room if each.step is not None else "")
        if pot is None or each.step is None:
            return
        here = act_shuts_at(pot, case.air, each.start) - each.start
        place = each.step.labour.typical / bags
        if largest_batch(here, place) is None:
            takes = batch_min(PARTS_OF_A_BAG[-1], place)
            words = f"{case.name(each)}, {case.when(each.start)}: a quarter bag is placed {takes:.0f} min after"
            yield self.says(
                f"{words} its water, but it sets in {here} min then. Bring one more person, or {COOLER}.", each.id
            )

    def _lift_lost(self, case: Case, each: Placed) -> Iterator[Broken]:
        """The first lift of a chain that opens only when the one under it is lost, or is lost while it is mixed."""
        opened: dict[str, Instant] = {}
        for act in each.step.acts if each.step is not None else ():
            base = opened.get(act.counts_from)
            opens = _opens(case, act, each.start if base is None else base)
            opened[act.key] = opens
            if act.shuts is None or base is None:
                continue
            shuts = act_shuts_at(act.shuts, case.air, base)
            ready = max(opens - base, CYCLE_MIN)
            if ready > shuts - base:
                words = f"{case.name(each)}, {case.when(each.start)}: {act.title} can begin {ready:.0f} min after"
                before = act.counts_from.replace("-", " ")
                yield self.says(f"{words} {before}, but is lost {shuts - base} min after it. {_warmer(act)}.", each.id)
                return


def _opens(case: Case, act: InnerAct, base: Instant) -> Instant:
    return base if act.opens is None else act_opens_at(act.opens, case.air, base)


def _warmer(act: InnerAct) -> str:
    """What helps a lift: warmth where it waits too long, coolness where it is lost too soon."""
    return "Warm the room first" if act.opens is not None else "Wait for a cooler room"


def _said(bags: int) -> str:
    return "1 bag takes" if bags == 1 else f"{bags} bags take"


def _crew(each: Placed, bags: int, flow_min: Minutes) -> PourCrew:
    mixers = each.step.gear.get("mixers", 1) if each.step is not None else 1
    return pour_crew(bags, Site(max(1, len(each.people)), max(1, mixers)), max(1, flow_min))


def _bags(each: Placed, classes: Mapping[str, MaterialClass]) -> dict[str, int]:
    """Whole bags of each class that is poured or floated in the step."""
    found: dict[str, int] = {}
    for amount in each.step.amounts if each.step is not None else ():
        material = classes.get(amount.material)
        if material is not None and material.spread == "volume" and material.packages(amount.quantity):
            found[amount.material] = material.packages(amount.quantity)
    return found
