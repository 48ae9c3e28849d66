"""Why no plan fits: a smallest set of facts that cannot all be kept.

Every fact gets a literal; the solver assumes them all and says which it needed to refute them. Then each of those is
dropped in turn, and stays dropped if the rest still clash.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from planning.schedule.network import Network, Tick
from planning.schedule.solver import measure
from planning.schedule.solver.build import build
from planning.schedule.solver.limits import StopFlag
from planning.schedule.solver.model import Fact, Model
from planning.schedule.solver.reach import NoPlan, is_visit
from planning.schedule.solver.values import due_values


@dataclass(frozen=True, slots=True)
class Clash:
    """What clashes. `facts` empty: nothing does, or it could not be settled in time (`settled` False).

    `smallest`: dropping any one of the facts lets the others be kept together; each was tried.
    """

    facts: tuple[Fact, ...]
    settled: bool
    smallest: bool


def find_clash(
    network: Network, finish_by: Tick | None = None, effort: float = 1.0, stop: StopFlag | None = None
) -> Clash:
    """The facts that keep the network from having a plan (that ends by `finish_by`, with every promise kept).

    `effort`: deterministic time for each question asked of the solver. People's hours are no fact here: they always
    hold. Raises NoPlan when some task fits into nobody's hours at all, ValueError for a network that makes no sense.
    """
    model = build(network, reified=True)
    _releases(model)
    _visits(model)
    _dues(model)
    if finish_by is not None:
        _finish(model, finish_by)
    return _Search(model, effort, stop or StopFlag()).run()


def _releases(model: Model) -> None:
    for task in model.tasks.values():
        release = model.network_task(task.id).release
        if not task.fixed and release > model.network.now:
            model.cp.add(task.start >= release).only_enforce_if(model.when(("release", task.id)))


def _visits(model: Model) -> None:
    for task in model.tasks.values():
        said = model.network_task(task.id)
        if not task.fixed and is_visit(said):
            (literal,) = model.when(("visit", task.id))
            model.within(task.start, measure.appointed(said), literal)


def _dues(model: Model) -> None:
    for due in model.network.dues:
        for name, curve in due.ends:
            task = model.tasks.get(name)
            if task is None or task.fixed:
                continue
            values = due_values(curve, task.finishes, due.tick)
            parts = model.ticks_in(task, False, tuple(value.when for value in values))
            for value, part in zip(values, parts, strict=True):
                literals = [*model.when(("due", due.what)), *([] if part is None else [part])]
                model.cp.add(task.finish + value.ticks <= due.tick).only_enforce_if(literals)


def _finish(model: Model, finish_by: Tick) -> None:
    for task in model.tasks.values():
        if task.task.counts and not task.fixed:
            model.cp.add(task.finish <= finish_by).only_enforce_if(model.when(("finish", str(finish_by))))


class _Search:
    def __init__(self, model: Model, effort: float, stop: StopFlag) -> None:
        self.model = model
        self.effort = effort
        self.stop = stop
        assert model.facts is not None
        self.facts = model.facts

    def run(self) -> Clash:
        """All facts first; then the ones the solver needed, one by one."""
        status, core = self._ask(list(self.facts))
        if status != cp_model.INFEASIBLE:
            return Clash((), status in (cp_model.OPTIMAL, cp_model.FEASIBLE), smallest=False)
        needed = core
        smallest = True
        for fact in core:
            rest = [other for other in needed if other != fact]
            status, smaller = self._ask(rest)
            if status == cp_model.INFEASIBLE:
                needed = [other for other in rest if other in smaller]
            elif status == cp_model.UNKNOWN:
                smallest = False
        return Clash(tuple(needed), settled=True, smallest=smallest and not self.stop.is_set())

    def _ask(self, assumed: Sequence[Fact]) -> tuple[cp_model.CpSolverStatus, list[Fact]]:
        """Can these facts be kept together? If not, those of them that were needed to say so."""
        if self.stop.is_set():
            return cp_model.UNKNOWN, []
        self.model.cp.clear_assumptions()
        self.model.cp.add_assumptions([self.facts[fact] for fact in assumed])
        solver = cp_model.CpSolver()
        # Presolve must be off: with it the solver has named facts that it did not need.
        solver.parameters.cp_model_presolve = False
        solver.parameters.num_workers = 1
        solver.parameters.max_deterministic_time = self.effort
        solver.parameters.catch_sigint_signal = False
        with self.stop.watch(solver.stop_search):
            status = solver.solve(self.model.cp)
        if status != cp_model.INFEASIBLE:
            return status, []
        named = set(solver.sufficient_assumptions_for_infeasibility())
        return status, [fact for fact in assumed if self.facts[fact].index in named]


__all__ = ["Clash", "NoPlan", "find_clash"]
