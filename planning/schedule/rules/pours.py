"""A pour is finished inside its working time (rule 13)."""

from collections.abc import Iterator, Mapping

from planning.job.plan import Broken
from planning.job.words import Minutes
from planning.quantities.crew import PourCrew, Site, pour_crew, say_way_out
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.rule import Rule
from planning.trade.air import act_shuts_at
from planning.trade.materials import MaterialClass, material_classes


class PourFitsItsWorkingTime(Rule):
    """With its people and mixers the last bag lands while the first still flows, in the air the room has then.

    A floor that takes more bags than its class ever allows is poured in bays: the trade says so, no plan mends it.
    """

    number = 13
    never = "start a pour that the people and buckets there cannot finish inside the working time"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each pour that fits the label's working time, but not what is left of it when and as it is planned."""
        pours = [each for each in case.open if each.step is not None and each.step.kind == "pour"]
        classes = material_classes(case.job) if pours else {}
        for each in pours:
            for material, bags in _bags(each, classes).items():
                yield from self._late(case, each, classes[material], bags)

    def _late(self, case: Case, each: Placed, material: MaterialClass, bags: int) -> Iterator[Broken]:
        flow = material.within("work", each.step.room if each.step is not None else "")
        if flow is None or not case.has_air(each.start):
            return
        here = act_shuts_at(flow, case.air, each.start) - each.start
        planned = _crew(each, len(each.people), bags, here)
        if not planned.fits and _crew(each, _wanted(each), bags, flow.label.typical).fits:
            words = f"{case.name(each)}, {case.when(each.start)}: {bags} bags take {planned.lasts_min:.0f} min, but"
            ways = ", or ".join(map(say_way_out, planned.ways_out)) or "wait for a cooler room"
            yield self.says(f"{words} it flows {here} min then. {ways[:1].upper()}{ways[1:]}.", each.id)


def _wanted(each: Placed) -> int:
    return len(each.step.crew) if each.step is not None else 0


def _crew(each: Placed, people: int, bags: int, flow_min: Minutes) -> PourCrew:
    mixers = each.step.gear.get("mixers", 1) if each.step is not None else 1
    return pour_crew(bags, Site(max(1, people), max(1, mixers)), max(1, flow_min))


def _bags(each: Placed, classes: Mapping[str, MaterialClass]) -> dict[str, int]:
    """Whole bags of each leveler that a pour takes."""
    found: dict[str, int] = {}
    for amount in each.step.amounts if each.step is not None else ():
        material = classes.get(amount.material)
        if material is not None and material.family == "leveler" and material.spread == "volume":
            found[amount.material] = material.packages(amount.quantity)
    return found
