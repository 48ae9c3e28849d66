"""A pour whose first bay was poured stays in the bays it was begun in, whoever comes or whatever class is used since.

Else a third person, who makes one pour of what had been two bays, would have the poured one poured again.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from planning.job.events import Event, effective
from planning.job.job import Job
from planning.job.place import Room
from planning.job.scope import Scope
from planning.job.words import Instant
from planning.trade.expand import expand
from planning.trade.methods import Method, all_methods, takes_bays

BAYS = "bays"
_BAY = re.compile(r"(?P<place>[^/]+)/(?P<method>[^/]+)/(?P<key>.+)-(?P<n>[1-9][0-9]*)")


def with_begun_bays(job: Job, events: Iterable[Event]) -> Job:
    """The job with as many bays written in each scope as when its first bay was begun; the same job when none was."""
    noted = tuple(events)
    begun = _begun(noted)
    if not begun:
        return job
    methods = all_methods(job)
    pours = {pour: at for pour, at in begun.items() if _told_bays(pour, methods)}

    def count(pour: str) -> int:
        return _planned(pour, noted) or _expanded(job, noted, pour, pours[pour])

    rooms = tuple(
        replace(room, do=tuple(_kept(room, scope, pours, count) for scope in room.do)) for room in job.rooms
    )  # fmt: skip
    return job if rooms == job.rooms else replace(job, rooms=rooms)


def _begun(events: Iterable[Event]) -> dict[str, Instant]:
    """What may be a pour in bays (its id without the bay's number) -> when the first bay of it was begun."""
    found: dict[str, Instant] = {}
    for event in effective(events):
        bay = _BAY.fullmatch(str(event.body.get("step", ""))) if event.kind in ("started", "finished") else None
        if bay is not None:
            pour = f"{bay['place']}/{bay['method']}/{bay['key']}"
            found[pour] = min(event.minute, found.get(pour, event.minute))
    return found


def _told_bays(pour: str, methods: Mapping[str, Method]) -> bool:
    """Is it a row that the measure `bays` speaks of?"""
    _, name, key = pour.split("/", 2)
    method = methods.get(name)
    row = None if method is None else method.by_key(key)
    return method is not None and row is not None and takes_bays(method, row)


def _planned(pour: str, events: Iterable[Event]) -> int:
    """The bays of the last plan that was taken and has any; 0 when none has."""
    for event in reversed(effective(events)):
        if event.kind == "plan_accepted":
            steps = event.body.get("steps", {})
            bays = [bay for step in steps if (bay := _BAY.fullmatch(str(step))) and str(step).startswith(f"{pour}-")]
            if len(bays) > 1:
                return max(int(bay["n"]) for bay in bays)
    return 0


def _expanded(job: Job, events: Iterable[Event], pour: str, at: Instant) -> int:
    """The bays of the job as it was known when the first was begun; 0 for what is no bay."""
    from planning.trade.noted import noted_job  # which reads the bays begun itself

    known = [event for event in events if event.minute <= at and event.body.get("step") is None]
    place, method, key = pour.split("/", 2)
    steps = expand(noted_job(job, known)).steps
    return sum(1 for step in steps if step.bay_of == key and step.id.startswith(f"{place}/{method}/{key}-"))


def _kept(room: Room, scope: Scope, pours: Iterable[str], bays: Callable[[str], int]) -> Scope:
    """The scope with the bays of its begun pour; they are counted only where the scope does not say them yet."""
    if BAYS in scope.measures:
        return scope
    places = {room.id, *(f"{room.id}.{part.id}" for part in room.parts)}
    for pour in pours:
        place, method, _ = pour.split("/", 2)
        here = method == scope.method and place in places and _is_here(room, scope, place)
        if here and (count := bays(pour)) > 1:
            filed = None if scope.filed is None else {**scope.filed, BAYS: count}
            return replace(scope, measures={**scope.measures, BAYS: count}, filed=filed)
    return scope


def _is_here(room: Room, scope: Scope, place: str) -> bool:
    """Is the pour this scope's, when the room has the same method in several parts?"""
    part = place.partition(".")[2]
    return not scope.on or not part or part in scope.on.values()
