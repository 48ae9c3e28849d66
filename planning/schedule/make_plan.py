"""`make_plan(job, events, now)`: the one function that decides when a step happens.

The first plan (pure Python) gives a valid answer at once; CP-SAT improves it within a fixed effort and proves what it
can; the order is then tightened, explained and judged. An accepted plan is kept while the facts allow it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from planning.job.chance import Chance
from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan, Proof
from planning.job.step import Step
from planning.job.words import AXIS_MIN, Instant
from planning.schedule.assemble import assemble
from planning.schedule.bound import finish_bound
from planning.schedule.build.network_of import Built, build
from planning.schedule.clash import check_possible, no_plan
from planning.schedule.first_plan import first_plan, patient_plan
from planning.schedule.judge import judge
from planning.schedule.network import Due, Network, Solution, at
from planning.schedule.no_plan import NoPlan
from planning.schedule.propagate import tighten
from planning.schedule.reasons import explain
from planning.schedule.repair import as_before, repair
from planning.trade.expand import expand
from planning.trade.noted import noted_job

Solve = Callable[[Network, Solution | None, int], Solution]
"""(network, hint, finish bound in ticks) -> the best solution found."""

SPARE_DAYS = 4


@dataclass(frozen=True, slots=True)
class Answer:
    """A solution with how good it is proved to be."""

    solution: Solution
    proof: Proof


def make_plan(
    job: Job, events: Sequence[Event], now: Instant, *, solve: Solve | None = None, improve: bool = True
) -> Plan:  # fmt: skip
    """The plan of a job from `now`: same inputs, same plan.

    `solve` improves the first plan (default: CP-SAT in this process). With `improve` False the answer is the instant
    one: the first plan, or the accepted plan pushed right; it is judged all the same. `plan.broken` names the rules
    that the facts force it to break (a window that shut while the setter was late). Raises NoPlan when a step can
    never be done, or no order of work keeps the rules.
    """
    job = noted_job(job, events)
    steps = expand(job).steps
    built = build(job, steps, events, now)
    check_possible(built, events)
    if built.network.before is None:
        answer = _fresh(built, events, solve, improve)
    else:
        answer = _reshuffled(built, solve, improve)
    return finished_plan(built, answer, job, steps, events, drawn=improve)


def finished_plan(
    built: Built, answer: Answer, job: Job, steps: Sequence[Step], events: Sequence[Event], drawn: bool = False
) -> Plan:  # fmt: skip
    """Tighten, explain, assemble and judge a solution. `drawn`: say too how likely it is to hold."""
    plan = assemble(built, answer.solution, explain(built, answer.solution), answer.proof)
    return replace(
        plan,
        broken=judge(plan, job, steps, events),
        chance=_chance(built, answer.solution, plan) if drawn else None,
    )


def _chance(built: Built, solution: Solution, plan: Plan) -> Chance | None:
    """Drawn only for a plan that is to stay; numpy is imported only when it is needed."""
    from planning.schedule.chance.of_plan import chance_of

    return chance_of(built, solution, plan)


def _fresh(built: Built, events: Sequence[Event], solve: Solve | None, improve: bool) -> Answer:
    network = built.network
    first = patient_plan(network) if improve else first_plan(network)
    bound = finish_bound(network)
    if not improve:
        if first is None and _begun(network):
            return _proved(repair(network, NOTHING_BEFORE), 0)
        if first is None:
            raise NoPlan(["no plan found at once; let the planner look longer"])
        return _proved(tighten(network, first), bound)
    better = (solve or solve_here)(_shortened(network, first), first, bound)
    if better.status == "none" and _begun(network):
        return _proved(repair(network, NOTHING_BEFORE), 0)
    if better.status == "none":
        raise no_plan(built, events)
    if better.status == "unknown":
        if first is None:
            raise no_plan(built, events, "No plan was found in the time given; one may still exist.")
        better = replace(first, cut_short=True)
    return _proved(tighten(network, better), max(bound, better.finish_bound))


NOTHING_BEFORE = Solution("good")
"""No plan was taken yet: nothing to keep of it."""


def _begun(network: Network) -> bool:
    """Has any work begun? Then there is always a plan, were it one that names the facts it breaks."""
    return any(task.fixed is not None and task.counts for task in network.tasks)


def _shortened(network: Network, first: Solution | None) -> Network:
    """The network with no more days than the first plan needs: the solver finds nothing better beyond them."""
    if first is None:
        return network
    return replace(network, horizon=min(network.horizon, first.finish + SPARE_DAYS * 24 * 60 // AXIS_MIN))


def _reshuffled(built: Built, solve: Solve | None, improve: bool) -> Answer:
    """Keep the accepted plan while it holds; else break as few facts as possible and change as little as possible."""
    network = built.network
    accepted = built.site.progress.accepted
    assert accepted is not None
    before = as_before(network)
    kept = repair(network, before)
    if _holds(network, kept, before):
        return Answer(kept, accepted.proof)
    if not improve:
        return _proved(kept, 0)
    better = (solve or solve_here)(_shortened(network, kept), kept, 0)
    if better.status in ("none", "unknown"):
        better = replace(kept, cut_short=better.status == "unknown")
    return _proved(better, better.finish_bound)


def _holds(network: Network, kept: Solution, before: Solution) -> bool:
    """Does the accepted order still do, pushed right: nothing broken, finish and promises as before?"""
    if kept.overrun or network.before is None or kept.finish > network.before.finish:
        return False
    return all(_over(due, kept) <= max(due.tick, _over(due, before)) for due in network.dues)


def _over(due: Due, solution: Solution) -> int:
    """The tick at which a promise is kept."""
    return max(solution.finishes[task] + at(curve, solution.finishes[task]) for task, curve in due.ends)


def _proved(solution: Solution, bound: int) -> Answer:
    """What is known of the finish: proved when it meets the bound."""
    finish = solution.finish
    best = finish <= bound or solution.status == "best"
    sooner = 0 if best else (finish - bound) * AXIS_MIN if bound else None
    return Answer(solution, Proof(best, sooner, solution.cut_short))


def solve_here(network: Network, hint: Solution | None, bound: int) -> Solution:
    """CP-SAT in this process; imported only when it is needed."""
    from planning.schedule.solver import Limits, solve

    return solve(network, hint, Limits(finish_bound=bound))
