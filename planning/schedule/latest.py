"""The latest safe start of a step in any order of work: asked for one step, as it takes the solver a moment."""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.schedule.build.network_of import build
from planning.schedule.network import Network, Solution
from planning.schedule.repair import crew_of
from planning.trade.expand import expand
from planning.trade.noted import as_noted


@dataclass(frozen=True, slots=True)
class AnyOrder:
    """The latest start of a step if everything else may be put in another order. `proved`: none is later."""

    step: str
    latest: Instant
    proved: bool


def latest_in_any_order(job: Job, events: Sequence[Event], plan: Plan, step_id: str) -> AnyOrder | None:
    """How late a step (or piece) may start, in any order, before a window, a visit, a night, a promise or the plan's
    last finish is lost. Never sooner than the plan's own latest start in its order.

    None when it has begun or the plan itself breaks something. Raises KeyError for a step that is not in the plan.
    """
    from planning.schedule.solver.latest import latest_start

    plan.step(step_id)
    as_it_is, steps = as_noted(job, expand(job).steps, events, plan.made_at)
    network = build(as_it_is, steps, events, plan.made_at).network
    found = latest_start(network, step_id, solution_of(network, plan))
    return None if found is None else AnyOrder(step_id, network.instant(found.start), found.proved)


def solution_of(network: Network, plan: Plan) -> Solution:
    """A plan as a solution of its network: where each task lies, and who does it. Ways in are left open."""
    times = {step.id: (step.start, step.finish, step.people) for step in plan.steps}
    times.update({visit.id: (visit.start, visit.finish, ()) for visit in plan.visits})
    starts, finishes, crews = {}, {}, {}
    for task in network.tasks:
        if task.fixed is not None:
            starts[task.id], finishes[task.id] = task.fixed
        elif task.id in times:
            start, finish, people = times[task.id]
            starts[task.id], finishes[task.id] = network.tick(start), network.tick(finish)
            crews[task.id] = crew_of(task, people)
    finish = max((finishes[task.id] for task in network.tasks if task.counts and task.id in finishes), default=0)
    return Solution("good", starts, finishes, crews, {}, finish)
