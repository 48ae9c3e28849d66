"""What the trade finds odd though it can be planned: slopes, thin pours (see `bays` for its pours)."""

from collections.abc import Iterator

from planning.quantities.pour import too_thin
from planning.quantities.slope_mend import mends, say_mend, say_slants
from planning.trade.materials import MaterialClass
from planning.trade.measures_of_room import Measured
from planning.trade.methods import Row
from planning.trade.pan_of import USUAL_AT_DRAIN_M, drain_of, pan_of, rise_of, run_of, shape_of
from planning.trade.quantity_of import pour_of

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
