"""How late one task may start, whatever the order of the others, before something is lost."""

from dataclasses import dataclass

from ortools.sat.python import cp_model

from planning.schedule.network import Network, Solution, Tick
from planning.schedule.solver import measure
from planning.schedule.solver.build import build
from planning.schedule.solver.goals import late, later_than_told
from planning.schedule.solver.reach import NoPlan
from planning.schedule.solver.stages import FOUND, places_of

EFFORT = 0.3
"""Deterministic time that the question may take (ours)."""


@dataclass(frozen=True, slots=True)
class LatestStart:
    """The latest start found, and whether it is proved that none is later."""

    start: Tick
    proved: bool


def latest_start(network: Network, task: str, plan: Solution) -> LatestStart | None:
    """The latest start of a task in any order of work that loses nothing the plan keeps.

    Nothing lost: every window, visit and night is kept, no promise is later than in the plan, and the job ends by its
    finish. None when the task has begun or the plan itself breaks something.
    """
    try:
        model = build(network)
    except NoPlan:
        return None
    own = model.tasks[task]
    if own.fixed or plan.overrun:
        return None
    finish = measure.finish(network, plan.finishes)
    for each in model.tasks.values():
        if each.task.counts and not each.fixed:
            model.cp.add(each.finish <= finish)
    told = network.before is not None
    lost = later_than_told(model) if told else late(model)
    if not isinstance(lost, int):
        most = measure.later_than_told if told else measure.late
        model.cp.add(lost <= most(network, plan.finishes))
    model.hint(places_of(plan))
    model.cp.maximize(own.start)
    return _solved(model.cp, own.start)


def _solved(cp: cp_model.CpModel, start: cp_model.LinearExprT) -> LatestStart | None:
    solver = cp_model.CpSolver()
    solver.parameters.max_deterministic_time = EFFORT
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 0
    solver.parameters.cp_model_probing_level = 0
    solver.parameters.catch_sigint_signal = False
    status = solver.solve(cp)
    if status not in FOUND:
        return None
    return LatestStart(int(solver.value(start)), status == cp_model.OPTIMAL)
