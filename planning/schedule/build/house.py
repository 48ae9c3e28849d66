"""The household: toilets at night, promises of rooms."""

from datetime import timedelta

from planning.job.hours import instant
from planning.job.job import Promise
from planning.job.step import Step, Wait
from planning.job.words import Instant
from planning.schedule.build.curves import Curves
from planning.schedule.build.floors import ways
from planning.schedule.build.site import Site
from planning.schedule.build.tasks import StepTasks
from planning.schedule.network import Curve, Due, Night, Toilet


def promised_nights(site: Site) -> list[tuple[Instant, Instant]]:
    """The nights on which the job promises a working toilet, as spans, those already over left out."""
    hours = site.job.hours
    spans = []
    day = site.first_day
    while day <= site.last_day:
        if site.job.house.asks_toilet(day):
            start = instant(site.job.zone, day, hours.night_from)
            finish = instant(site.job.zone, day + timedelta(days=1), hours.night_to)
            if finish > site.now:
                spans.append((start, finish))
        day += timedelta(days=1)
    return spans


def nights(site: Site) -> tuple[Night, ...]:
    """The promised nights in ticks, rounded outwards."""
    return tuple(Night(site.floor_tick(a), site.ceil_tick(b)) for a, b in promised_nights(site))


def toilets(site: Site, found: StepTasks) -> tuple[Toilet, ...]:
    """Every toilet of the job with its way in and the steps that take it out and give it back."""
    return tuple(_toilet(site, found, room.id) for room in site.job.rooms if room.toilet)


def _toilet(site: Site, found: StepTasks, room_id: str) -> Toilet:
    floors = site.job.room(room_id).floors
    out = [s for s in site.steps if s.room == room_id and s.house.get("toilet") == "out"]
    back = [s for s in site.steps if s.room == room_id and s.house.get("toilet") == "back"]
    return Toilet(
        room_id,
        ways(site, floors) or ((),),
        tuple(found.first(step.id) for step in out),
        found.last(back[-1].id) if back else None,
    )


def dues(site: Site, curves: Curves, found: StepTasks) -> tuple[Due, ...]:
    """The promises of the job as dues, those of rooms without work left out."""
    made = (_due(site, curves, found, promise) for promise in site.job.promises)
    return tuple(due for due in made if due.ends)


def _due(site: Site, curves: Curves, found: StepTasks, promise: Promise) -> Due:
    steps = [step for step in site.steps if step.room == promise.room]
    if promise.what == "toilet":
        steps = [step for step in steps if step.house.get("toilet") == "back"]
    barriers = {"walk"} if promise.what == "walk" else {"walk", "wet"} if promise.what == "usable" else set()
    ends: list[tuple[str, Curve]] = []
    for step in steps:
        ends += [(found.last(step.id), curve) for curve in _curves(curves, step, barriers)]
        if promise.what != "walk":
            ends.append((found.last(step.id), ((0, 0),)))
    name = f"{promise.room} {promise.what}"
    return Due(name, tuple(dict.fromkeys(ends)), site.floor_tick(promise.by))


def _curves(curves: Curves, step: Step, barriers: set[str]) -> list[Curve]:
    return [
        curves.wait(keep.until)
        for keep in step.keeps_off
        if keep.what in barriers and isinstance(keep.until, Wait)
    ]  # fmt: skip
