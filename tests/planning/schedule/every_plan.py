"""The best finish of a tiny network by trying every start, crew and way of every task: slow, simple, sure."""

from dataclasses import replace

from planning.schedule.network import Network, Solution, Task
from tests.planning.schedule.check_for_first_plan import broken, look_up

Place = tuple[int, int, int, int]
"""Start, finish, crew, way."""


def best_finish(network: Network) -> int | None:
    """The least finish of any plan; None when there is no plan. Lags must go from earlier to later tasks."""
    return _Search(network).run()


class _Search:
    def __init__(self, network: Network) -> None:
        self.network = network
        self.places = [_places(network, task) for task in network.tasks]
        self.index = {task.id: n for n, task in enumerate(network.tasks)}
        self.laid: list[Place] = []
        self.best: int | None = None

    def run(self) -> int | None:
        self._next()
        return self.best

    def _next(self) -> None:
        n = len(self.laid)
        if n == len(self.places):
            finish = max((p[1] for p, t in zip(self.laid, self.network.tasks, strict=True) if t.counts), default=0)
            if (self.best is None or finish < self.best) and not broken(self.network, self._plan()):
                self.best = finish
            return
        counts = self.network.tasks[n].counts
        for place in self.places[n]:
            if counts and self.best is not None and place[1] >= self.best:
                continue
            if self._fits(n, place):
                self.laid.append(place)
                self._next()
                self.laid.pop()

    def _fits(self, n: int, place: Place) -> bool:
        """Quick look at what is laid; the judge looks at everything once all is laid."""
        task = self.network.tasks[n]
        for lag in self.network.lags:
            if lag.after == task.id and task.fixed is None:
                before = self.laid[self.index[lag.before]]
                base = before[0] if lag.from_start else before[1]
                shut = lag.within is not None and place[0] > base + look_up(lag.within, base)
                if shut or place[0] < base + look_up(lag.wait, base):
                    return False
        people = set(task.crews[place[2]].people)
        for m, other in enumerate(self.laid):
            if other[0] < place[1] and place[0] < other[1]:
                two_fixed = task.fixed is not None and self.network.tasks[m].fixed is not None
                if people & set(self.network.tasks[m].crews[other[2]].people) and not two_fixed:
                    return False
        return True

    def _plan(self) -> Solution:
        names = [task.id for task in self.network.tasks]
        columns = [dict(zip(names, column, strict=True)) for column in zip(*self.laid, strict=True)]
        return replace(Solution("good"), starts=columns[0], finishes=columns[1], crews=columns[2], ways=columns[3])


def _places(network: Network, task: Task) -> list[Place]:
    if task.fixed is not None:
        return [(*task.fixed, 0, way) for way in range(len(task.ways))]
    found = set()
    for way in range(len(task.ways)):
        for c, crew in enumerate(task.crews):
            for first, last, extra in (*((a, b, 0) for a, b in crew.starts), *crew.pauses):
                for start in range(max(first, network.now, task.release), last + 1):
                    if start + task.ticks + extra <= network.horizon:
                        found.add((start, start + task.ticks + extra, c, way))
    return sorted(found)
