"""Where each task can lie at all: its ranges by crew, cut by what must come before and after it."""

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from planning.schedule.network import Curve, Lag, Network, Task, Tick, at
from planning.schedule.solver.measure import appointed
from planning.schedule.solver.ranges import Ranges, clip, normal, shift, union


class NoPlan(Exception):
    """Something cannot lie anywhere, whatever the rest does; the message names it."""


@dataclass(frozen=True, slots=True)
class Shape:
    """Start ticks from which a task takes the same length with the same crews. `missed`: a visit not at its time."""

    ranges: Ranges
    extra: int
    crews: tuple[int, ...]
    missed: bool = False


@dataclass(slots=True)
class Reach:
    """A task's possible starts and finishes. A fixed task has no shapes."""

    task: Task
    shapes: tuple[Shape, ...]
    low: Tick
    high: Tick
    first_finish: Tick
    last_finish: Tick

    @property
    def starts(self) -> Ranges:
        """Every tick it may start at."""
        if not self.shapes:
            return ((self.low, self.low),)
        return self.shapes[0].ranges if len(self.shapes) == 1 else union(s.ranges for s in self.shapes)

    @property
    def finishes(self) -> Ranges:
        """Every tick it may finish at."""
        if not self.shapes:
            return ((self.first_finish, self.first_finish),)
        ticks = self.task.ticks
        return union(shift(s.ranges, ticks + s.extra) for s in self.shapes)

    def cut(self, low: Tick, high: Tick) -> bool:
        """Keep starts in [low, high] only; True if that changed anything. Raises NoPlan if nothing is left."""
        if low <= self.low and high >= self.high:
            return False
        kept = [
            Shape(ranges, s.extra, s.crews, s.missed)
            for s in self.shapes
            if (ranges := clip(s.ranges, low, high))
        ]  # fmt: skip
        if not kept:
            raise NoPlan(self.task.id)
        self.shapes = tuple(kept)
        self._measure()
        return True

    def _measure(self) -> None:
        ticks = self.task.ticks
        self.low = min(s.ranges[0][0] for s in self.shapes)
        self.high = max(s.ranges[-1][1] for s in self.shapes)
        self.first_finish = min(s.ranges[0][0] + ticks + s.extra for s in self.shapes)
        self.last_finish = max(s.ranges[-1][1] + ticks + s.extra for s in self.shapes)


def reach_of(network: Network, task: Task, elastic: bool) -> Reach:
    """The task by itself, between its release, now and the horizon."""
    if task.fixed is not None:
        start, finish = task.fixed
        return Reach(task, (), start, start, finish, finish)
    low = max(network.now, task.release)
    by_ranges: dict[tuple[Ranges, tuple[tuple[int, Ranges], ...]], list[int]] = {}
    for n, crew in enumerate(task.crews):
        pauses: dict[int, list[tuple[Tick, Tick]]] = {}
        for first, last, extra in crew.pauses:
            pauses.setdefault(extra, []).append((first, last))
        key = (normal(crew.starts), tuple((extra, normal(some)) for extra, some in sorted(pauses.items())))
        by_ranges.setdefault(key, []).append(n)
    shapes: list[Shape] = []
    for (starts, pauses_by_extra), crews in by_ranges.items():
        for extra, ranges in ((0, starts), *pauses_by_extra):
            inside = clip(ranges, low, network.horizon - task.ticks - extra)
            if inside:
                shapes.append(Shape(inside, extra, tuple(crews)))
    if elastic and is_visit(task):
        shapes += _missed(network, task, low)
    if not shapes:
        raise NoPlan(task.id)
    found = Reach(task, tuple(shapes), 0, 0, 0, 0)
    found._measure()
    return found


def is_visit(task: Task) -> bool:
    """Somebody from outside at an appointed time, who can be asked to come later?"""
    return bool(task.crews) and all(not crew.people for crew in task.crews) and task.ticks > 0


def _missed(network: Network, task: Task, low: Tick) -> list[Shape]:
    """Starts after all appointed ones, in anybody's working hours."""
    agreed = appointed(task)
    if not agreed:
        return []
    hours = normal((a, b - task.ticks) for shifts in network.person_days.values() for a, b in shifts)
    low = max(low, agreed[-1][1] + 1)
    late = clip(hours or ((low, network.horizon),), low, network.horizon - task.ticks)
    return [Shape(late, 0, tuple(range(len(task.crews))), missed=True)] if late else []


def all_lags(network: Network) -> tuple[Lag, ...]:
    """The network's lags into what has not begun, and each piece after the one before it."""
    fixed = {task.id for task in network.tasks if task.fixed is not None}
    pieces: dict[str, list[Task]] = {}
    for task in network.tasks:
        if task.piece_of is not None:
            pieces.setdefault(task.piece_of, []).append(task)
    lags = list(network.lags)
    said = {(lag.before, lag.after) for lag in lags if not lag.from_start}
    for some in pieces.values():
        some.sort(key=lambda task: task.piece)
        lags += [Lag(a.id, b.id) for a, b in pairwise(some) if (a.id, b.id) not in said]
    return tuple(lag for lag in lags if lag.after not in fixed)


def tighten(reaches: dict[str, Reach], lags: Sequence[Lag], horizon: Tick) -> None:
    """Cut every task by its waits, forwards and backwards, until nothing changes. Raises NoPlan."""
    _forwards(reaches, _by(lags, "before"), horizon)
    _backwards(reaches, _by(lags, "after"))


def _by(lags: Iterable[Lag], end: str) -> dict[str, list[Lag]]:
    found: dict[str, list[Lag]] = {}
    for lag in lags:
        found.setdefault(lag.before if end == "before" else lag.after, []).append(lag)
    return found


def _forwards(reaches: dict[str, Reach], out: dict[str, list[Lag]], horizon: Tick) -> None:
    todo, waiting = deque(reaches), set(reaches)
    while todo:
        name = todo.popleft()
        waiting.discard(name)
        reach = reaches[name]
        for lag in out.get(name, ()):
            counted = reach.low if lag.from_start else reach.first_finish
            after = reaches[lag.after]
            # A later finish is never ready earlier, so the earliest finish gives the earliest start.
            ready = counted + at(lag.wait, counted)
            if ready > horizon:
                raise NoPlan(lag.after)
            if after.cut(ready, after.high) and lag.after not in waiting:
                waiting.add(lag.after)
                todo.append(lag.after)


def _backwards(reaches: dict[str, Reach], into: dict[str, list[Lag]]) -> None:
    todo, waiting = deque(reversed(reaches)), set(reaches)
    while todo:
        name = todo.popleft()
        waiting.discard(name)
        reach = reaches[name]
        for lag in into.get(name, ()):
            before = reaches[lag.before]
            if not before.shapes:
                continue
            latest = reach.high - _least(lag.wait)
            if _end_by(before, latest, lag.from_start) and lag.before not in waiting:
                waiting.add(lag.before)
                todo.append(lag.before)


@lru_cache(maxsize=1024)
def _least(curve: Curve) -> int:
    return min(ticks for _, ticks in curve)


def _end_by(reach: Reach, latest: Tick, from_start: bool) -> bool:
    """Keep only starts that end (or start) by `latest`; True if that changed anything."""
    if (reach.high if from_start else reach.last_finish) <= latest:
        return False
    task = reach.task
    kept = []
    for s in reach.shapes:
        last = latest if from_start else latest - task.ticks - s.extra
        ranges = clip(s.ranges, s.ranges[0][0], last) if s.ranges[0][0] <= last else ()
        if ranges:
            kept.append(Shape(ranges, s.extra, s.crews, s.missed))
    if not kept:
        raise NoPlan(task.id)
    reach.shapes = tuple(kept)
    reach._measure()
    return True
