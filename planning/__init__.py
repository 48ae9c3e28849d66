"""The planning core of mudday: everything but the screen.

    job file    --+                                +--> screens, command line          (tui)
    record      --+--> job, events --> make_plan --+--> pull-list, slip, batch card    (supply)
    clock       --+         one pure function      +--> snapshot, stay-off sheets      (handover)

`read_job` turns a file into a `Job` or into all its `Problem`s; `make_plan(job, events, now)` decides when each step
happens; `judge` checks a plan by code that shares nothing with the solver; `Record` keeps what happened. Imports go
one way: job <- quantities <- trade <- schedule <- supply <- handover, with records (disk and clock) on the outside.
The names below are loaded when they are first asked for, so that importing `planning` costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from planning.job.events import Event as Event
    from planning.job.job import Job as Job
    from planning.job.plan import Plan as Plan
    from planning.job.plan_json import from_json as from_json
    from planning.job.plan_json import to_json as to_json
    from planning.job.problem import Problem as Problem
    from planning.records.job_file import read_job as read_job
    from planning.records.record import Record as Record
    from planning.schedule.choices import make_choices as make_choices
    from planning.schedule.judge import judge as judge
    from planning.schedule.make_plan import make_plan as make_plan
    from planning.schedule.no_plan import NoPlan as NoPlan
    from planning.trade.expand import expand as expand

_HOME = {
    "Event": "planning.job.events",
    "Job": "planning.job.job",
    "NoPlan": "planning.schedule.no_plan",
    "Plan": "planning.job.plan",
    "Problem": "planning.job.problem",
    "Record": "planning.records.record",
    "expand": "planning.trade.expand",
    "from_json": "planning.job.plan_json",
    "judge": "planning.schedule.judge",
    "make_choices": "planning.schedule.choices",
    "make_plan": "planning.schedule.make_plan",
    "read_job": "planning.records.job_file",
    "to_json": "planning.job.plan_json",
}

__all__ = [*_HOME]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'planning' has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)
