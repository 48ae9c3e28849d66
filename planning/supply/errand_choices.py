"""The setter's choices with the drive that mends a shortage among them: a pour does not start without its bags."""

from collections.abc import Callable, Sequence
from datetime import timedelta

from planning.job.choice import Choice
from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.words import Instant
from planning.schedule.choices import MOST_CHOICES, Told, make_choices
from planning.schedule.make_plan import Solve, make_plan
from planning.schedule.no_plan import NoPlan
from planning.schedule.ways_out.costs import cost_of, cost_words
from planning.supply.shortages import shortage_errands
from planning.trade.expand import expand
from planning.trade.noted import as_noted

SOON_DAYS = 1
"""A shortage of today or tomorrow is put to the setter; a later one stands on the pull-list (ours, no source)."""


def choices_with_errands(
    job: Job, events: Sequence[Event], now: Instant, *, solve: Solve | None = None,
    on_more: Told | None = None, stopped: Callable[[], bool] = lambda: False,
) -> list[Choice]:  # fmt: skip
    """The choices of `make_choices`, and first the drive for what runs short by tomorrow. Raises NoPlan as it does."""
    found = make_choices(job, events, now, solve=solve, on_more=on_more, stopped=stopped)
    drive = _drive(job, events, now, found[0], solve) if found else None
    return [drive, *found][:MOST_CHOICES] if drive is not None else found


def _drive(job: Job, events: Sequence[Event], now: Instant, other: Choice, solve: Solve | None) -> Choice | None:
    from planning.schedule.ways_out.situation import as_events

    as_it_is, steps = as_noted(job, expand(job).steps, events)
    offers = shortage_errands(as_it_is, other.plan, steps, events, now)
    last_day = local(job.zone, now).date() + timedelta(days=SOON_DAYS)
    if not offers or offers[0].mends[0].day > last_day:
        return None
    draft = offers[0].draft
    try:
        plan = make_plan(job, as_events([draft], events, now), now, solve=solve)
    except NoPlan:
        return None
    broke = tuple(each.words for each in plan.broken)
    cost = cost_of(job, events, [draft], plan, ())
    return Choice(offers[0].title, cost_words(job, cost, [draft], plan, broke), plan.finish, plan, (draft,), broke,
                  cost, "errand")  # fmt: skip
