"""The whole network of a planning moment."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from planning.job.events import Event
from planning.job.job import Job
from planning.job.step import Step
from planning.job.words import Instant
from planning.schedule.build.curves import Curves
from planning.schedule.build.house import dues, nights, toilets
from planning.schedule.build.links import step_lags
from planning.schedule.build.pieces import Cut
from planning.schedule.build.site import Site, look_at
from planning.schedule.build.tasks import StepTasks, Unplannable, step_tasks, whole_minutes
from planning.schedule.build.visits import (
    SiteVisit,
    all_visits,
    errand_lags,
    errand_tasks,
    releases,
    visit_lags,
    visit_tasks,
)
from planning.schedule.network import Before, Network, Task
from planning.trade.mending import mended
from planning.trade.methods import LOCKED


@dataclass(frozen=True)
class Built:
    """The network with what is needed to read its solution back into trade words."""

    site: Site
    network: Network
    pieces: dict[str, tuple[Cut, ...]]
    visits: tuple[SiteVisit, ...]
    unplannable: tuple[Unplannable, ...]


def days_needed(steps: Sequence[Step], people: int) -> int:
    """Calendar days in which the job surely ends: all labour in a row, the waits of the longest chain, a day a bay."""
    bays = sum(1 for step in steps if step.bay_of and step.kind in LOCKED)
    labour = whole_minutes({step.id: step for step in steps})
    longest: dict[str, int] = {}
    for step in steps:
        waits = [longest.get(link.step, 0) + (link.wait.label.typical if link.wait else 0) for link in step.after]
        longest[step.id] = max(waits, default=0)
    return 14 + 2 * bays + 2 * (labour // 300) + 3 * max(longest.values(), default=0) // 1440


def build(job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant, days: int | None = None) -> Built:
    """The network of the job as it stands at `now`. `days`: calendar days to look ahead (default: enough for all)."""
    steps = mended(job, steps, events, now)
    site = look_at(job, steps, events, now, days if days is not None else days_needed(steps, len(job.people)))
    curves = Curves(site)
    found = step_tasks(site, curves)
    visits = all_visits(site)
    held = releases(site)
    tasks = [_released(task, held, found) for task in found.tasks]
    tasks += visit_tasks(site, visits) + errand_tasks(site)
    known = {task.id for task in tasks}
    begun = {task.id for task in tasks if task.fixed is not None}
    lags = step_lags(site, curves, found) + visit_lags(site, curves, found, visits) + errand_lags(site, found)
    network = Network(
        origin=site.origin,
        horizon=site.horizon,
        now=site.now_tick,
        tasks=tuple(tasks),
        lags=tuple(lag for lag in lags if lag.before in known and lag.after in known - begun),
        gear=dict(job.gear.count),
        person_days=_person_days(site),
        toilets=toilets(site, found),
        nights=nights(site),
        dues=dues(site, curves, found),
        aim=job.aim,
        before=_before(site, known, visits),
    )
    return Built(site, network, found.pieces, tuple(visits), tuple(found.unplannable))


def _released(task: Task, held: dict[str, int], found: StepTasks) -> Task:
    step = task.piece_of or task.id
    tick = held.get(step, 0)
    return replace(task, release=max(task.release, tick)) if tick and task.fixed is None else task


def _person_days(site: Site) -> dict[str, tuple[tuple[int, int], ...]]:
    days: dict[str, tuple[tuple[int, int], ...]] = {}
    for name, shifts in site.shifts.items():
        spans: dict[object, tuple[int, int]] = {}
        for shift in shifts:
            low, high = spans.get(shift.day, (shift.start, shift.finish))
            spans[shift.day] = (min(low, shift.start), max(high, shift.finish))
        days[name] = tuple((site.floor_tick(a), site.ceil_tick(b)) for a, b in spans.values())
    return days


def _before(site: Site, known: set[str], visits: Sequence[SiteVisit]) -> Before | None:
    accepted = site.progress.accepted
    if accepted is None:
        return None
    steps = {step: at for step, at in accepted.steps.items() if step in known}
    # A visit at a time of its own is where it is; one that may come in a span stays where people were told.
    open_visits = {each.visit.id for each in visits if each.visit.earliest < each.visit.latest}
    told = {visit: start for visit, start in accepted.visits.items() if visit in open_visits & known}
    return Before(
        {step: site.floor_tick(start) for step, (start, _, _) in steps.items()}
        | {visit: site.floor_tick(start) for visit, start in told.items()},
        {step: people for step, (_, _, people) in steps.items()},
        site.ceil_tick(accepted.finish),
    )
