"""A made-up day with a pour, tile in two pieces and a grout, as a plan that nobody had to solve."""

from dataclasses import replace
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from planning.job.events import Event
from planning.job.job import Answer, Delivery, Errand, Job, Visit
from planning.job.people import Gear, Person
from planning.job.place import Air, Room, RoomAir
from planning.job.plan import (
    HouseOut,
    Piece,
    Plan,
    PlannedPerson,
    PlannedRoom,
    PlannedStep,
    PlannedVisit,
    Proof,
    StayOff,
)
from planning.job.step import Amount, Band, KeepOff, Link, Step, Wait
from planning.job.words import Instant, Kind, StepState

ZONE = ZoneInfo("America/Denver")
CUFT_M3 = 0.3048**3
BAG_M3 = 0.45 * CUFT_M3


def at(hour: int, minute: int = 0, day: int = 3) -> Instant:
    """An instant on the site's wall clock in June 2026 (the 3rd is a Wednesday)."""
    return int(datetime(2026, 6, day, hour, minute, tzinfo=ZONE).timestamp() // 60)


_COOL = Air(20.0, 0.55, 18.0)
AIR = RoomAir(_COOL, Air(17.0, 0.6, 16.0), read=True)
JOB = Job(
    name="guest house",
    zone=ZONE,
    start=date(2026, 6, 1),
    rooms=(
        Room("powder-room", "powder room", 1.524, 1.524, ("mudroom",), air=AIR, toilet=True),
        Room("mudroom", "mudroom", 3.0, 2.0, ("outside",), air=AIR),
        Room("kitchen", "kitchen", 4.0, 3.0, ("outside",), air=AIR),
    ),
    people=(
        Person("you", "guest house", frozenset({"all"})),
        Person("helper", "guest house", frozenset({"mix", "carry"})),
    ),
    gear=Gear({"mixers": 1, "saws": 1}, payload_kg=635.0),
    van={"leveler-rapid": 2, "thin-set": 4, "primer": 1},
    deliveries=(Delivery("tile-truck", "tile", "kitchen", at(8, day=4), at(10, day=4)),),
    errands=(Errand("store", "supply store", 60, "helper", {"leveler-rapid": 1}),),
    answers=(Answer("grout-color", "owner", "grout color", "mudroom", "grout", at(9, day=4)),),
    visits=(Visit("flood-visit", "inspector", "powder-room", "flood", at(9, day=5), at(9, day=5)),),
)

WALK = Wait("walk", Band(90, 120, 240), "maturity", "leveler-rapid", "powder-room")
HEAVY = Wait("heavy", Band(1440, 1440, 2880), "maturity", "leveler-rapid", "powder-room")
CURE = Wait("walk", Band(1200, 1440, 2880), "maturity", "thin-set", "kitchen")

POUR = Step(
    "powder-room/level/pour", JOB.name, "powder-room", None, "level", "pour", "pour", "pour", ("pour", "mix"),
    Band(25, 35, 50), gear={"mixers": 1}, amounts=(Amount("leveler-rapid", 0.52 * CUFT_M3, "m3"),),
    stands_on=("powder-room",),
    keeps_off=(KeepOff("walk", ("powder-room",), WALK), KeepOff("heavy", ("powder-room",), HEAVY)),
    cautions=("silica",), small_items=("gauge rake", "two buckets"),
)  # fmt: skip
SET = Step(
    "kitchen/floor/set", JOB.name, "kitchen", None, "floor", "set", "set tile", "set", ("set",), Band(200, 300, 420),
    divisible=True, amounts=(Amount("thin-set", 2.4 * 0.58 * CUFT_M3, "m3"), Amount("tile", 9.0, "m2")),
    stands_on=("kitchen",), keeps_off=(KeepOff("walk", ("kitchen",), CURE),),
)  # fmt: skip
GROUT = Step(
    "kitchen/floor/grout", JOB.name, "kitchen", None, "floor", "grout", "grout", "grout", ("grout",), Band(60, 90, 130),
    after=(Link(SET.id, wait=CURE),), stands_on=("kitchen",),
)  # fmt: skip
STEPS = (POUR, SET, GROUT)


def planned(
    step: Step, start: Instant, finish: Instant, people: tuple[str, ...] = ("you",), state: StepState = "wait",
    piece: Piece | None = None,
) -> PlannedStep:  # fmt: skip
    """A step as planned."""
    step_id = f"{step.id}#{piece.n}" if piece else step.id
    kind: Kind = step.kind
    return PlannedStep(step_id, step.job, step.room, step.part, step.title, kind, state, start, finish, people,
                       gear=dict(step.gear), piece=piece)  # fmt: skip


def a_plan(*steps: PlannedStep, made: Instant | None = None) -> Plan:
    """A plan of these steps, with the stay-offs that typical waits would give, rounded by hand."""
    listed = steps or (
        planned(POUR, at(14, 35), at(15, 10), ("you", "helper")),
        planned(SET, at(9, 10), at(12), piece=Piece(SET.id, 1, 0.55)),
        planned(SET, at(7, 20, 4), at(9, 40, 4), piece=Piece(SET.id, 2, 0.45)),
        planned(GROUT, at(11, 0, 5), at(12, 30, 5)),
    )
    listed = tuple(sorted(listed, key=lambda step: step.start))
    offs = tuple(
        StayOff(s.room, None, "walk", s.start, s.finish + 150, s.id) for s in listed if s.kind in ("pour", "set")
    )
    return Plan(
        job=JOB.name, zone=ZONE.key, made_at=at(7) if made is None else made, finish=max(s.finish for s in listed),
        proof=Proof(True), rooms=tuple(PlannedRoom(r.id, r.name, r.in_from) for r in JOB.rooms),
        people=tuple(PlannedPerson(p.name, tuple(p.can), ()) for p in JOB.people), gear={},
        house=(HouseOut("toilet", "powder-room", at(8), at(16, day=9)),),
        visits=(PlannedVisit("flood-visit", "inspector", "powder-room", "flood", at(9, day=5), at(9, 30, 5)),),
        steps=listed, stay_off=offs,
    )  # fmt: skip


def event(seq: int, kind: str, moment: Instant, **body: object) -> Event:
    """An event at an instant."""
    return Event(f"e{seq}", kind, datetime.fromtimestamp(moment * 60, UTC), body, seq)


def as_done(plan: Plan, step_id: str) -> Plan:
    """The plan with that step done."""
    return replace(plan, steps=tuple(replace(s, state="done") if s.id == step_id else s for s in plan.steps))
