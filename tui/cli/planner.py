"""Planning in this process: what the command line uses. The screen plans in a helper process instead."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.words import Instant

if TYPE_CHECKING:
    from planning.job.choice import Choice


class HerePlanner:
    """A `tui.session.Planner` that solves where it is called; the solver is imported with the first plan."""

    def plan(self, job: Job, events: Sequence[Event], now: Instant) -> Plan:
        """The plan from `now`. Raises NoPlan."""
        from planning.schedule.make_plan import make_plan

        return make_plan(job, events, now)

    def choices(self, job: Job, events: Sequence[Event], now: Instant) -> "list[Choice]":
        """At most three ways to go on. Raises NoPlan."""
        from planning.supply.errand_choices import choices_with_errands

        return choices_with_errands(job, events, now)
