"""A tick before which no plan can end the job, proved without a solver."""

from planning.schedule.availability import FAR, first_start_ending, next_start
from planning.schedule.network import Network, Tick
from planning.schedule.proof.energy import check, pools
from planning.schedule.proof.night_pairs import Lasting, NightRules
from planning.schedule.proof.pairs import Pairs
from planning.schedule.proof.trial import Refuted, Trial
from planning.schedule.shape import Shape, shape_of

DAY = 288

MOST_NODES = 12
"""How many narrowed trials one trial finish may cost (measured: more, or other either-ors, refute hardly more)."""


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
        self.pairs = Pairs(shape)
        self.nights = NightRules(shape)
        self.pools = pools(shape)
        self.base = Trial(shape)
        self.nodes = 0

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
            self.nodes = MOST_NODES
            return self._refuted(trial)
        except Refuted:
            return True

    def _refuted(self, trial: Trial) -> bool:
        """Is the trial contradicted? The most pressing either-or of the nights is tried both ways, and again."""
        self.nodes -= 1
        try:
            trial.settle()
            self.pairs.force(trial)
            while self.nights.force(trial):
                self.pairs.force(trial)
            for pool in self.pools:
                check(trial, pool)
        except Refuted:
            return True
        if self.nodes <= 0:
            return False
        pair = min(self.nights.undecided(trial), key=lambda each: each[0], default=None)
        if pair is None:
            return False
        one, other = pair[1]
        return self._refuted_with(trial, one, other) and self._refuted_with(trial, other, one)

    def _refuted_with(self, trial: Trial, before: Lasting, behind: Lasting) -> bool:
        narrowed = trial.copy()
        try:
            self.nights.put(narrowed, before, behind)
        except Refuted:
            return True
        return self._refuted(narrowed)
