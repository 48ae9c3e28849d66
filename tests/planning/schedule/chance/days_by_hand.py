"""Random working days and one drawn day at a time in plain Python: the judge of the chance code, sharing none of it."""

from random import Random
from statistics import NormalDist

import numpy as np

from planning.schedule.chance.scene import AT_ONCE, After, Band, Cure, Scene, Spans, Work

NORMAL = NormalDist()
Z90 = NORMAL.inv_cdf(0.9)
OPEN, EAT, EATEN, CLOSE = 440.0, 720.0, 750.0, 920.0


def steady_course(speed: float = 1.0) -> tuple[np.ndarray, np.ndarray]:
    """Air in which label minutes run at that speed for ever."""
    when = np.array([-1e5, 1e6])
    return when, (when - when[0]) * speed


def cure(label: Band, name: str, air: str = "", miss: float = 0.0, speed: float = 1.0) -> Cure:
    """A material in steady air."""
    when, done = steady_course(speed)
    return Cure(label, when, done, label.typical, name, air, miss)


def random_day(seed: int) -> Scene:
    """Four to seven works of two people in two rooms on one day: labour bands, waits that share an air, a window."""
    random = Random(seed)
    last: dict[str, int] = {}
    works: list[Work] = []
    for n in range(random.randint(4, 7)):
        who, room = random.choice(("you", "helper")), random.choice(("bath", "hall"))
        typical = random.uniform(20, 90)
        after = [After(last[name]) for name in {who} & set(last)]
        windows = []
        if room in last and random.random() < 0.7:
            label = random.uniform(20, 80)
            layer = cure(Band(label, label, label), f"label {n}", f"air {room}", random.choice((0.15, 0.3)))
            after.append(After(last[room], layer))
            if random.random() < 0.3:
                open_for = random.uniform(250, 400)
                windows.append(After(last[room], cure(Band(open_for, open_for, open_for), "w", f"air {room}", 0.3)))
        elif room in last:
            after.append(After(last[room], AT_ONCE))
        works.append(_work(random, n, typical, after, windows))
        last[who] = last[room] = n
    return Scene(works, OPEN)


def _work(random: Random, n: int, typical: float, after: list[After], windows: list[After]) -> Work:
    pause = random.random() < 0.5
    end = CLOSE + 600 - typical
    begins = [(OPEN, end)] if pause else [(OPEN, EAT - typical), (EATEN, end)]
    return Work(
        id=f"w{n}",
        name=f"labour {n}",
        labour=Band(typical * random.uniform(0.6, 0.9), typical, typical * random.uniform(1.2, 1.8)),
        start=OPEN,
        finish=OPEN + typical,
        begins=Spans.of([(a, b) for a, b in begins if a <= b]),
        after=after,
        windows=windows,
        meals=Spans.of([(EAT, EATEN)] if pause else []),
        day_end=CLOSE,
    )  # fmt: skip


def draw(random: Random) -> float:
    """One standard normal number, cut at its 1 and 99 % values."""
    return min(max(random.gauss(0, 1), NORMAL.inv_cdf(0.01)), NORMAL.inv_cdf(0.99))


def value(band: tuple[float, float, float], z: float) -> float:
    """What a band is worth so many deviations from its middle."""
    low, typical, high = band
    return max(low / 2, typical + z / Z90 * ((high - typical) if z > 0 else (typical - low)))


def one_day(scene: Scene, random: Random) -> list[tuple[float, float, float]]:
    """One drawn day, work after work: (start, finish, how much the earliest of its windows was missed by)."""
    numbers: dict[str, float] = {}

    def z(name: str) -> float:
        return numbers.setdefault(name, draw(random))

    def wait(material: Cure) -> float:
        label = material.label
        own = value((label.low, label.typical, label.high), z(material.name))
        return own * value((1 / (1 + material.miss), 1, 1 + material.miss), z(material.air)) if material.air else own

    lived: list[tuple[float, float, float]] = []
    for work in scene.work:
        ready = scene.now
        for tie in work.after:
            material = tie.length
            minutes = max(material.label.typical, wait(material)) if isinstance(material, Cure) else 0
            ready = max(ready, lived[tie.before][1] + minutes)
        start = next(
            (max(a, ready) for a, b in zip(work.begins.first, work.begins.last, strict=True) if b >= ready), ready
        )
        finish = start + value((work.labour.low, work.labour.typical, work.labour.high), z(work.name))
        for eat, eaten in zip(work.meals.first, work.meals.last, strict=True):
            finish += eaten - eat if start < eat < finish else 0
        missed = [
            start - lived[w.before][1] - min(w.length.label.typical, wait(w.length))
            for w in work.windows if isinstance(w.length, Cure)
        ]  # fmt: skip
        lived.append((start, finish, max(missed, default=-1.0)))
    return lived
