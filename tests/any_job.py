"""Any job: seeded invented jobs of several rooms, made of the trade's own methods. Same seed, same job.

About 33, 65, 97 and 128 steps for 2, 4, 6 and 8 rooms, one to three people, rooms behind a hall, toilets promised at
night, a delivery, an answer, an errand, an inspection, promises; nights cooler than days. Plausible, from nobody.
Not every seed has a plan: a job may ask for more than can be done. `jobs` and `records` are hypothesis strategies.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from hypothesis import strategies as st

from planning.job.events import Event
from planning.job.hours import instant
from planning.job.job import Answer, ClockSpan, Delivery, Errand, House, Job, Promise, Visit
from planning.job.people import DayHours, Gear, Hours, Person
from planning.job.place import Air, Part, Room, RoomAir
from planning.job.plan import Plan
from planning.job.scope import Measure, Scope
from planning.job.step import Step
from planning.job.words import Instant
from planning.trade.expand import expand

FOOT = 0.3048
INCH = FOOT / 12
START = date(2026, 6, 1)
ZONES = ("America/Denver", "America/Chicago", "Europe/Lisbon")
PATTERN = ("hall", "wet", "bath", "split", "level", "wet", "bath", "plain")
"""What the rooms are, in order; a job of n rooms takes the first n (of two, a wet room behind a mudroom)."""
NAMES = {
    "hall": ("hall", "mudroom", "entry"),
    "wet": ("wet room", "shower room", "guest shower"),
    "bath": ("powder room", "small bath", "cloak room"),
    "split": ("kitchen", "dining room", "sunroom"),
    "level": ("laundry", "pantry", "study"),
    "plain": ("boot room", "linen room", "workshop"),
}
TILES = ((12, 24, 3 / 8), (12, 12, 3 / 8), (8, 8, 5 / 16), (6, 24, 3 / 8))


def any_job(
    seed: int, rooms: int = 4, *, people: int | None = None, steady_air: bool = False, promises: bool = True
) -> Job:  # fmt: skip
    """The job of that seed. `people` 1 to 3 (None: by the seed); `steady_air`: every room at 23 C and 50 % RH;
    `promises` False leaves out what can make a job impossible: fixed visits, promised nights and dates.
    """
    if rooms < 1:
        raise ValueError("a job has at least one room")
    return _Maker(Random(f"{seed} {rooms}"), rooms, people, steady_air, promises).job(f"job {seed}")


def any_steps(job: Job) -> tuple[Step, ...]:
    """The steps of a job of ours. Raises ValueError when the trade finds anything wrong with it."""
    found = expand(job)
    if found.problems:
        raise ValueError("; ".join(map(str, found.problems)))
    return found.steps


@dataclass
class _Maker:
    random: Random
    rooms: int
    people: int | None
    steady_air: bool
    promises: bool
    zone: ZoneInfo = field(init=False)

    def job(self, name: str) -> Job:
        pick = self.random
        self.zone = ZoneInfo(pick.choice(ZONES))
        kinds = ["hall", "wet"] if self.rooms == 2 else [PATTERN[n % len(PATTERN)] for n in range(self.rooms)]
        rooms = self._rooms(kinds)
        crew = self._people(name, self.people or pick.choice((1, 2, 2, 3)))
        wet = [room for room, kind in zip(rooms, kinds, strict=True) if kind == "wet"]
        labour = 700 * kinds.count("wet") + 350 * (len(kinds) - kinds.count("wet"))
        days = 6 + labour // (400 * len(crew))
        return Job(
            name=name,
            zone=self.zone,
            start=START,
            rooms=rooms,
            people=crew,
            hours=Hours(clean_up_min=pick.choice((15, 20, 25)), off=frozenset((date(2026, 6, 19),))),
            house=self._house(rooms),
            gear=Gear({"mixers": 1 if len(crew) < 3 else 2, "saws": 1}, 635.0),
            aim=pick.choice(("finish", "finish", "visits", "margin")),
            flood_hold_min=pick.choice((15, 24 * 60, 24 * 60, 48 * 60)),
            visits=self._visits(wet, days) if self.promises else (),
            deliveries=self._deliveries(rooms),
            answers=self._answers(rooms),
            errands=self._errands(rooms, crew),
            promises=self._promises(rooms, days) if self.promises else (),
        )

    # rooms

    def _rooms(self, kinds: Sequence[str]) -> tuple[Room, ...]:
        used: dict[str, int] = {}
        found: list[Room] = []
        first = self.random.randrange(3)
        for kind in kinds:
            title = NAMES[kind][(used.get(kind, 0) + first) % 3]
            again = used.get(kind, 0) // 3
            used[kind] = used.get(kind, 0) + 1
            name = f"{title} {again + 1}" if again else title
            found.append(self._room(kind, name, [room.id for room in found]))
        return tuple(found)

    def _room(self, kind: str, name: str, before: Sequence[str]) -> Room:
        pick = self.random
        length, width = self._size(kind)
        ways: tuple[str, ...] = ("outside",)
        if before and kind in ("wet", "bath", "level"):
            ways = pick.choice(((before[0],), (before[0],), ("outside",), (before[0], "outside")))
        room_id = name.replace(" ", "-")
        toilet = kind == "bath" or (kind == "wet" and pick.random() < 0.4)
        parts: tuple[Part, ...] = ()
        if kind == "wet":
            parts = _shower(length, width, ways)
        if kind == "split":
            half = length / 2
            parts = tuple(
                Part(part, half * width, 2 * (half + width), into, half, width)
                for part, into in (("north", ("south",)), ("south", ways))
            )
        return Room(room_id, name, length, width, ways, parts, self._air(), toilet, self._do(kind))

    def _size(self, kind: str) -> tuple[float, float]:
        low, high = {"bath": (5, 6), "split": (10, 16), "hall": (8, 14), "wet": (8, 11)}.get(kind, (6, 10))
        length = self.random.randint(low, high)
        return length * FOOT, self.random.randint(4 if kind == "hall" else 5, max(5, length * 3 // 4)) * FOOT

    def _air(self) -> RoomAir:
        if self.steady_air:
            return RoomAir(read=True)
        pick = self.random
        day, night = pick.randint(18, 24), pick.randint(13, 17)
        damp = pick.choice((0.45, 0.5, 0.55))
        return RoomAir(Air(day, damp, day - 1), Air(night, damp + 0.05, night - 0.5), read=True)

    def _do(self, kind: str) -> tuple[Scope, ...]:
        pick = self.random
        tile = tuple(side * INCH for side in pick.choice(TILES))
        seal = pick.choice(((), ("seal",)))
        if kind == "wet":
            measures: dict[str, Measure] = {
                "tile": tile,
                "depth": pick.choice((0.25, 0.375, 0.5)) * INCH,
                "walls": pick.randint(60, 100) * FOOT**2,
                "niches": pick.randint(0, 2),
                "mud_at_drain": 1.25 * INCH,
                "pipe": "pvc 2 in",
            }
            on = {"shower": "shower", "floor": "floor"}
            skip = (*seal, *pick.choice(((), ("uncouple",))))
            return (Scope("curbless-shower", on, measures, skip),)
        if kind in ("bath", "level"):
            leveler = pick.choice(("leveler", "leveler-rapid"))
            poured: dict[str, Measure] = {"tile": tile, "depth": pick.choice((0.125, 0.25)) * INCH, "leveler": leveler}
            return (Scope("level-and-tile-floor", {}, poured, seal),)
        plain: dict[str, Measure] = {"tile": tile}
        if kind == "split":
            after = pick.choice(("set", "grout"))
            return (
                Scope("plain-tile-floor", {"floor": "north"}, plain),
                Scope("plain-tile-floor", {"floor": "south"}, plain, after=(f"north/plain-tile-floor/{after}",)),
            )
        return (Scope("plain-tile-floor", {}, plain),)

    # people and house

    def _people(self, job: str, count: int) -> tuple[Person, ...]:
        pick = self.random
        helper = pick.choice((
            Person("helper", job, frozenset(("carry", "tear-out", "prep", "mix", "prime", "grout"))),
            Person("helper", job, frozenset(("carry", "tear-out", "mix", "prime", "grout")), frozenset((0, 1, 2)),
                   (DayHours(START + timedelta(days=2), time(7), time(12)),)),
        ))  # fmt: skip
        second = Person("second setter", job, frozenset(("all",)), off=frozenset((START + timedelta(days=3),)))
        return (Person("you", job, frozenset(("all",))), helper, second)[:count]

    def _house(self, rooms: Sequence[Room]) -> House:
        pick = self.random
        toilets = sum(room.toilet for room in rooms)
        nights: frozenset[date] = frozenset()
        weekdays: frozenset[int] = frozenset()
        if self.promises and toilets >= 2:
            weekdays = pick.choice((frozenset(), frozenset((0, 1, 2, 3)), frozenset((5, 6))))
        elif self.promises and toilets == 1:
            nights = frozenset(START + timedelta(days=n) for n in range(pick.randint(0, 3)))
        quiet = pick.choice(((), (), (ClockSpan(time(12), time(13)),)))
        no_power = pick.choice(((), (ClockSpan(time(8), time(9), START + timedelta(days=2)),)))
        return House(nights, weekdays, quiet, no_power)

    # what comes from outside

    def _at(self, days: int, clock: time) -> Instant:
        """That time on the working day so many calendar days on, or the next one after it."""
        day = START + timedelta(days=days)
        while day.weekday() > 4 or day == date(2026, 6, 19):
            day += timedelta(days=1)
        return instant(self.zone, day, clock)

    def _visits(self, wet: Sequence[Room], days: int) -> tuple[Visit, ...]:
        if not wet or self.random.random() < 0.4:
            return ()
        room = wet[0]
        first = self._at(days + self.random.randint(8, 12), time(8))
        last = first + self.random.choice((0, 0, 120))
        return (Visit(f"visit/{room.id}/flood", "inspector", room.id, "flood", first, last),)

    def _deliveries(self, rooms: Sequence[Room]) -> tuple[Delivery, ...]:
        room = self.random.choice(rooms)
        first = self._at(self.random.randint(1, 4), time(8))
        return (Delivery(f"delivery/{room.id}/tile", "tile", room.id, first, first + 120),)

    def _answers(self, rooms: Sequence[Room]) -> tuple[Answer, ...]:
        room = self.random.choice(rooms)
        by = self._at(self.random.randint(2, 6), time(9))
        return (Answer(f"answer/{room.id}/grout-color", "owner", "grout color", room.id, "grout", by),)

    def _errands(self, rooms: Sequence[Room], crew: Sequence[Person]) -> tuple[Errand, ...]:
        if self.random.random() < 0.5:
            return ()
        room = self.random.choice(rooms)
        takes = self.random.choice((45, 60, 90))
        return (Errand("errand/supply-store", "supply store", takes, crew[-1].name, {}, f"{room.id}/grout"),)

    def _promises(self, rooms: Sequence[Room], days: int) -> tuple[Promise, ...]:
        room = self.random.choice(rooms)
        what = "toilet" if room.toilet else self.random.choice(("usable", "walk"))
        return (Promise(room.id, what, self._at(days + self.random.randint(4, 12), time(17))),)


def _shower(length: float, width: float, ways: tuple[str, ...]) -> tuple[Part, ...]:
    long, wide = 5 * FOOT, min(3 * FOOT, width)
    rest = length * width - long * wide
    return (
        Part("shower", long * wide, 2 * (long + wide), ("floor",), long, wide),
        Part("floor", rest, 2 * (length + width) - long, ways),
    )


# what happened so far


def any_record(plan: Plan, until: Instant, seed: int = 0, late_min: int = 45) -> tuple[Event, ...]:
    """The record of a job worked by the plan up to a moment: each step noted as it began and was done.

    About one in four takes up to `late_min` longer than planned; nothing is noted as done after `until`. What could
    not have happened (a step begun before the one it waits for was done) is left out, as everything after it is.
    """
    pick = Random(f"{seed} {until}")
    noted: list[tuple[Instant, int, str, str]] = []
    done: dict[str, Instant] = {}
    busy: dict[str, Instant] = {}
    for n, step in enumerate(sorted(plan.steps, key=lambda each: (each.start, each.id))):
        held = [done.get(link.id, until + 1) + link.wait_min for link in step.after if link.on == "finish"]
        start = step.start
        if start > until or any(ready > start for ready in held) or any(busy.get(p, 0) > start for p in step.people):
            continue
        if step.piece is not None and step.piece.n > 1 and f"{step.piece.of}#{step.piece.n - 1}" not in done:
            continue
        more = pick.randint(1, late_min) if pick.random() < 0.25 else 0
        finish = step.finish + more
        if step.id.startswith("errand/"):
            noted.append((start, n, "errand", step.id))
            done[step.id] = step.finish
            continue
        noted.append((start, n, "started", step.id))
        for person in step.people:
            busy[person] = finish
        if finish <= until:
            done[step.id] = finish
            noted.append((finish, n, "finished", step.id))
    return tuple(
        Event(f"e{seq}", kind, datetime.fromtimestamp(minute * 60, UTC),
              {"errand" if kind == "errand" else "step": step}, seq)
        for seq, (minute, _, kind, step) in enumerate(sorted(noted), start=1)
    )  # fmt: skip


def jobs(rooms: int = 2, **options: bool) -> st.SearchStrategy[Job]:
    """Any job of so many rooms."""
    return st.integers(0, 10_000).map(lambda seed: any_job(seed, rooms, **options))


def records(plan: Plan) -> st.SearchStrategy[tuple[Event, ...]]:
    """Any record of that plan worked up to any moment of it."""
    moments = st.integers(plan.made_at, plan.finish)
    return st.builds(lambda until, seed: any_record(plan, until, seed), moments, st.integers(0, 10_000))
