"""Jobs for the tests of the trade, written in the job's own nouns."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.people import Gear, Person
from planning.job.place import Part, Room
from planning.job.scope import Measure, Scope
from planning.job.step import Step
from planning.schedule.make_plan import make_plan
from planning.trade.expand import expand

FOOT = 0.3048
SQFT = FOOT**2
INCH = FOOT / 12

SETTER = Person("you", "test job", frozenset(("all",)))
HELPER = Person("helper", "test job", frozenset(("carry", "tear-out", "mix", "prime", "grout")))


def room_of(
    length_ft: float, width_ft: float, *scopes: Scope, parts: Sequence[Part] = (), toilet: bool = False,
    name: str = "room",
) -> Room:  # fmt: skip
    """A room that opens to the outside."""
    return Room(name, name, length_ft * FOOT, width_ft * FOOT, ("outside",), tuple(parts), toilet=toilet, do=scopes)


def part_of(name: str, length_ft: float, width_ft: float, in_from: str = "outside") -> Part:
    """A rectangular part of a room."""
    length, width = length_ft * FOOT, width_ft * FOOT
    return Part(name, length * width, 2 * (length + width), (in_from,), length, width)


def do(method: str, measures: Mapping[str, Measure] | None = None, **more: object) -> Scope:
    """A `[[room.do]]` in line 10."""
    return Scope(method, measures=measures or {}, line=10, **more)  # type: ignore[arg-type]  # fields of Scope


def job_of(*rooms: Room, helper: bool = False, helpers: int = 0, **more: object) -> Job:
    """A job with one setter, and a helper (or so many, with a mixer each) if asked."""
    people = (SETTER, HELPER) if helper else (SETTER, *(replace(HELPER, name=f"helper {n}") for n in range(helpers)))
    more.setdefault("gear", Gear({"mixers": max(1, helpers), "saws": 1}))
    return Job("test job", ZoneInfo("America/Denver"), date(2026, 6, 1), rooms, people, **more)  # type: ignore[arg-type]


def working_days(job: Job) -> int:
    """Monday to Friday dates from the job's start to the end of its plan, both counted. The plan must be clean."""
    plan = make_plan(job, (), instant(job.zone, job.start, time(6)))
    assert not plan.broken
    last = local(job.zone, plan.finish).date()
    span = (last - job.start).days + 1
    return sum((job.start + timedelta(days=n)).weekday() < 5 for n in range(span))


def poured(steps: Mapping[str, Step], key: str = "pour") -> list[Step]:
    """The bays of a pour in order, or the one pour, of steps by key."""
    return [step for step in steps.values() if key in (step.key, step.bay_of)]


def steps_of(*rooms: Room, **more: object) -> dict[str, Step]:
    """The steps of a job of these rooms by key; the job must have no problem, and no key twice."""
    expansion = expand(job_of(*rooms, **more))  # type: ignore[arg-type]  # fields of Job by name
    assert expansion.problems == ()
    found = {step.key: step for step in expansion.steps}
    assert len(found) == len(expansion.steps)
    return found


def wet_room(measures: Mapping[str, Measure] | None = None, **more: object) -> Room:
    """A room of 45 sq ft with a shower of 5 x 3 ft at its far end."""
    shower = part_of("shower", 5, 3, "floor")
    floor = Part("floor", 45 * SQFT, 28 * FOOT, ("outside",))
    return room_of(10, 6, do("curbless-shower", measures, **more), parts=(shower, floor))
