"""What is mixed in the steps that run: packages, and the minutes of every inner act in the room's air. Helper only."""

from collections.abc import Iterable, Sequence
from typing import Any

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.step import InnerAct, Step
from planning.job.words import Instant
from planning.trade.air import act_opens_at, act_shuts_at
from planning.trade.air_course import SiteAir, site_air
from planning.trade.materials import MaterialClass, material_classes

POT = "pot"
MIXED = ("pour", "float", "set", "grout", "coat")
"""Kinds of steps in which something is mixed that does not wait."""
PARTS = {0.5: "half ", 0.25: "quarter "}
"""What a batch of less than a bag is called by."""


def mixes(plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant) -> dict[str, Any]:
    """Step or piece id -> {"count", "package", "acts"} of every step under way in which something is mixed."""
    known, air = material_classes(job), site_air(job, events)
    by_id = {step.id: step for step in steps}
    found = {}
    for planned in plan.steps:
        step = by_id.get(planned.piece.of if planned.piece else planned.id)
        if planned.state == "hands" and step is not None and step.kind in MIXED:
            mixed = _mix(step, known, air, now)
            if mixed["acts"]:
                found[planned.id] = mixed
    return found


def _mix(step: Step, known: dict[str, MaterialClass] | Any, air: SiteAir, now: Instant) -> dict[str, Any]:
    wet = [(known[each.material], each.quantity) for each in step.amounts
           if each.material in known and POT in known[each.material].windows]  # fmt: skip
    acts = [_times(act, air, now) for act in step.acts]
    if not acts and wet:
        acts = _pot(wet[0][0], step.room, air, now)
    count = wet[0][0].packages(wet[0][1]) if wet and step.kind in ("pour", "float") else 0
    package = wet[0][0].package.name if wet else "batch"
    if step.batches:
        count, package = len(step.batches), f"{PARTS.get(step.batches[0].bags, '')}{package}"
    return {"count": count, "package": package, "acts": acts}


def _times(act: InnerAct, air: SiteAir, now: Instant) -> dict[str, Any]:
    opens = None if act.opens is None else act_opens_at(act.opens, air, now) - now
    shuts = None if act.shuts is None else act_shuts_at(act.shuts, air, now) - now
    return {"key": act.key, "title": act.title, "counts_from": act.counts_from, "opens": opens, "shuts": shuts}


def _pot(material: MaterialClass, room: str, air: SiteAir, now: Instant) -> list[dict[str, Any]]:
    """A bucket of it: used up within its pot life."""
    wait = material.within(POT, room)
    if wait is None:
        return []
    return [{"key": "bucket", "title": "use this bucket", "counts_from": "water_in", "opens": None,
             "shuts": act_shuts_at(wait, air, now) - now}]  # fmt: skip
