"""What the trade finds odd though it can be planned: slopes, thin pours, a pour for too few hands."""

from collections.abc import Iterator

from planning.quantities.crew import Site, pour_crew, say_way_out
from planning.quantities.pour import too_thin
from planning.quantities.slope_mend import mends, say_mend, say_slants
from planning.trade.materials import MaterialClass
from planning.trade.measures_of_room import Measured
from planning.trade.methods import Row
from planning.trade.pan_of import USUAL_AT_DRAIN_M, drain_of, pan_of, rise_of, run_of, shape_of
from planning.trade.quantity_of import bags_of, pour_of

Note = tuple[str, str]
"""What is odd, and what would mend it."""


def notes(measured: Measured) -> Iterator[Note]:
    """The notes on all rows of a method, each bed and each pour looked at once."""
    for row in measured.method.row:
        material = measured.material(row.lays)
        if any(part.per == "mud_volume" and part.at_drain is None for part in row.amounts.get(row.lays or "", ())):
            yield from _slope(measured, row)
        if row.kind == "pour" and material is not None and material.family == "leveler":
            yield from _thin(measured, row, material)
            yield from _hands(measured, row, material)


def _slope(measured: Measured, row: Row) -> Iterator[Note]:
    where = measured.places[row.place]
    units = measured.job.units
    said = say_slants(pan_of(measured, where), units)
    if said is None:
        return
    if measured.number("linear_drain"):
        yield f"{row.key}: {said}", "ask for a fall of 1/4 to 1/2 in per ft"
        return
    shape = shape_of(measured, where)
    given = measured.number("mud_at_drain")
    at_drain = USUAL_AT_DRAIN_M if given is None else given
    ways = mends(shape, drain_of(measured, shape), at_drain, run=run_of(measured), rise_m=rise_of(measured, at_drain))
    if ways:
        yield f"{row.key}: {said}", ", or ".join(say_mend(way, units) for way in ways[:2])


def _thin(measured: Measured, row: Row, material: MaterialClass) -> Iterator[Note]:
    pour = pour_of(measured, measured.places[row.place])
    if material.least_m is not None and pour.volume_m3 > 0 and too_thin(pour, material.least_m):
        yield f"{row.key}: it lies thinner at the high point than the class allows", "raise the level or grind the high"


def _hands(measured: Measured, row: Row, material: MaterialClass) -> Iterator[Note]:
    """Rule of the pour crew: the whole floor stays live while it flows."""
    job = measured.job
    bags = int(bags_of(measured, measured.places[row.place], material))
    hands = sum(1 for person in job.people if person.has("pour") or person.has("mix"))
    mixers = job.gear.count.get("mixers", 0)
    flow = material.within("work")
    if flow is None or hands < 1 or mixers < 1 or bags < 1:
        return
    slower = next((each for each in measured.known.values() if each.faster == material.key), None)
    other = slower.within("work") if slower is not None else None
    crew = pour_crew(
        bags, Site(hands, mixers), flow.label.typical, other_flow_min=other.label.typical if other else None
    )
    if not crew.fits:
        what = f"{row.key}: {bags} bags take {crew.lasts_min:.0f} min, the class flows {flow.label.typical} min"
        yield what, ", or ".join(say_way_out(way) for way in crew.ways_out[:3]) or "bring more people and mixers"
