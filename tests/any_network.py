"""Random networks with the shape of a real job: rooms behind a hall, waits, windows, people by name, toilets, visits.

`any_network` makes the 2/4/6/8-room jobs of about 33/65/97/128 tasks (and buildings of 20-60 rooms); `small_network`
makes knots of a few tasks whose every plan can be tried. Times are plausible inventions, not trade data. Same seed,
same network.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import combinations
from math import ceil
from random import Random
from typing import TypedDict, Unpack

from planning.schedule.network import Crew, Curve, Due, Lag, Network, Night, Off, Task, Tick, Toilet

DAY = 288
SKILLS = {"helper": {"carry", "tear", "mix", "prime", "grout"}}
Ways = tuple[tuple[str, ...], ...]


class TaskFields(TypedDict, total=False):
    """What a task of a room may have besides its people and its way."""

    wet_on: tuple[str, ...]
    heavy_on: tuple[str, ...]
    off: tuple[Off, ...]
    gear: Mapping[str, int]
    release: Tick
    piece_of: str
    piece: int


@dataclass(frozen=True)
class Site:
    """The hours of everybody, and what the air does: by night a wait goes on at `night_rate` of its speed."""

    days: int
    shifts: dict[str, list[tuple[Tick, Tick, Tick, Tick]]]
    night_rate: float

    def crew(self, names: Sequence[str], ticks: int, pause: bool) -> Crew:
        starts, pauses = [], []
        for day in sorted(set.intersection(*(set(range(len(self.shifts[n]))) for n in names))):
            spans = [self.shifts[n][day] for n in names]
            begin, end = max(s[0] for s in spans), min(s[3] for s in spans)
            noon, again = spans[0][1], spans[0][2]
            for low, high in ((begin, min(noon, end)), (max(again, begin), end)):
                if high - low >= ticks:
                    starts.append((low, high - ticks))
            extra = again - noon
            first, last = max(begin, noon - ticks + 1), min(noon - 1, end - ticks - extra)
            if pause and first <= last:
                pauses.append((first, last, extra))
        return Crew(tuple(names), tuple(starts), tuple(pauses))


def _shifts(rng: Random, names: Iterable[str], days: int) -> dict[str, list[tuple[Tick, Tick, Tick, Tick]]]:
    shifts = {}
    for name in names:
        away = {rng.randrange(days) for _ in range(days // 10)} if name != "you" else set()
        half = {rng.randrange(days) for _ in range(days // 12)} if name == "helper" else set()
        shifts[name] = [
            (d * DAY + 88, d * DAY + 144, d * DAY + 150, d * DAY + (150 if d in half else 182))
            if d % 7 < 5 and d not in away else (d * DAY, d * DAY, d * DAY, d * DAY)
            for d in range(days)
        ]  # fmt: skip
    return shifts


@lru_cache(maxsize=512)
def night_curve(ticks: int, rate: float, days: int) -> Curve:
    """A wait of so many day ticks that goes on more slowly from 18:00 to 6:00; who ends later is never ready sooner."""
    speeds = [rate if t % DAY < 72 or t % DAY >= 216 else 1.0 for t in range((days + 2) * DAY + 3 * ticks)]
    points: list[tuple[int, int]] = []
    over, done = 0, 0.0
    for start in range(days * DAY):
        while done < ticks - 1e-9:
            done += speeds[over]
            over += 1
        wait = over - start
        if not points or points[-1][1] != wait:
            points.append((start, wait))
        done -= speeds[start]
    return tuple(points)


@dataclass
class Builder:
    """Collects tasks and lags of a random job."""

    rng: Random
    site: Site
    names: list[str]
    bent: bool
    tasks: list[Task] = field(default_factory=list)
    lags: list[Lag] = field(default_factory=list)

    def wait(self, ticks: int) -> Curve:
        if not self.bent or ticks < 12:
            return ((0, ticks),)
        return night_curve(ticks, self.site.night_rate, self.site.days)

    def crews(self, skills: Sequence[str], ticks: int, pause: bool) -> tuple[Crew, ...]:
        able = [n for n in self.names if skills[0] in SKILLS.get(n, skills)]
        sets: Sequence[tuple[str, ...]] = [(n,) for n in able]
        if len(skills) == 2 and len(self.names) > 1:
            sets = [p for p in combinations(self.names, 2) if set(p) & set(able)][: len(self.names)]
        made = [self.site.crew(each, ticks, pause) for each in sets]
        return tuple(c for c in made if c.starts or c.pauses) or tuple(made[:1])

    def add(
        self, task_id: str, skills: Sequence[str], ticks: int, way: Ways, pause: bool, **more: Unpack[TaskFields]
    ) -> str:
        if not pause:
            ticks = min(ticks, 30)
        crews = self.crews(skills, ticks, pause)
        self.tasks.append(Task(task_id, ticks, crews, ways=way, **more))
        return task_id

    def link(self, before: str, after: str, wait: int = 0, within: int | None = None) -> None:
        bound = None if within is None else self.wait(within)[:1] if not self.bent else ((0, within),)
        self.lags.append(Lag(before, after, self.wait(wait), bound))


def _room(b: Builder, room: str, ways: Ways, delivery: Tick) -> None:
    """Sixteen tasks of one room, floor work with its waits and three windows."""
    r, floor = b.rng, f"{room}-floor"
    stand = tuple(tuple(sorted({floor, *way})) for way in ways)

    def off(what: str, ticks: int) -> Off:
        return Off(floor, what, b.wait(ticks))

    def go(
        key: str, skills: Sequence[str], low: int, high: int, way: Ways = stand, pause: bool = False,
        **more: Unpack[TaskFields],
    ) -> str:  # fmt: skip
        return b.add(f"{room}/{key}", skills, r.randint(low, high), way, pause, **more)

    carry = go("carry", ["carry"], 4, 8, ways)
    tear = go("tear-out", ["tear"], 14, 36, pause=True)
    prep = go("prep", ["prep"], 8, 20, pause=True)
    prime = go("prime", ["prime"], 4, 6, wet_on=(floor,), off=(off("walk", r.randint(12, 30)),))
    pour = go(
        "pour", ["pour", "mix"], 10, 18, wet_on=(floor,), gear={"mixers": 1}, off=(off("walk", r.randint(24, 50)),)
    )
    layout = go("layout", ["prep"], 4, 8)
    coat1 = go("coat-1", ["coat"], 6, 12, wet_on=(floor,), off=(off("walk", r.randint(20, 40)),))
    coat2 = go("coat-2", ["coat"], 6, 10, wet_on=(floor,), off=(off("walk", r.randint(40, 90)),))
    test = go("check", ["prep"], 2, 4, ways)
    green = r.randint(200, 288)
    pieces = [
        go(f"set#{n}", ["set"], 14, 26, pause=True, wet_on=(floor,), gear={"saws": 1} if n == 1 else {"mixers": 1},
           off=(off("walk", green),), piece_of=f"{room}/set", piece=n, release=delivery)
        for n in (1, 2, 3)
    ]  # fmt: skip
    grout = go("grout", ["grout"], 10, 22, pause=True, wet_on=(floor,), off=(off("walk", r.randint(24, 48)),))
    caulk = go("caulk", ["caulk"], 4, 8, wet_on=(floor,), off=(off("wet", r.randint(12, 36)),))
    fit = go("fit", ["fit"], 6, 14, heavy_on=(floor,))
    clean = go("clean", ["carry"], 4, 8, ways)
    grouted = r.randint(144, 288)
    chain: list[tuple[str, str, int, int | None]] = [
        (carry, tear, 0, None), (tear, prep, 0, None), (prep, prime, 0, None),
        (prime, pour, r.randint(12, 30), r.randint(270, 330)), (pour, layout, r.randint(40, 90), None),
        (layout, coat1, 0, None), (coat1, coat2, r.randint(24, 60), r.randint(240, 320)),
        (coat2, test, r.randint(60, 288), None), (test, pieces[0], 0, None),
        (coat2, pieces[0], 0, r.randint(6, 10) * DAY), (pieces[0], pieces[1], 0, None), (pieces[1], pieces[2], 0, None),
        (pieces[2], grout, green, None), (grout, caulk, grouted // 2, None), (grout, fit, grouted, None),
        (caulk, clean, 0, None), (fit, clean, 0, None),
    ]  # fmt: skip
    for before, after, wait, within in chain:
        b.link(before, after, wait, within)


def _ways(r: Random, rooms: Sequence[str], corridors: int) -> dict[str, Ways]:
    """The floors crossed to each room: some lie behind a hall, a few can be reached another way too."""
    halls = rooms[:corridors]
    ways: dict[str, Ways] = {}
    for n, room in enumerate(rooms):
        if n < corridors or not halls or n == corridors:
            ways[room] = ((),)
        elif r.random() < 0.65:
            hall = halls[n * len(halls) // len(rooms)]
            ways[room] = ((f"{hall}-floor",),)
            if r.random() < 0.25:
                ways[room] += ((f"{rooms[corridors]}-floor",),)
        else:
            ways[room] = ((),)
    return ways


def any_network(
    seed: int, rooms: int = 2, people: int | None = None, bent: bool = True, nights: bool = True
) -> Network:
    """A random job of so many rooms. `people`: how many (default 1-3); `bent`: waits that depend on their start;
    `nights`: toilets the household needs."""
    rng = Random(f"{seed}/{rooms}")
    count = people if people is not None else rng.choice((1, 2, 2, 3))
    names = ["you", "helper", "mate", *(f"hand{n}" for n in range(4, 40))][:count] if count < 4 else [
        "you", *(f"hand{n}" for n in range(2, count + 1))]  # fmt: skip
    days = ceil((12 + 3 * rooms / count**0.8) * 1.35)
    site = Site(days, _shifts(rng, names, days), rng.choice((0.7, 0.8, 0.9)))
    b = Builder(rng, site, names, bent)
    ids = [f"r{n}" for n in range(rooms)]
    ways = _ways(rng, ids, corridors=0 if rooms == 2 and rng.random() < 0.5 else max(1, rooms // 10))
    baths = [ids[-1]] if rooms == 2 else [ids[-1], ids[max(1, rooms // 10)]] if rng.random() < 0.7 else []
    late = rng.choice(ids)
    for room in ids:
        release = rng.randint(3, 6) * DAY + 96 if room == late else 0
        _room(b, room, ways[room], release)
    _visit(b, rng.choice(ids), ways)
    toilets = tuple(
        Toilet(
            room,
            tuple(tuple(sorted({f"{room}-floor", *way})) for way in ways[room]),
            (f"{room}/tear-out",),
            f"{room}/clean",
        )
        for room in baths
    )
    promised = range(days - 1) if len(baths) == 2 else range(rng.randint(1, 3))
    return Network(
        origin=29_600_000 // (DAY * 5) * (DAY * 5),
        horizon=days * DAY,
        now=rng.choice((0, 90)),
        tasks=tuple(b.tasks),
        lags=tuple(b.lags),
        gear={"mixers": max(1, count // 3), "saws": max(1, count // 4)},
        person_days={name: tuple((s[0], s[3]) for s in spans if s[3] > s[0]) for name, spans in site.shifts.items()},
        toilets=toilets if nights else (),
        nights=tuple(Night(d * DAY + 216, (d + 1) * DAY + 72) for d in promised) if nights and baths else (),
        dues=_dues(b, ids, days, count),
    )


def _visit(b: Builder, room: str, ways: dict[str, Ways]) -> None:
    """An inspection between the check of a room and its tile, on a day that leaves room to get there."""
    labour = sum(t.ticks for t in b.tasks if t.id.startswith(f"{room}/"))
    day = 5 + labour // 90 + b.rng.randint(0, 3)
    while day % 7 >= 5:
        day += 1
    start = day * DAY + b.rng.choice((96, 108, 120, 160))
    b.tasks.append(
        Task("visit", 6, (Crew((), ((start, start + b.rng.choice((0, 24))),)),), ways=ways[room], counts=False)
    )
    b.lags += [Lag(f"{room}/check", "visit"), Lag("visit", f"{room}/set#1")]


def _dues(b: Builder, ids: Sequence[str], days: int, count: int) -> tuple[Due, ...]:
    chosen = b.rng.sample(list(ids), k=max(1, len(ids) // 3))
    return tuple(
        Due(f"{room} usable", ((f"{room}/clean", ((0, 0),)),), b.rng.randint(10, max(12, days * 2 // 3)) * DAY + 204)
        for room in chosen
    )


SMALL_DAY = 12
SMALL_DAYS = 4


def small_network(seed: int, tasks: int = 5) -> Network:
    """A knot of a few short tasks on a coarse axis with every kind of constraint, so that all plans can be tried."""
    rng = Random(f"small {seed}")
    names = ["you", "helper"][: rng.choice((1, 2, 2))]
    made = [_small_task(rng, n, tasks, names) for n in range(tasks)]
    if rng.random() < 0.3:
        made[1] = replace(made[1], piece_of="s", piece=1)
        made[2] = replace(made[2], piece_of="s", piece=2, wet_on=made[1].wet_on)
    if rng.random() < 0.3:
        at = rng.randint(10, 30)
        visit = Crew((), ((at, at + rng.choice((0, 2))),))
        made[-1] = replace(made[-1], crews=(visit,), counts=False, wet_on=(), off=())
    now = rng.choice((0, 3))
    if rng.random() < 0.2:
        start = rng.randint(0, now)
        fixed = (start, start + made[0].ticks)
        made[0] = replace(made[0], fixed=fixed, crews=made[0].crews[:1], ways=made[0].ways[:1])
    lags = []
    for a, b in combinations(range(tasks), 2):
        if rng.random() < 0.35:
            wait = _small_curve(rng, 5)
            within = ((0, max(w for _, w in wait) + rng.randint(2, 8)),) if rng.random() < 0.4 else None
            lags.append(Lag(f"t{a}", f"t{b}", wait, within, rng.random() < 0.15))
    toilets: tuple[Toilet, ...] = ()
    if rng.random() < 0.4:
        out = rng.randint(0, tasks - 2)
        toilets = (Toilet("bath", (("bath", "hall"),), (f"t{out}",), f"t{rng.randint(out + 1, tasks - 1)}"),)
        if rng.random() < 0.3:
            toilets += (Toilet("other", (("hall",),)),)
    nights = tuple(Night(d * SMALL_DAY + 10, d * SMALL_DAY + 13) for d in range(rng.randint(1, 3))) if toilets else ()
    dues = (Due("due", (("t1", ((0, 1),)),), rng.randint(8, 30)),) if rng.random() < 0.4 else ()
    shifts = tuple((d * SMALL_DAY + 2, d * SMALL_DAY + 10) for d in range(SMALL_DAYS))
    return Network(
        0, SMALL_DAYS * SMALL_DAY, now, tuple(made), tuple(lags), {"mixers": 1}, dict.fromkeys(names, shifts),
        toilets, nights, dues,
    )  # fmt: skip


def _small_task(rng: Random, n: int, tasks: int, names: Sequence[str]) -> Task:
    ticks = rng.randint(1, 3)
    crews = _small_crews(rng, names, ticks)
    way = rng.choice(((), ("hall",), ("bath", "hall"), ("bath",)))
    floor = rng.choice(("hall", "bath"))
    off = [Off(floor, rng.choice(("walk", "walk", "wet", "heavy")), _small_curve(rng, 4))] if rng.random() < 0.5 else []
    if n + 1 < tasks and rng.random() < 0.15:
        off = [Off(floor, "walk", until=(f"t{rng.randint(n + 1, tasks - 1)}",))]
    return Task(
        f"t{n}", ticks, crews,
        gear={"mixers": 1} if rng.random() < 0.3 else {},
        ways=(way,) if rng.random() < 0.7 else (way, rng.choice(((), ("hall",)))),
        wet_on=(floor,) if rng.random() < 0.4 else (),
        heavy_on=(floor,) if rng.random() < 0.2 else (),
        off=tuple(off),
        release=rng.choice((0, 0, 0, 7, 14)),
    )  # fmt: skip


def _small_crews(rng: Random, names: Sequence[str], ticks: int) -> tuple[Crew, ...]:
    pause = rng.random() < 0.4
    days = [d * SMALL_DAY for d in range(SMALL_DAYS)]
    starts = tuple((d + low, d + high - ticks) for d in days for low, high in ((2, 5), (6, 10)) if high - low >= ticks)
    pauses = tuple((d + 5 - ticks + 1, d + 4, 1) for d in days if pause and ticks > 1)
    crews = [Crew((name,), starts, pauses) for name in rng.sample(names, k=rng.randint(1, len(names)))]
    if len(names) == 2 and rng.random() < 0.2:
        crews = [replace(crews[0], people=tuple(names))]
    return tuple(crews)


def _small_curve(rng: Random, most: int) -> Curve:
    ticks = rng.randint(0, most)
    if rng.random() < 0.6:
        return ((0, ticks),)
    return ((0, ticks), (rng.randint(4, 12), ticks + rng.randint(0, 2)), (20, ticks + 2), (21, ticks + 1), (22, ticks))
