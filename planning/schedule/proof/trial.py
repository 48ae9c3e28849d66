"""Where every task can lie if the job is to end by a trial finish: earliest and latest places by calendar and lags.

Everything here is a relaxation: it may leave places no plan uses, but never takes one away that a plan does use.
"""

from collections.abc import Sequence

from planning.schedule.availability import FAR, after, earliest_from, last_start, latest_from, next_start
from planning.schedule.network import Crew, Tick
from planning.schedule.shape import Shape


class Refuted(Exception):
    """No plan ends by the trial finish."""


class Trial:
    """Bounds of each task: start in [es, ls], finish in [ef, lf]."""

    def __init__(self, shape: Shape, most_crews: int | None = None) -> None:
        """`most_crews`: look at no more crews of a task, for a quick view that proves nothing."""
        self.shape = shape
        self.crews: list[Sequence[Crew]] = [
            _different(task.crews) if most_crews is None else task.crews[:most_crews] for task in shape.tasks
        ]
        size = len(shape.tasks)
        self.es: list[Tick] = [0] * size
        self.ef: list[Tick] = [0] * size
        self.ls: list[Tick] = [FAR] * size
        self.lf: list[Tick] = [FAR] * size
        self.free = [task.fixed is None for task in shape.tasks]
        self.news_low: set[int] = set()
        self.news_high: set[int] = set()
        self.moved: set[int] = set()
        """Tasks narrowed since somebody last emptied this set."""

    def begin(self, to_horizon: bool = True) -> None:
        """Every task between its release, now and (unless left open) the horizon, then its lags."""
        network = self.shape.network
        for n, task in enumerate(self.shape.tasks):
            if task.fixed is not None:
                self.es[n] = self.ls[n] = task.fixed[0]
                self.ef[n] = self.lf[n] = task.fixed[1]
                self.news_low.add(n)
                self.news_high.add(n)
            else:
                self.start_from(n, max(network.now, task.release))
                if to_horizon:
                    self.end_by(n, network.horizon)
        self.settle()

    def copy(self) -> "Trial":
        """The same bounds, to be narrowed further."""
        other = Trial.__new__(Trial)
        other.shape, other.crews, other.free = self.shape, self.crews, self.free
        other.es, other.ef, other.ls, other.lf = self.es[:], self.ef[:], self.ls[:], self.lf[:]
        other.news_low, other.news_high = set(self.news_low), set(self.news_high)
        other.moved = set(self.moved)
        return other

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
        if start == self.es[n] and finish == self.ef[n]:
            return False
        self.es[n], self.ef[n] = start, finish
        self.news_low.add(n)
        self.moved.add(n)
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
        self.news_high.add(n)
        self.moved.add(n)
        return True

    def settle(self) -> None:
        """Carry every change along the lags, both ways, until nothing changes. Raises Refuted."""
        topo = self.shape.topo
        while self.news_low or self.news_high:
            if self.news_low:
                for n in topo:
                    if n in self.news_low:
                        self.news_low.discard(n)
                        self._carry_low(n)
            if self.news_high:
                for n in reversed(topo):
                    if n in self.news_high:
                        self.news_high.discard(n)
                        self._carry_high(n)

    def _carry_low(self, n: int) -> None:
        """Task n begins later than was thought: so do those after it, and those whose window it needs open."""
        for other, lag in self.shape.out_of[n]:
            base = self.es[n] if lag.from_start else self.ef[n]
            self.start_from(other, after(lag.wait, base))
        for other, lag in self.shape.into[n]:
            if lag.within is not None:
                need = earliest_from(lag.within, self.es[n])
                if lag.from_start:
                    self.start_from(other, need)
                else:
                    self.end_from(other, need)

    def _carry_high(self, n: int) -> None:
        """Task n begins sooner than was thought at the latest: so do those before it, and those in its window."""
        if self.ls[n] < FAR:
            for other, lag in self.shape.into[n]:
                by = latest_from(lag.wait, self.ls[n])
                if lag.from_start:
                    self.end_by(other, FAR, by)
                else:
                    self.end_by(other, by)
            for other, lag in self.shape.out_of[n]:
                if lag.within is not None:
                    self.end_by(other, FAR, after(lag.within, self.ls[n] if lag.from_start else self.lf[n]))


def _different(crews: Sequence[Crew]) -> Sequence[Crew]:
    """One crew for each different calendar."""
    if len(crews) == 1:
        return crews
    return list({(crew.starts, crew.pauses): crew for crew in crews}.values())
