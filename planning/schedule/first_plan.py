"""A first plan in milliseconds: tasks laid one after another by how late they may begin, the best of a few orders."""

from random import Random

from planning.schedule.lay.board import Board
from planning.schedule.lay.laying import lay_all
from planning.schedule.lay.urgency import Urgency
from planning.schedule.network import Network, Solution
from planning.schedule.order.measures import solution_from
from planning.schedule.order.overrun import overruns
from planning.schedule.shape import Shape, groups, shape_of

TASK_TRIES = 400
"""Tasks times tries of a first plan unless the caller says how many (ours, no source)."""

MORE_TRIES = 4
"""How many more orders are laid while there is no plan at all (ours, no source)."""

LARGE, PATIENT_TRIES = 250, 30
"""From how many tasks on how many orders are laid when it may take a few seconds (ours, no source)."""

DAY = 288

SHAKES = (200.0, 60.0)
"""By how many ticks at most the order is shaken: that of the calendar, then that of the best plan so far."""


def first_plan(network: Network, tries: int | None = None, elastic: bool = False) -> Solution | None:
    """A whole plan that keeps every constraint, or None when no order tried gave one (which proves nothing).

    Best first by lateness against the dues, then finish, then person-days. `tries`: how many orders to lay (by default
    few). `elastic`: where no order keeps everything, a plan that breaks some windows, visits, nights or hours, named
    in `overrun`. Deterministic.
    """
    shape = shape_of(network)
    most = tries if tries is not None else max(1, min(8, TASK_TRIES // max(1, len(shape.tasks))))
    search = _Search(shape)
    best = search.run(most)
    if best is None and elastic:
        bent = Board(shape)
        lay_all(bent, groups(shape, False), search.variants[0], elastic=True)
        return solution_of(bent, bent=True)
    return None if best is None else solution_of(best)


def patient_plan(network: Network) -> Solution | None:
    """The first plan where a few seconds may be spent: on a large job many more orders are laid.

    There a solver finds nothing better in half a minute, and laying orders does (measured on 40 and 60 rooms).
    """
    return first_plan(network, PATIENT_TRIES if len(network.tasks) > LARGE else None)


class _Search:
    """Tries orders, learns from what failed, keeps the best board."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self.best: Board | None = None
        self.cost: tuple[int, ...] | None = None
        self.key: list[float] = []
        self.boost = [0.0] * len(shape.tasks)
        self.random = Random(7)
        self.groups = {False: groups(shape, False)}
        self.coming = Urgency(shape).variants()
        self.variants: list[list[float]] = []

    def run(self, tries: int) -> Board | None:
        """The best of so many orders; None when none of them could be laid."""
        for n in self.shape.visits:
            self._favour(n)
        whole = False
        for turn in range(tries + MORE_TRIES):
            if turn >= tries and self.best is not None:
                break
            key = self._next_key(turn)
            board = Board(self.shape)
            if whole not in self.groups:
                self.groups[whole] = groups(self.shape, whole)
            failed = lay_all(board, self.groups[whole], [k - b for k, b in zip(key, self.boost, strict=True)])
            if failed is None:
                self._keep(board, key)
            elif self.best is None:
                whole = bool(self.shape.network.nights) and not whole
                self._favour(failed)
        return self.best

    def _keep(self, board: Board, key: list[float]) -> None:
        cost = cost_of(board)
        if self.cost is None or cost < self.cost:
            self.best, self.cost, self.key = board, cost, key

    def _favour(self, n: int) -> None:
        """From now on lay this task, and all that must come before it, a day sooner."""
        seen, work = {n}, [n]
        while work:
            for other, _ in self.shape.into[work.pop()]:
                if other not in seen:
                    seen.add(other)
                    work.append(other)
        for each in seen:
            self.boost[each] += DAY

    def _next_key(self, turn: int) -> list[float]:
        """Every order of toilets as it comes, then shaken orders."""
        new = next(self.coming, None)
        if new is not None:
            self.variants.append(new)
            return new
        if not self.key:
            return self.variants[turn % len(self.variants)]
        kind = turn % len(SHAKES)
        base = self.key if kind else self.variants[turn // len(SHAKES) % len(self.variants)]
        return [tick + self.random.uniform(-1, 1) * SHAKES[kind] for tick in base]


def cost_of(board: Board) -> tuple[int, ...]:
    """Lateness, finish, person-days of what is laid."""
    stages = solution_of(board).stages
    return stages["late"], stages["finish"], stages["person_days"]


def solution_of(board: Board, bent: bool = False) -> Solution:
    """What is laid as a solution. `bent`: it was laid where it breaks something, so say what."""
    laid = [board.laid[n] for n in range(len(board.shape.tasks))]
    start, finish = [slot.start for slot in laid], [slot.finish for slot in laid]
    crew = [slot.crew for slot in laid]
    broken = overruns(board.shape, start, finish, crew) if bent else ()
    return solution_from(board.shape, start, finish, crew, [slot.way for slot in laid], broken)
