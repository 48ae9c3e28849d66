"""A small, tight job laid by hand: a bath behind a mudroom and a wet room in two parts, each act against a wall.

Every step of it leans on something: moved by ten minutes either way, some rule is broken.
"""

from datetime import date, time

from planning.job.job import Answer, ClockSpan, Delivery, Errand, House, Job, Visit
from planning.job.people import DayHours, Gear, Person
from planning.job.place import Part, Room
from planning.job.plan import PlannedVisit
from planning.job.step import Amount, Band, InnerAct, KeepOff, Link, Step, Wait
from planning.job.words import Kind
from tests.by_hand import ZONE, ByHand, Laid, at

HOUR = 60
JOB = "guest house"


def wait(hours: float, window: str = "walk", room: str = "") -> Wait:
    """A wait of so many hours that no air moves."""
    minutes = round(hours * HOUR)
    return Wait(window, Band(minutes, minutes, minutes), "fixed", room=room)


def step(
    step_id: str, kind: Kind, minutes: int, *, crew: tuple[str, ...] = (), stands: tuple[str, ...] = (),
    **more: object,
) -> Step:  # fmt: skip
    """A step by its id, `room[.part]/method/key`, with the fields a test says."""
    place, method, key = step_id.split("/")
    room, _, part = place.partition(".")
    title = str(more.pop("title", key.replace("-", " ")))
    return Step(step_id, JOB, room, part or None, method, key, title, kind, crew or (kind,),
                Band(minutes - 2, minutes, minutes + 10), stands_on=stands, **more)  # type: ignore[arg-type]  # fmt: skip  # fields by name


OFF = "bath/level/toilet-off"
PRIME = "bath/level/prime"
POUR = "bath/level/pour"
BACK = "bath/level/toilet-back"
CUT = "mudroom/floor/cut"
SET = "mudroom/floor/set"
GROUT = "mudroom/floor/grout"
COAT_1 = "wet-room.shower/shower/coat-1"
COAT_2 = "wet-room.shower/shower/coat-2"
FLOOD = "wet-room.shower/shower/flood"
READ = "wet-room.shower/shower/read"
TILE = "wet-room.shower/shower/set"
STORE = "store"
INSPECTOR = "inspector"

BATH, MUDROOM, SHOWER, FLOOR = "bath", "mudroom", "wet-room.shower", "wet-room.floor"


def small_steps() -> list[Step]:
    """The steps of the job, in working order."""
    acts = (InnerAct("spread", "spread this batch", 0, 10, shuts=wait(1 / 6, "work", BATH)),)
    return [
        step(OFF, "prep", 18, stands=(BATH,), house={"toilet": "out"}),
        step(PRIME, "prime", 25, stands=(BATH,), works_on=(BATH,), after=(Link(OFF),),
             keeps_off=(KeepOff("walk", (BATH,), wait(1)),)),
        step(POUR, "pour", 30, crew=("pour", "mix"), stands=(BATH,), works_on=(BATH,), gear={"mixers": 1},
             amounts=(Amount("leveler", 0.02, "m3"),), acts=acts, after=(Link(PRIME, wait=wait(1), within=wait(24)),),
             keeps_off=(KeepOff("walk", (BATH,), wait(4)), KeepOff("wet", (BATH,), wait(4)),
                        KeepOff("heavy", (BATH,), wait(24, "heavy")))),
        step(BACK, "fit", 30, crew=("plumb",), stands=(BATH,), works_on=(BATH,), house={"toilet": "back"},
             after=(Link(POUR, wait=wait(24, "tile")),)),
        step(CUT, "prep", 45, gear={"saws": 1}, amounts=(Amount("tile-floor", 6.0, "m2"),)),
        step(SET, "set", 300, stands=(MUDROOM,), works_on=(MUDROOM,), pause=True, divisible=True, after=(Link(CUT),),
             keeps_off=(KeepOff("walk", (MUDROOM,), wait(12)),)),
        step(GROUT, "grout", 60, stands=(MUDROOM,), works_on=(MUDROOM,), after=(Link(SET, wait=wait(16)),),
             keeps_off=(KeepOff("walk", (MUDROOM,), wait(4)),)),
        step(COAT_1, "coat", 70, stands=(SHOWER,), works_on=(SHOWER,), recovery="Scuff, one more coat.",
             keeps_off=(KeepOff("walk", (SHOWER,), wait(2)),)),
        step(COAT_2, "coat", 70, stands=(SHOWER,), works_on=(SHOWER,), recovery="Clean, scuff, one more coat.",
             after=(Link(COAT_1, wait=wait(2, "next_layer"), within=wait(24, "next_layer")),),
             keeps_off=(KeepOff("walk", (SHOWER,), wait(24)),)),
        step(FLOOD, "test", 20, stands=(FLOOR,), works_on=(SHOWER,), sees="inspector",
             after=(Link(COAT_2, wait=wait(24, "flood")),), keeps_off=(KeepOff("walk", (SHOWER,), READ),)),
        step(READ, "test", 20, stands=(FLOOR,), works_on=(SHOWER,),
             after=(Link(FLOOD, wait=wait(24, "flood_hold")),)),
        step(TILE, "set", 120, stands=(SHOWER,), works_on=(SHOWER,), pause=True, after=(Link(READ),)),
    ]  # fmt: skip


def small_job() -> Job:
    """The job: two people, a half day, a promised night, a delivery, an answer, an errand, an inspector."""
    return Job(
        name=JOB,
        zone=ZONE,
        start=date(2026, 6, 1),
        rooms=(
            Room("bath", "bath", 2.0, 1.5, ("mudroom",), toilet=True),
            Room("mudroom", "mudroom", 3.0, 2.0, ("outside",)),
            Room("wet-room", "wet room", 3.3, 1.5, ("outside",), parts=(
                Part("shower", 1.4, 4.9, ("floor",)), Part("floor", 3.6, 7.0, ("outside",)))),
        ),
        people=(
            Person("you", JOB, frozenset(("all",))),
            Person("helper", JOB, frozenset(("carry", "tear-out", "mix", "prime", "grout")), frozenset((0, 1, 2)),
                   (DayHours(date(2026, 6, 3), time(7), time(12)),)),
        ),
        house=House(
            toilet_dates=frozenset((date(2026, 6, 2),)),
            quiet=(ClockSpan(time(14), time(15)),),
            no_power=(ClockSpan(time(8), time(9), date(2026, 6, 3)),),
            no_water=(ClockSpan(time(8), time(9), date(2026, 6, 2)),),
        ),
        gear=Gear({"mixers": 1, "saws": 1}),
        visits=(Visit(INSPECTOR, "inspector", "wet-room", "flood", at(3, "13:00"), at(3, "13:00")),),
        deliveries=(Delivery("tile-comes", "tile", "mudroom", at(2, "8:00"), at(2, "10:00")),),
        answers=(Answer("grout-color", "owner", "grout color", "mudroom", "grout", at(4, "9:20")),),
        errands=(Errand(STORE, "supply store", 90, "helper", before="bath/pour"),),
    )  # fmt: skip


def small() -> ByHand:
    """The job laid by hand so that no rule is broken and nothing has room to slip."""
    you, helper = ("you",), ("helper",)
    return ByHand(
        small_job(),
        small_steps(),
        {
            COAT_1: Laid(at(1, "7:20"), you),
            STORE: Laid(at(1, "7:20"), helper),
            OFF: Laid(at(1, "8:30"), you),
            PRIME: Laid(at(1, "8:50"), helper),
            POUR: Laid(at(1, "10:15"), ("you", "helper")),
            COAT_2: Laid(at(1, "10:45"), you),
            CUT: Laid(at(2, "10:00"), you),
            BACK: Laid(at(2, "10:45"), you),
            FLOOD: Laid(at(2, "12:30"), you),
            f"{SET}#1": Laid(at(3, "7:20"), you, 0.5),
            f"{SET}#2": Laid(at(3, "9:50"), you, 0.5),
            READ: Laid(at(3, "13:30"), you),
            TILE: Laid(at(4, "7:20"), you),
            GROUT: Laid(at(4, "9:20"), you),
        },
        (PlannedVisit(INSPECTOR, "inspector", "wet-room", "flood", at(3, "13:00"), at(3, "13:30")),),
    )
