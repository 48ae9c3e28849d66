"""Another class used instead: `class_swapped` events laid over the job's scopes.

Body: {"class", "value" (the class used instead), "room" (an id; without it every room)}. Only classes of one family
stand in for each other. A scope that does not use the class stays as it is.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from planning.job.events import Event, effective
from planning.job.job import Job
from planning.job.scope import Scope
from planning.trade.materials import MaterialClass, material_classes
from planning.trade.methods import Method, all_methods


def with_swaps(job: Job, events: Iterable[Event]) -> Job:
    """The job with every class swap that stands, in the order noted; the same job when there is none."""
    swaps = [event.body for event in effective(events) if event.kind == "class_swapped"]
    if not swaps:
        return job
    job = as_filed(job)
    known, methods = material_classes(job), all_methods(job)
    for body in swaps:
        old, new = known.get(str(body.get("class"))), known.get(str(body.get("value")))
        if old is None or new is None or old.family != new.family:
            continue
        job = replace(job, rooms=tuple(
            replace(room, do=tuple(_swapped(scope, methods, old, new) for scope in room.do))
            if body.get("room") in (None, room.id) else room
            for room in job.rooms
        ))  # fmt: skip
    return job


def as_filed(job: Job) -> Job:
    """The job with its classes as the job file has them, every swap laid over it taken off."""
    if all(scope.filed is None for room in job.rooms for scope in room.do):
        return job
    return replace(job, rooms=tuple(replace(room, do=tuple(map(_filed, room.do))) for room in job.rooms))


def _filed(scope: Scope) -> Scope:
    return scope if scope.filed is None else replace(scope, measures=scope.filed, filed=None)


def slots_of(scope: Scope, methods: Mapping[str, Method], material: str) -> tuple[str, ...]:
    """The slots of a scope that this class fills: those the setter chose it for, and the method's own choice."""
    method = methods.get(scope.method)
    if method is None:
        return ()
    return tuple(slot for slot, common in method.classes.items() if scope.measures.get(slot, common) == material)


def _swapped(scope: Scope, methods: Mapping[str, Method], old: MaterialClass, new: MaterialClass) -> Scope:
    slots = slots_of(scope, methods, old.key)
    if not slots:
        return scope
    filed = scope.measures if scope.filed is None else scope.filed
    return replace(scope, measures={**scope.measures, **dict.fromkeys(slots, new.key)}, filed=filed)
