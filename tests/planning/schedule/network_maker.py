"""Seeded random networks of the shape of several rooms at once: invented times, no source, plausible order of work."""

from dataclasses import dataclass, field
from random import Random

from planning.schedule.network import (
    Before,
    Crew,
    Curve,
    Due,
    Lag,
    Network,
    Night,
    Off,
    Task,
    Toilet,
)

DAY = 288
OPEN, EAT, EATEN, CLOSE = 88, 144, 150, 184
"""7:20, 12:00, 12:30 and 15:20 in ticks of the day."""


@dataclass
class Maker:
    """What a network is made of while it is being made."""

    random: Random
    days: int
    people: tuple[str, ...]
    airy: bool
    tasks: list[Task] = field(default_factory=list)
    lags: list[Lag] = field(default_factory=list)

    @property
    def working_days(self) -> list[int]:
        return [day for day in range(self.days) if day % 7 < 5]

    def crew(self, people: tuple[str, ...], ticks: int, pause: bool) -> Crew:
        starts: list[tuple[int, int]] = []
        pauses: list[tuple[int, int, int]] = []
        for day in self.working_days:
            zero = day * DAY
            for first, last in ((OPEN, EAT), (EATEN, CLOSE)):
                if ticks <= last - first:
                    starts.append((zero + first, zero + last - ticks))
            low, high = max(OPEN, EAT - ticks + 1), min(EAT - 1, CLOSE - ticks - (EATEN - EAT))
            if pause and low <= high:
                pauses.append((zero + low, zero + high, EATEN - EAT))
        return Crew(people, tuple(starts), tuple(pauses))

    def curve(self, ticks: int, falls: bool = False) -> Curve:
        """A length that grows (or shrinks) in the afternoon of every day, never so fast that later is ready earlier."""
        if not self.airy or ticks < 12:
            return ((0, ticks),)
        points = [(0, ticks)]
        for day in range(self.days + 1):
            for n, hour in enumerate((8, 10, 12, 14)):
                more = -n if falls else n
                points.append((day * DAY + hour * 12, ticks + more))
            if not falls:
                # A fall by one tick a tick keeps "later is never ready earlier".
                points += [(day * DAY + 200 + n, ticks + 3 - n) for n in (1, 2, 3)]
            else:
                points.append((day * DAY + 200, ticks))
        return tuple(points)


def rooms_network(
    seed: int,
    rooms: int,
    people: int = 2,
    airy: bool = False,
    nights: bool = True,
    dues: bool = True,
    days: int = 0,
) -> Network:
    """A job of so many rooms, half of them through a hall, each with about sixteen steps, three of them in pieces."""
    random = Random(seed)
    names = tuple(f"person {n}" for n in range(people))
    maker = Maker(random, days or 10 + 6 * rooms // people, names, airy)
    hall = rooms > 2
    ends = []
    for n in range(rooms):
        through = ("hall",) if hall and n % 2 == 0 and n != 0 else ()
        room = "hall" if hall and n == 0 else f"room{n}"
        ends.append(_room(maker, room, through, n))
    toilets = ()
    if nights and rooms >= 2:
        baths = ["room1", f"room{2 if rooms > 2 else 0}"]
        toilets = tuple(
            Toilet(b, (((b, "hall") if hall and b == "room2" else (b,)),), (f"{b}/tear-out",), f"{b}/fit")
            for b in baths
        )
    horizon = maker.days * DAY
    shifts = tuple((d * DAY + OPEN, d * DAY + CLOSE) for d in maker.working_days)
    return Network(
        origin=0,
        horizon=horizon,
        now=OPEN,
        tasks=tuple(maker.tasks),
        lags=tuple(maker.lags),
        gear={"mixers": 1, "saws": 1},
        person_days=dict.fromkeys(names, shifts),
        toilets=toilets,
        nights=tuple(Night(d * DAY + 240, d * DAY + 360) for d in range(0, maker.days - 1, 2)) if toilets else (),
        dues=(Due("first room", ((ends[-1], ((0, 0),)),), (maker.days // 2) * DAY + CLOSE),) if dues else (),
    )


def _room(maker: Maker, room: str, through: tuple[str, ...], n: int) -> str:
    random = maker.random
    way = ((room, *through),)
    doorstep = (through,)
    ids: list[str] = []

    def step(key, low, high, skills="any", ways=way, off=0, wet=False, pause=False, pieces=1, gear=None, heavy=False):  # type: ignore[no-untyped-def]  # a local shorthand
        ticks = random.randint(low, high)
        if skills == "any":
            crews = [(name,) for name in maker.people]
        elif skills == "both" and len(maker.people) > 1:
            crews = [maker.people[:2]]
        else:
            crews = [maker.people[:1]]
        offs = (Off(room, "walk", maker.curve(off)),) if off else ()
        found = []
        for piece in range(1, pieces + 1):
            length = max(2, ticks // pieces)
            name = f"{room}/{key}" + (f"#{piece}" if pieces > 1 else "")
            found.append(name)
            maker.tasks.append(
                Task(
                    name,
                    length,
                    tuple(maker.crew(c, length, pause) for c in crews),
                    gear=gear or {},
                    ways=ways,
                    wet_on=(room,) if wet else (),
                    heavy_on=(room,) if heavy else (),
                    off=offs,
                    piece_of=f"{room}/{key}" if pieces > 1 else None,
                    piece=piece if pieces > 1 else 0,
                )
            )
        ids.append(found[0])
        return found[0], found[-1]

    def after(one, other, wait=0, within=None, from_start=False):  # type: ignore[no-untyped-def]  # a local shorthand
        shut = None if within is None else maker.curve(within, falls=True)
        maker.lags.append(Lag(one, other, maker.curve(wait), shut, from_start))

    tear, _ = step("tear-out", 12, 30, pause=True)
    grind, _ = step("grind", 6, 14, gear={"saws": 1})
    prime, _ = step("prime", 3, 6, off=24, wet=True, ways=way)
    pour, _ = step("pour", 8, 16, "both", off=48, wet=True, gear={"mixers": 1})
    membrane, _ = step("membrane", 12, 24, wet=True, pause=True)
    after(tear, grind)
    after(grind, prime)
    after(prime, pour, 24, 24 * 12)
    after(pour, membrane, random.choice((48, 12 * 16)))
    set1, set_last = step("set", 30, 72, off=12 * 16, wet=True, pause=True, pieces=3, gear={"mixers": 1})
    after(membrane, set1, 12, 12 * 72)
    grout, _ = step("grout", 10, 20, off=36, wet=True, gear={"mixers": 1})
    after(set_last, grout, 12 * 16)
    fit, _ = step("fit", 12, 24, "first", heavy=True)
    if n % 2 == 1:
        coat1, _ = step("coat1", 4, 8, ways=doorstep, off=24, wet=True)
        coat2, _ = step("coat2", 4, 8, ways=doorstep, off=12 * 12, wet=True)
        test, _ = step("test", 2, 4, ways=doorstep)
        after(membrane, coat1, 6)
        after(coat1, coat2, 24, 24 * 12)
        after(coat2, test, 12 * 12)
        after(test, set1, 12 * 24)
        wall, wall_last = step("walls", 24, 48, pause=True, pieces=2)
        after(set_last, wall, 12 * 16)
        after(wall_last, grout, 12 * 12)
    seal, _ = step("seal", 3, 6, off=24, wet=True)
    caulk, _ = step("caulk", 3, 8, wet=True)
    after(grout, caulk, 12 * 16)
    after(caulk, fit, 12 * 3)
    after(grout, seal, 12 * 36)
    clean, _ = step("clean", 4, 8)
    after(seal, clean, 12)
    after(fit, clean)
    return str(clean)


def accepted(network: Network, starts: dict[str, int], people: dict[str, tuple[str, ...]], finish: int) -> Before:
    """A plan as an accepted one."""
    return Before(starts, people, finish)
