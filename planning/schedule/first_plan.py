"""A first plan in milliseconds: tasks laid one after another by how late they may begin, the best of a few orders."""

from collections.abc import Mapping
from random import Random

from planning.schedule.availability import after, days_worked
from planning.schedule.board import Board
from planning.schedule.laying import lay_all
from planning.schedule.network import Network, Solution
from planning.schedule.shape import Shape, groups, shape_of
from planning.schedule.urgency import Urgency

TASK_TRIES = 900
"""Tasks times tries of a first plan unless the caller says how many: about 30 ms (measured, not a promise)."""


def first_plan(network: Network, tries: int | None = None, elastic: bool = False) -> Solution | None:
    """A whole plan that keeps every constraint, or None when no order tried gave one (which proves nothing).

    Best first by lateness against the dues, then finish, then person-days. `tries`: how many orders to lay (by
    default about 30 ms' worth). `elastic`: where no order keeps everything, a plan that breaks some windows, visits,
    nights or hours, named in `overrun`. Deterministic.
    """
    shape = shape_of(network)
    most = tries if tries is not None else max(2, min(8, TASK_TRIES // max(1, len(shape.tasks))))
    best = _Search(shape).run(most)
    if best is None and elastic:
        board = Board(shape)
        lay_all(board, groups(shape, False), Urgency(shape).variants()[0], elastic=True)
        best = board
    return None if best is None else solution_of(best)


class _Search:
    """Tries orders, learns from what failed, keeps the best board."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self.best: Board | None = None
        self.cost: tuple[int, int, int] | None = None
        self.key: list[float] = []
        self.boost = [0.0] * len(shape.tasks)
        self.random = Random(7)
        self.groups = {whole: groups(shape, whole) for whole in (False, True)}

    def run(self, tries: int) -> Board | None:
        variants = Urgency(self.shape).variants()
        for n in self.shape.visits:
            self._favour(n)
        whole = False
        for turn in range(tries):
            key = variants[turn % len(variants)] if turn < len(variants) or not self.key else self._shaken(turn)
            board = Board(self.shape)
            failed = lay_all(board, self.groups[whole], [k - b for k, b in zip(key, self.boost, strict=True)])
            if failed is None:
                self._keep(board, key)
            else:
                whole = bool(self.shape.network.nights) and not whole
                self._favour(failed)
        return self.best

    def _keep(self, board: Board, key: list[float]) -> None:
        cost = cost_of(board)
        if self.cost is None or cost < self.cost:
            self.best, self.cost, self.key = board, cost, key

    def _favour(self, n: int) -> None:
        """Next time lay what failed, and all that must come before it, sooner."""
        seen, work = {n}, [n]
        while work:
            for other, _ in self.shape.into[work.pop()]:
                if other not in seen:
                    seen.add(other)
                    work.append(other)
        for each in seen:
            self.boost[each] += 288.0

    def _shaken(self, turn: int) -> list[float]:
        """The best key so far, a little shaken."""
        return [k + self.random.uniform(-1, 1) * 40 for k in self.key]


def lateness(network: Network, finishes: Mapping[str, int]) -> int:
    """How many ticks the dues are late, all together."""
    late = 0
    for due in network.dues:
        over = [after(curve, finishes[name]) for name, curve in due.ends if name in finishes]
        late += max(0, max(over, default=0) - due.tick)
    return late


def cost_of(board: Board) -> tuple[int, int, int]:
    """Lateness, finish, person-days of what is laid."""
    shape = board.shape
    finishes = [board.laid[n].finish for n in range(len(shape.tasks))]
    finish = max((f for f, task in zip(finishes, shape.tasks, strict=True) if task.counts), default=0)
    by_name = {task.id: f for task, f in zip(shape.tasks, finishes, strict=True)}
    return lateness(shape.network, by_name), finish, days_worked(shape.network, board.busy)


def solution_of(board: Board) -> Solution:
    """What is laid as a solution."""
    late, finish, days = cost_of(board)
    ids = [task.id for task in board.shape.tasks]
    laid = board.laid
    return Solution(
        status="good",
        starts={name: laid[n].start for n, name in enumerate(ids)},
        finishes={name: laid[n].finish for n, name in enumerate(ids)},
        crews={name: laid[n].crew for n, name in enumerate(ids)},
        ways={name: laid[n].way for n, name in enumerate(ids)},
        finish=finish,
        stages={"late": late, "finish": finish, "person_days": days},
    )
