"""In which order to lay tasks: by how late each could begin if the job were to end soon."""

from collections.abc import Iterator, Sequence
from itertools import product

from planning.schedule.availability import FAR, latest_from
from planning.schedule.network import Tick
from planning.schedule.proof.night_pairs import Lasting, NightRules
from planning.schedule.proof.trial import Refuted, Trial
from planning.schedule.shape import Shape

DAY = 288
MOST_CHOICES = 2
"""Pairs of toilets whose order is tried both ways (ours, no source)."""


class Urgency:
    """Makes keys (one number a task, the least is laid first) from latest starts under a trial finish."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self.nights = NightRules(shape)
        self.base: Trial | None = Trial(shape, most_crews=2)
        try:
            self.base.begin(to_horizon=False)
        except Refuted:
            self.base = None

    def variants(self) -> Iterator[list[float]]:
        """Keys by calendar, one for each order in which toilets can be taken out; always at least one."""
        none = True
        if self.base is not None:
            long = [pair for pair in self.nights.apart if self._is_toilet(pair[0]) and self._is_toilet(pair[1])]
            for choice in product((False, True), repeat=min(len(long), MOST_CHOICES)):
                orders = [pair[::-1] if turned else pair for pair, turned in zip(long, choice, strict=False)]
                key = self.key(orders)
                if key is not None:
                    none = False
                    yield key
        if none:
            rank = {n: float(at) for at, n in enumerate(self.shape.topo)}
            yield [rank[n] for n in range(len(rank))]

    @staticmethod
    def _is_toilet(lasting: Lasting) -> bool:
        return lasting.block.first != lasting.block.last

    def key(self, orders: Sequence[tuple[Lasting, Lasting]]) -> list[float] | None:
        """Latest starts for the finish at which calendar and lags put the job if toilets go in this order."""
        assert self.base is not None
        trial = self.base.copy()
        try:
            for _ in range(len(orders) + 1):
                for before, behind in orders:
                    self.nights.put(trial, before, behind)
                    trial.settle()
            finish = max((trial.ef[n] for n, task in enumerate(self.shape.tasks) if task.counts), default=0)
            self._end_by(trial, finish, orders)
        except Refuted:
            return None
        self._keep_dues(trial, orders)
        return [float(tick) if tick < FAR else float(self.shape.network.horizon) for tick in trial.ls]

    def _end_by(self, trial: Trial, finish: Tick, orders: Sequence[tuple[Lasting, Lasting]]) -> None:
        for n, task in enumerate(self.shape.tasks):
            if task.counts:
                trial.end_by(n, finish)
        trial.settle()
        for before, behind in orders:
            self.nights.put(trial, before, behind)
            trial.settle()

    def _keep_dues(self, trial: Trial, orders: Sequence[tuple[Lasting, Lasting]]) -> None:
        """Cut latest starts by each due that can be kept at all."""
        for due in sorted(self.shape.network.dues, key=lambda each: each.tick):
            tried = trial.copy()
            try:
                for name, curve in due.ends:
                    if name in self.shape.index:
                        tried.end_by(self.shape.index[name], latest_from(curve, due.tick))
                tried.settle()
                for before, behind in orders:
                    self.nights.put(tried, before, behind)
                    tried.settle()
            except Refuted:
                continue
            trial.es, trial.ef, trial.ls, trial.lf = tried.es, tried.ef, tried.ls, tried.lf
