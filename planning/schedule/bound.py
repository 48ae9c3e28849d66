"""A tick before which no plan can end the job, proved without a solver."""

from planning.schedule.availability import FAR
from planning.schedule.energy import check, pools
from planning.schedule.network import Network, Tick
from planning.schedule.night_pairs import NightRules
from planning.schedule.pairs import all_pairs, force
from planning.schedule.shape import Shape, shape_of
from planning.schedule.trial import Refuted, Trial

DAY = 288


def finish_bound(network: Network) -> Tick:
    """No plan of the network ends (its last task that counts) before this tick.

    A trial finish is refuted when the earliest and latest places it leaves, by calendar, lags, forced orders of pairs
    and working time in every interval, contradict each other; the least finish not refuted is looked for by halving.
    Never above the best plan's finish. The horizon plus one when even the horizon is refuted: no plan fits at all.
    """
    shape = shape_of(network)
    finder = _Finder(shape)
    try:
        low = finder.least()
    except Refuted:
        return network.horizon + 1
    return finder.search(low, network.horizon)


class _Finder:
    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self.counting = [n for n, task in enumerate(shape.tasks) if task.counts]
        self.pairs = all_pairs(shape)
        self.nights = NightRules(shape)
        self.pools = pools(shape)
        self.base = Trial(shape)

    def least(self) -> Tick:
        """The finish that calendar and lags alone ask."""
        self.base.begin()
        return max((self.base.ef[n] for n in self.counting), default=0)

    def search(self, low: Tick, high: Tick) -> Tick:
        """The least finish not refuted between `low` and `high`, as far as halving finds it."""
        if self.refutes(high):
            return high + 1
        step = DAY
        while low + step < high and self.refutes(low + step):
            low += step + 1
            step *= 2
        high = min(high, low + step)
        low = self.possible(low)
        while low < high:
            middle = (low + high) // 2
            if self.refutes(middle):
                low = self.possible(middle + 1)
            else:
                high = middle
        return low

    def possible(self, tick: Tick) -> Tick:
        """The first tick from `tick` on at which a task that counts can end at all."""
        ends = [f for n in self.counting if (f := self._end(n, tick)) < FAR]
        return min(ends, default=tick)

    def _end(self, n: int, tick: Tick) -> Tick:
        if not self.base.free[n]:
            return self.base.ef[n] if self.base.ef[n] >= tick else FAR
        from planning.schedule.availability import first_start_ending, next_start

        best = FAR
        ticks = self.shape.tasks[n].ticks
        for crew in self.base.crews[n]:
            found = next_start(crew, first_start_ending(crew, ticks, tick))
            if found is not None and found[0] + ticks + found[1] >= tick:
                best = min(best, found[0] + ticks + found[1])
        return best

    def refutes(self, finish: Tick) -> bool:
        """Is it proved that no plan ends by `finish`?"""
        trial = self.base.copy()
        try:
            for n in self.counting:
                if not trial.free[n] and trial.ef[n] > finish:
                    return True
                trial.end_by(n, finish)
            trial.settle()
            force(trial, self.pairs)
            while self.nights.force(trial):
                force(trial, self.pairs)
            for pool in self.pools:
                check(trial, pool)
        except Refuted:
            return True
        return False
