"""Any job that asks for too much: a seeded invented job with one demand laid where no plan can keep it.

The demand is laid by the job's own first plan: an inspection a day or more before the work is ready for it, a toilet
every night of a house with one toilet, water off all the week in which a coat must follow another. Same seed, same job.
"""

from dataclasses import replace
from datetime import time, timedelta
from functools import lru_cache

from planning.job.hours import instant, local
from planning.job.job import ClockSpan, Delivery, House, Job, Visit
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.schedule.make_plan import make_plan
from tests.any_job import any_job

KINDS = ("inspection", "toilet", "delivery", "water")


def morning(job: Job) -> Instant:
    """Two minutes to seven on the job's first day."""
    return instant(job.zone, job.start, time(6, 58))


@lru_cache(maxsize=16)
def impossible_job(seed: int, rooms: int = 1) -> Job:
    """The job of that seed. What is asked too much goes round with the seed, see `KINDS`. One room: a wet room."""
    number = seed // len(KINDS)
    job = wet_room(number) if rooms == 1 else replace(any_job(number, rooms, promises=False), promises=())
    plan = make_plan(job, (), morning(job), improve=False)
    return globals()[f"_{KINDS[seed % len(KINDS)]}"](job, plan)


def wet_room(seed: int) -> Job:
    """The wet room of any job of two rooms, entered from outside; nothing is asked of it but its work."""
    job = any_job(seed, 2, promises=False)
    wet = next(room for room in job.rooms if room.parts)
    parts = tuple(replace(part, in_from=("outside",)) if part.id == "floor" else part for part in wet.parts)
    room = replace(wet, in_from=("outside",), parts=parts)
    return replace(job, rooms=(room,), deliveries=(), answers=(), errands=(), promises=())


def _inspection(job: Job, plan: Plan) -> Job:
    """The flood test is looked at two days before the first plan has it ready."""
    test = next(step for step in plan.steps if step.kind == "test" and "flood" in step.id)
    day = local(job.zone, test.start).date() - timedelta(days=2)
    at = instant(job.zone, day, time(9))
    return replace(job, visits=(Visit("visit/inspector", "inspector", test.room, "flood", at, at),))


def _toilet(job: Job, plan: Plan) -> Job:
    """A toilet every night, in a house whose only one is in a room whose floor is done."""
    rooms = tuple(replace(room, toilet=room.id == plan.steps[-1].room) for room in job.rooms)
    return replace(job, rooms=rooms, house=House(toilet_weekdays=frozenset(range(7))))


def _delivery(job: Job, plan: Plan) -> Job:
    """The inspector comes when the first plan is ready, but what is inspected comes only the day after."""
    job = _inspection(job, plan)
    (visit,) = job.visits
    test = next(step for step in plan.steps if step.kind == "test" and "flood" in step.id)
    day = local(job.zone, test.finish).date() + timedelta(days=4)
    at = instant(job.zone, day, time(9))
    late = Delivery("delivery/membrane-liquid", "membrane-liquid", visit.room, at, at + 60)
    return replace(job, visits=(replace(visit, earliest=at, latest=at),), deliveries=(late,))


def _water(job: Job, plan: Plan) -> Job:
    """The water is off in all working hours of the days after the first coat."""
    coat = next(step for step in plan.steps if step.id.endswith("/coat-1"))
    first = local(job.zone, coat.finish).date()
    off = tuple(ClockSpan(time(5), time(20), first + timedelta(days=n)) for n in range(-20, 60))
    return replace(job, house=replace(job.house, no_water=off))
