"""The judge: does a plan keep every rule? It shares nothing with the solver, so that one cannot excuse the other."""

from collections.abc import Sequence

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Broken, Plan
from planning.job.step import Step
from planning.schedule.rules import ALL_RULES, Case


def judge(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event] = ()) -> tuple[Broken, ...]:
    """Every rule that the plan breaks, by number, each with the step that should move first and a sentence.

    `steps` are the job's own (`trade.expand`), `events` the record up to the moment the plan was made. Judged against
    those, not against what the plan says of itself; where the plan says something of its own times (foot-ready,
    windows, stay-offs, finish) it must follow from them: number 0. Nothing is named that can no longer be changed.
    """
    case = Case(plan, job, steps, events)
    found = dict.fromkeys(broken for rule in ALL_RULES for broken in rule.broken(case))
    return tuple(sorted(found, key=lambda broken: broken.rule))
