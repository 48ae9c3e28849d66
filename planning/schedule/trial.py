"""Where every task can lie if the job is to end by a trial finish: earliest and latest places by calendar and lags.

Everything here is a relaxation: it may leave places no plan uses, but never takes one away that a plan does use.
"""

from collections import deque
from collections.abc import Sequence

from planning.schedule.availability import FAR, after, earliest_from, last_start, latest_from, next_start
from planning.schedule.network import Crew, Tick
from planning.schedule.shape import Shape


class Refuted(Exception):
    """No plan ends by the trial finish."""


class Trial:
    """Bounds of each task: start in [es, ls], finish in [ef, lf]."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self.crews: list[Sequence[Crew]] = [_different(task.crews) for task in shape.tasks]
        size = len(shape.tasks)
        self.es: list[Tick] = [0] * size
        self.ef: list[Tick] = [0] * size
        self.ls: list[Tick] = [FAR] * size
        self.lf: list[Tick] = [FAR] * size
        self.free = [task.fixed is None for task in shape.tasks]
        self.todo: deque[int] = deque()
        self.waiting = [False] * size

    def begin(self) -> None:
        """Every task between its release, now and the horizon, then its lags."""
        network = self.shape.network
        for n, task in enumerate(self.shape.tasks):
            if task.fixed is not None:
                self.es[n] = self.ls[n] = task.fixed[0]
                self.ef[n] = self.lf[n] = task.fixed[1]
                self._touch(n)
            else:
                self.start_from(n, max(network.now, task.release))
                self.end_by(n, network.horizon)
        self.settle()

    def copy(self) -> "Trial":
        """The same bounds, to be narrowed further."""
        other = Trial.__new__(Trial)
        other.shape, other.crews, other.free = self.shape, self.crews, self.free
        other.es, other.ef, other.ls, other.lf = self.es[:], self.ef[:], self.ls[:], self.lf[:]
        other.todo, other.waiting = deque(), [False] * len(self.es)
        return other

    def _touch(self, n: int) -> None:
        if not self.waiting[n]:
            self.waiting[n] = True
            self.todo.append(n)

    def start_from(self, n: int, tick: Tick) -> bool:
        """Task n begins no sooner than that tick; True when that is news. Raises Refuted."""
        if tick <= self.es[n] and self.ef[n]:
            return False
        if not self.free[n]:
            return False
        start = finish = FAR
        ticks = self.shape.tasks[n].ticks
        for crew in self.crews[n]:
            found = next_start(crew, tick)
            if found is not None:
                start = min(start, found[0])
                finish = min(finish, found[0] + ticks + found[1])
        if start > self.ls[n] or finish > self.lf[n] or start >= FAR:
            raise Refuted
        self.es[n], self.ef[n] = start, finish
        self._touch(n)
        return True

    def end_from(self, n: int, tick: Tick) -> bool:
        """Task n ends no sooner than that tick; True when that is news."""
        if tick <= self.ef[n] or not self.free[n]:
            return False
        longest = self.shape.tasks[n].ticks + max(
            (extra for crew in self.crews[n] for _, _, extra in crew.pauses), default=0
        )
        return self.start_from(n, tick - longest)

    def end_by(self, n: int, tick: Tick, start_by: Tick = FAR) -> bool:
        """Task n ends by that tick and begins by `start_by`; True when that is news. Raises Refuted."""
        if (tick >= self.lf[n] and start_by >= self.ls[n]) or not self.free[n]:
            return False
        tick, start_by = min(tick, self.lf[n]), min(start_by, self.ls[n])
        start = finish = -1
        ticks = self.shape.tasks[n].ticks
        for crew in self.crews[n]:
            last = last_start(crew, ticks, tick, start_by)
            if last is not None:
                start = max(start, last)
                found = next_start(crew, last)
                finish = max(finish, last + ticks + (found[1] if found is not None else 0))
        if start < self.es[n] or finish < self.ef[n]:
            raise Refuted
        if start == self.ls[n] and finish == self.lf[n]:
            return False
        self.ls[n], self.lf[n] = start, finish
        self._touch(n)
        return True

    def settle(self) -> None:
        """Carry every change along the lags, both ways, until nothing changes. Raises Refuted."""
        while self.todo:
            n = self.todo.popleft()
            self.waiting[n] = False
            for other, lag in self.shape.out_of[n]:
                begin, last = (self.es[n], self.ls[n]) if lag.from_start else (self.ef[n], self.lf[n])
                self.start_from(other, after(lag.wait, begin))
                if lag.within is not None and last < FAR:
                    self.end_by(other, FAR, after(lag.within, last))
            for other, lag in self.shape.into[n]:
                if self.ls[n] < FAR:
                    by = latest_from(lag.wait, self.ls[n])
                    self.end_by(other, FAR if lag.from_start else by, by if lag.from_start else FAR)
                if lag.within is not None:
                    need = earliest_from(lag.within, self.es[n])
                    if lag.from_start:
                        self.start_from(other, need)
                    else:
                        self.end_from(other, need)


def _different(crews: Sequence[Crew]) -> Sequence[Crew]:
    """One crew for each different calendar."""
    if len(crews) == 1:
        return crews
    return list({(crew.starts, crew.pauses): crew for crew in crews}.values())
