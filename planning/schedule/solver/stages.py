"""The solve itself: one stage after the other, each keeping what the earlier ones reached."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil

from ortools.sat.python import cp_model

from planning.schedule.network import Network, Overrun, Solution, Tick
from planning.schedule.solver import measure
from planning.schedule.solver.build import build
from planning.schedule.solver.dives import ONE, SHARE, dive, evenings
from planning.schedule.solver.goals import CHANGE, FINISH, LATE, LATER, Goal, goals
from planning.schedule.solver.limits import Limits, StopFlag
from planning.schedule.solver.model import Expr, Literal, Model, Place, TaskVars
from planning.schedule.solver.reach import NoPlan

OnBetter = Callable[[Solution], None]
Value = Callable[[Expr], int]

LOOK = 0.2
"""How much of the first stage's effort goes into a look whether the hint is a plan and the model makes sense."""

FOUND = (cp_model.OPTIMAL, cp_model.FEASIBLE)


def solve_in_stages(
    network: Network, hint: Solution | None, limits: Limits, on_better: OnBetter | None, stop: StopFlag
) -> Solution:
    """Solve with every fact kept; if that cannot be and an accepted plan stands, break as few facts as possible."""
    may_break = limits.elastic or network.before is not None
    found, left = _once(network, hint, limits, on_better, stop, elastic=False, patient=not may_break)
    if found.status in ("none", "unknown") and may_break and not stop.is_set():
        broken, _ = _once(network, hint, left, on_better, stop, elastic=True, patient=True)
        # Whether keeping everything is impossible was not settled if the first search ran out of time.
        return replace(broken, cut_short=broken.cut_short or found.cut_short)
    return found


def _once(
    network: Network,
    hint: Solution | None,
    limits: Limits,
    on_better: OnBetter | None,
    stop: StopFlag,
    elastic: bool,
    patient: bool,
) -> tuple[Solution, Limits]:
    """One model's answer, and what the wall clock leaves of the limits."""
    try:
        model = build(network, elastic)
    except NoPlan:
        return Solution("none"), limits
    wanted = [g for g in goals(network, elastic) if limits.stages is None or g.name in limits.stages]
    search = Search(model, limits, on_better, stop, patient)
    found = search.run(wanted, hint)
    return found, replace(limits, wall_s=max(0.0, limits.wall_s - search.wall_s))


class Search:
    """One model taken through its stages. `patient`: spend everything on finding a first plan, if need be."""

    def __init__(self, model: Model, limits: Limits, on_better: OnBetter | None, stop: StopFlag, patient: bool) -> None:
        self.model = model
        self.network = model.network
        self.limits = limits
        self.on_better = on_better
        self.stop = stop
        self.patient = patient
        self.best: Solution | None = None
        self.bounds: dict[str, int] = {}
        self.reached: dict[str, int] = {}
        self.cut_short = False
        self._hint: Solution | None = None
        self._effort = 0.0
        self.wall_s = 0.0
        self._status = cp_model.UNKNOWN

    def run(self, wanted: Sequence[Goal], hint: Solution | None) -> Solution:
        """All stages in turn, and the plan they led to."""
        self._hint = hint
        if hint is not None:
            self.model.hint(places_of(hint))
        shares = sum(goal.share for goal in wanted) or 1.0
        spare = 0.0
        for goal in wanted:
            if self.stop.is_set():
                self.cut_short = True
                break
            # What the stages before the main one leave over goes to it: nothing else is as hard.
            own = self.limits.effort * goal.share / shares
            allowed = own + spare if goal in (FINISH, CHANGE) else own
            self._effort = 0.0
            expr = goal.make(self.model)
            if isinstance(expr, int):
                self.bounds[goal.name] = expr
                spare += own
                continue
            if hint is not None and self.best is None:
                self.model.hint(places_of(hint))
            if not self._stage(goal, expr, allowed, hint is not None):
                break
            spare += max(0.0, allowed - self._effort)
        if self.best is None and self._status == cp_model.UNKNOWN:
            # Nothing to make better: any plan will do.
            self._minimise(None, 0, self.limits.effort, first=True)
        return self._result()

    def _stage(self, goal: Goal, expr: Expr, allowed: float, hinted: bool) -> bool:
        """One stage; False when there is nothing to go on with."""
        if goal is FINISH:
            self._bound_finish(expr)
        if hinted and self.best is None:
            # One kind of search first: several abort the process when loading finds the model contradictory.
            self._minimise(goal, expr, allowed * LOOK, first=True)
        if self._status == cp_model.INFEASIBLE:
            return False
        if goal is FINISH:
            self._dive(expr, allowed * SHARE)
        if hinted or self.best is not None:
            self._minimise(goal, expr, allowed)
        if self.best is None and self._status != cp_model.INFEASIBLE:
            self._minimise(goal, expr, self.limits.effort if self.patient else allowed, first=True)
            if self._status == cp_model.FEASIBLE:
                self._effort = 0.0
                self._minimise(goal, expr, allowed)
        if self.best is None:
            return False
        self.reached[goal.name] = goal.value(self.network, self.best)
        self.model.cp.add(expr <= self.reached[goal.name])
        return True

    def _bound_finish(self, expr: Expr) -> None:
        """No plan ends before the bound proved elsewhere, so the search may stop there."""
        bound = self.limits.finish_bound
        if self.best is None or measure.finish(self.network, self.best.finishes) >= bound:
            self.model.cp.add(expr >= bound)

    def _dive(self, expr: Expr, allowed: float) -> None:
        """Look for plans that end on an earlier day, each from scratch."""
        known = self.best or self._hint
        if known is None:
            return

        def try_by(latest: Tick, effort: float) -> bool:
            model = self.model.cp.clone()
            model.proto.clear_solution_hint()
            model.proto.clear_objective()
            model.add(expr <= latest)
            wall_s = (self.limits.wall_s - self.wall_s) * ONE
            solver = self._solver(effort, wall_s, first=True)
            with self.stop.watch(solver.stop_search):
                status = solver.solve(model)
            if status == cp_model.INFEASIBLE:
                self.model.cp.add(expr > latest)
            self._take(solver, status, None, wall_s)
            return status in FOUND

        def left() -> float:
            go_on = not self.stop.is_set() and self.wall_s < self.limits.wall_s
            return allowed - self._effort if go_on else 0.0

        asked = evenings(self.network, self.limits.finish_bound, known.finish)
        dive(asked, try_by, left)

    def _minimise(self, goal: Goal | None, expr: Expr, allowed: float, first: bool = False) -> None:
        """Search for what is best in one thing, or with `first` for any plan at all."""
        effort, wall_s = allowed - self._effort, self.limits.wall_s - self.wall_s
        if self.stop.is_set() or wall_s <= 0:
            self.cut_short = True
            return
        if effort <= 0:
            return
        if self.best is not None:
            self.model.hint(places_of(self.best))
        self.model.cp.minimize(expr)
        solver = self._solver(effort, wall_s, first)
        teller = _Teller(self, goal) if self.on_better is not None and goal is not None else None
        with self.stop.watch(solver.stop_search):
            self._status = solver.solve(self.model.cp, teller)
        self._take(solver, self._status, goal, wall_s)

    def _solver(self, effort: float, wall_s: float, first: bool) -> cp_model.CpSolver:
        solver = cp_model.CpSolver()
        parameters = solver.parameters
        parameters.random_seed = self.limits.seed
        parameters.max_deterministic_time = effort
        parameters.max_time_in_seconds = wall_s
        parameters.catch_sigint_signal = False
        parameters.linearization_level = 0
        # Start ranges have many ends and each would be probed: seconds of it, for a bound that is known elsewhere.
        parameters.cp_model_probing_level = 0
        parameters.max_presolve_iterations = 1
        # Measured on rooms of 30 to 140 tasks: this propagator costs more than it finds.
        parameters.use_precedences_in_disjunctive_constraint = False
        if first:
            # One search alone gets to a first plan soonest.
            parameters.num_workers = 1
            parameters.stop_after_first_solution = True
            return solver
        # Interleaved: the subsolvers take turns by their effort, not by the clock, so the plan repeats. Only one whole
        # search beside the neighborhoods.
        parameters.num_workers = self.limits.workers
        parameters.interleave_search = True
        parameters.subsolvers.append("no_lp")
        return solver

    def _take(self, solver: cp_model.CpSolver, status: object, goal: Goal | None, wall_s: float) -> None:
        self._effort += solver.deterministic_time
        self.wall_s += solver.wall_time
        settled = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
        if not settled and (self.stop.is_set() or solver.wall_time >= wall_s):
            self.cut_short = True
        if status not in FOUND:
            return
        self.best = self.read(solver.value)
        if goal is not None:
            self.bounds[goal.name] = ceil(solver.best_objective_bound - 1e-6)
        if self.on_better is not None:
            self.on_better(self.best)

    def read(self, value: Value) -> Solution:
        """The plan that the solver's values stand for."""
        places = {name: read_place(task, value) for name, task in self.model.tasks.items()}
        starts = {name: place.start for name, place in places.items()}
        finishes = {name: place.finish for name, place in places.items()}
        broken: tuple[Overrun, ...] = ()
        if self.model.elastic:
            broken = measure.overruns(self.network, starts, finishes)
            broken += tuple(Overrun("night", at=tick) for tick, kept in self.model.night_reads if not kept(places))
        return Solution(
            "good",
            starts,
            finishes,
            {name: place.crew for name, place in places.items()},
            {name: place.way for name, place in places.items()},
            finish=measure.finish(self.network, finishes),
            finish_bound=self._finish_bound(),
            overrun=broken,
        )

    def _finish_bound(self) -> Tick:
        """The latest tick before which no plan that is as good on what counts more can end."""
        counting = [task.reach.first_finish for task in self.model.tasks.values() if task.task.counts]
        known = [max(counting, default=0), self.limits.finish_bound, self.bounds.get(FINISH.name, 0)]
        later = self.bounds.get(LATER.name, 0)
        if later > 0 and self.network.before is not None:
            known.append(self.network.before.finish + later)
        return max(known)

    def _result(self) -> Solution:
        if self.best is None:
            none = self._status == cp_model.INFEASIBLE
            return Solution("none" if none else "unknown", cut_short=self.cut_short)
        best, bound = self.best, self._finish_bound()
        values = measure.values(self.network, best)
        on_time = self.reached.get(LATE.name, 0) <= self.bounds.get(LATE.name, 0)
        proved = on_time and best.finish <= bound and not best.overrun
        return replace(
            best,
            status="best" if proved else "good",
            finish_bound=min(bound, best.finish),
            stages=values,
            cut_short=self.cut_short,
        )


class _Teller(cp_model.CpSolverSolutionCallback):
    """Passes on each plan that is better than the one before. Runs on the solver's own thread."""

    def __init__(self, search: Search, goal: Goal) -> None:
        super().__init__()
        self._search = search
        self._least = goal.value(search.network, search.best) if search.best is not None else None

    def on_solution_callback(self) -> None:
        """The solver calls this for each solution it finds."""
        reached = round(self.objective_value)
        if self._least is None or reached < self._least:
            self._least = reached
            found = self._search.read(self.value)
            assert self._search.on_better is not None
            self._search.on_better(found)


def places_of(plan: Solution) -> dict[str, Place]:
    """A plan as places, for hints."""
    return {
        name: Place(start, plan.finishes[name], plan.crews.get(name, 0), plan.ways.get(name, 0))
        for name, start in plan.starts.items()
    }


def read_place(task: TaskVars, value: Value) -> Place:
    """Where the solver has put a task."""
    crew = next(n for n, literal in task.crews.items() if _holds(literal, value))
    way = next(n for n, literal in task.ways.items() if _holds(literal, value))
    return Place(value(task.start), value(task.finish), crew, way)


def _holds(literal: Literal | None, value: Value) -> bool:
    return literal is None or bool(value(literal))
