"""Tiny random networks with every rule in them, and their best plans found by trying everything."""

from collections.abc import Iterator
from itertools import combinations, product
from random import Random

from planning.schedule.network import Crew, Curve, Due, Lag, Network, Night, Off, Overrun, Solution, Task, Toilet, at
from tests.planning.schedule.network_check import broken

HORIZON = 26
FLOORS = ("a", "b")
PEOPLE = ("ann", "ben")
WAYS = (((),), (("a",),), (("a",), ("b",)), (("a", "b"),), (("b",), ("a", "b")), (("b",),))


def tiny(seed: int) -> Network:
    """Three free tasks, sometimes one that has begun, on two floors, with a bit of everything."""
    random = Random(seed)
    now = random.choice((0, 0, 2))
    names = [f"t{n}" for n in range(3)]
    pieces = random.random() < 0.4
    tasks = [_task(random, name, names, now) for name in names]
    if pieces:
        for n in (0, 1):
            tasks[n] = _as_piece(tasks[0], tasks[n], n + 1)
    if now:
        tasks.insert(0, _running(random, names, now))
    ids = [task.id for task in tasks]
    lags = [_lag(random, *sorted(random.sample(ids, 2), key=ids.index)) for _ in range(random.randint(0, 2))]
    nights = (Night(12, 14), Night(18, 19))[: random.randint(0, 2)]
    return Network(
        origin=0,
        horizon=HORIZON,
        now=now,
        tasks=tuple(tasks),
        lags=tuple(lags),
        gear={"saws": random.choice((1, 2)), "mixers": 1},
        person_days=dict.fromkeys(PEOPLE, ((0, 8), (9, 17), (18, 26))),
        toilets=tuple(_toilet(random, floor, ids) for floor in FLOORS[: random.randint(1, 2)]) if nights else (),
        nights=nights,
        dues=(Due("due", ((random.choice(ids), _curve(random, 3)),), random.randint(6, 20)),),
        aim=random.choice(("finish", "margin")),
    )


def _curve(random: Random, most: int) -> Curve:
    """Random lengths that never fall by more than one a tick."""
    if random.random() < 0.4:
        return ((0, random.randint(0, most)),)
    length = random.randint(0, most)
    points = [(0, length)]
    for tick in range(1, HORIZON):
        new = max(length - 1, random.choice((length, length, length, random.randint(0, most))))
        if new != length:
            points.append((tick, new))
        length = new
    return tuple(points)


def _task(random: Random, name: str, names: list[str], now: int) -> Task:
    ticks = random.randint(1, 4)
    people = random.choice(((("ann",),), (("ann",), ("ben",)), (("ann", "ben"),), ((),), (("ben",), ("ann", "ben"))))
    offs = tuple(_off(random, name, names) for _ in range(random.choice((0, 1, 1, 2))))
    return Task(
        name,
        ticks,
        tuple(_crew(random, some, ticks) for some in people),
        gear={gear: 1 for gear in ("saws", "mixers") if random.random() < 0.3},
        ways=random.choice(WAYS),
        wet_on=tuple(floor for floor in FLOORS if random.random() < 0.3),
        heavy_on=tuple(floor for floor in FLOORS if random.random() < 0.2),
        off=offs,
        release=random.choice((0, 0, 3)),
        counts=random.random() < 0.8,
    )


def _off(random: Random, name: str, names: list[str]) -> Off:
    others = [other for other in names if other != name]
    until = (random.choice(others),) if random.random() < 0.2 else ()
    return Off(random.choice(FLOORS), random.choice(("walk", "walk", "wet", "heavy")), _curve(random, 5), until)


def _crew(random: Random, people: tuple[str, ...], ticks: int) -> Crew:
    first = random.randint(0, 6)
    starts = [(first, first + random.randint(0, 1)), (random.randint(9, 18), 0)]
    starts[1] = (starts[1][0], min(starts[1][0] + random.randint(0, 1), HORIZON - ticks))
    pause = starts[0][1] + 1
    pauses = ((pause, pause, random.randint(1, 2)),) if random.random() < 0.4 and pause < 9 else ()
    return Crew(people, tuple(starts), pauses)


def _as_piece(first: Task, task: Task, n: int) -> Task:
    return Task(
        f"t{n - 1}", task.ticks, task.crews, task.gear, first.ways, first.wet_on, (), first.off,
        piece_of="step", piece=n,
    )  # fmt: skip


def _running(random: Random, names: list[str], now: int) -> Task:
    start = random.randint(0, now - 1)
    offs = (_off(random, "run", names),)
    return Task(
        "run", 3, (Crew(random.choice((("ann",), ("ben",), ())), ()),), {"saws": 1}, (random.choice(WAYS)[0],),
        off=offs, fixed=(start, random.randint(now, now + 3)),
    )  # fmt: skip


def _lag(random: Random, before: str, after: str) -> Lag:
    within = None
    if random.random() < 0.6:
        within = tuple((tick, ticks + random.randint(4, 8)) for tick, ticks in _curve(random, 3)[:1])
        if random.random() < 0.5:
            within = (*within, (7, within[0][1] - 1), (10, within[0][1] + 1))
    return Lag(before, after, _curve(random, 3), within, random.random() < 0.3)


def _toilet(random: Random, floor: str, ids: list[str]) -> Toilet:
    out = (random.choice(ids),) if random.random() < 0.5 else ()
    back = random.choice([name for name in ids if name not in out]) if out and random.random() < 0.7 else None
    return Toilet(floor, random.choice((((floor,),), (("a", "b"),), (("a",), ("b",)))), out, back)


def plans(network: Network) -> Iterator[Solution]:
    """Every plan within everybody's hours, whatever else it breaks."""
    options = [_options(network, task) for task in network.tasks]
    for combination in product(*options):
        starts = {task.id: option[0] for task, option in zip(network.tasks, combination, strict=True)}
        finishes = {task.id: option[1] for task, option in zip(network.tasks, combination, strict=True)}
        crews = {task.id: option[2] for task, option in zip(network.tasks, combination, strict=True)}
        ways = {task.id: option[3] for task, option in zip(network.tasks, combination, strict=True)}
        yield Solution("good", starts, finishes, crews, ways)


def _options(network: Network, task: Task) -> list[tuple[int, int, int, int]]:
    if task.fixed is not None:
        return [(*task.fixed, 0, way) for way in range(len(task.ways))]
    found = []
    low = max(network.now, task.release)
    for n, crew in enumerate(task.crews):
        spans = [(a, b, 0) for a, b in crew.starts] + list(crew.pauses)
        for first, last, extra in spans:
            for start in range(max(first, low), last + 1):
                finish = start + task.ticks + extra
                if finish <= network.horizon:
                    found += [(start, finish, n, way) for way in range(len(task.ways))]
    return found


def value(network: Network, plan: Solution) -> tuple[int, ...]:
    """What the stages count, in their order, counted afresh here."""
    finish = {task.id: plan.finishes[task.id] for task in network.tasks}
    late = sum(max(0, *(finish[t] + at(c, finish[t]) - due.tick for t, c in due.ends)) for due in network.dues)
    end = max((finish[task.id] for task in network.tasks if task.counts), default=0)
    days = set()
    for task in network.tasks:
        for name in task.crews[plan.crews[task.id]].people:
            for n, (first, last) in enumerate(network.person_days[name]):
                if plan.starts[task.id] < last and finish[task.id] > first:
                    days.add((name, n))
    margin = 0
    begun = {task.id for task in network.tasks if task.fixed is not None}
    for lag in network.lags:
        if lag.within is not None and lag.after not in begun:
            margin += min(12, room(lag, plan))
    tidy = sum(plan.starts[task.id] - network.now for task in network.tasks if task.fixed is None)
    # Of as many person-days, rather those of the first named: counted in thousands, others' days add one each.
    weighed = 1000 * len(days) + sum(name != next(iter(network.person_days)) for name, _ in days)
    rest = (-margin, weighed) if network.aim == "margin" else (weighed, -margin)
    return (late, end, *rest, tidy)


def room(lag: Lag, plan: Solution) -> int:
    """Ticks left in the window when its later task starts."""
    counted = (plan.starts if lag.from_start else plan.finishes)[lag.before]
    assert lag.within is not None
    return counted + at(lag.within, counted) - plan.starts[lag.after]


def best(network: Network) -> tuple[int, ...] | None:
    """The best value any plan has that keeps every rule; None when none does."""
    found: tuple[int, ...] | None = None
    for plan in plans(network):
        worth = value(network, plan)
        if (found is None or worth < found) and not broken(network, plan):
            found = worth
    return found


def least_broken(network: Network) -> int | None:
    """The least price at which a plan exists when windows and nights may be broken; None when even so none does."""
    found: int | None = None
    begun = {task.id for task in network.tasks if task.fixed is not None}
    for plan in plans(network):
        overs = [
            Overrun("within", lag.after, lag.before, -room(lag, plan))
            for lag in network.lags
            if lag.within is not None and lag.after not in begun and room(lag, plan) < 0
        ]
        price = sum(over.ticks for over in overs)
        if found is not None and price >= found:
            continue
        nights = [Overrun("night", at=night.start) for night in network.nights]
        for spared in range(len(nights) + 1):
            cost = price + 4000 * spared
            if found is not None and cost >= found:
                break
            if any(not broken(network, _with(plan, (*overs, *some))) for some in _subsets(nights, spared)):
                found = cost
                break
    return found


def _subsets(nights: list[Overrun], size: int) -> list[tuple[Overrun, ...]]:
    return list(combinations(nights, size))


def _with(plan: Solution, overrun: tuple[Overrun, ...]) -> Solution:
    return Solution("good", plan.starts, plan.finishes, plan.crews, plan.ways, overrun=overrun)
