"""When the crew is done, usual and slow, which step decides it, and the short visits that come long after."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from planning.handover.bookings import in_hours
from planning.handover.slow import Times, slow_times, slowest_times
from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.progress import read_progress
from planning.job.step import Step
from planning.job.words import Instant, Kind, Minutes
from planning.trade.air import SiteAir, opens_at, site_air

DAY_MIN: Minutes = 24 * 60
GAP_DAYS = 6
"""Work after so many days without any is a visit of its own: nobody on site calls that the same job day."""
SHORT_VISIT_MIN: Minutes = 8 * 60
"""And it is at most one person's day; more than that is work that was held up, not a return visit."""
SEALING: Kind = "seal"
DECIDES_MIN: Minutes = 12 * 60
"""A wait from this length on is named as what decides the last day."""


@dataclass(frozen=True, slots=True)
class ReturnVisit:
    """A short visit long after the work, as for sealing: its steps, its usual day and its safe one."""

    steps: tuple[PlannedStep, ...]
    usual: Instant
    safe: Instant
    waits_for: PlannedStep | None


@dataclass(frozen=True, slots=True)
class LastDay:
    """The end of the work without its return visits: usual and safe. `driver` decides the safe one.

    `waits_for`: the step whose wait the driver stands at the end of, when that wait is long. `safe` is never sooner
    than `usual`.
    """

    usual: Instant
    safe: Instant
    driver: PlannedStep | None
    waits_for: PlannedStep | None
    returns: tuple[ReturnVisit, ...] = ()

    @property
    def all_done(self) -> Instant:
        """When the last return visit is over too, in the slow case."""
        return max([self.safe, *(each.safe for each in self.returns)])


def slow_and_last(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event]) -> tuple[Times, LastDay]:
    """The slow times of a plan and its last day. Work that a slow case puts off to a visit of its own is left out of
    the rest: nobody stays on site for four weeks because the joints cannot be sealed sooner.
    """
    apart = _apart(plan, job, steps, events)
    times = dict(slow_times(plan, job, steps, events, frozenset(step.id for step in apart)))
    by_id = {step.id: step for step in steps}
    air = site_air(job, events)
    for planned in sorted(apart, key=lambda step: (step.start, step.id)):
        times[planned.id] = _on_its_own(planned, by_id.get(planned.id), job, times, air)
    return times, _last_day(plan, job, steps, times, apart)


def _on_its_own(
    planned: PlannedStep, step: Step | None, job: Job, times: Times, air: SiteAir
) -> tuple[Instant, Instant]:
    """When a later visit is: in working hours, each wait at its high value after the slow end of what it waits for."""
    opens = [planned.start]
    for link in step.after if step is not None else ():
        ends = [t[0 if link.on == "start" else 1] for key, t in times.items() if key.split("#")[0] == link.step]
        if ends:
            opens.append(max(ends) if link.wait is None else opens_at(link.wait, air, max(ends), "high"))
    begin = planned.start if max(opens) == planned.start else in_hours(job, max(opens))
    more = 0 if step is None else max(0, step.labour.high - step.labour.typical)
    return begin, begin + planned.finish - planned.start + more


def _apart(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event]) -> list[PlannedStep]:
    """The steps of later visits: those that the plan itself has long after, and sealing that a slow case puts there."""
    begun = read_progress(job, events).started
    blocks = _blocks(plan, job)
    main = max((n for n, block in enumerate(blocks) if not _comes_back(block)), default=0)
    late = [step for block in blocks[main + 1 :] for step in block]
    work = [step for block in blocks[: main + 1] for step in block]
    sealing = [step for step in work if step.kind == SEALING and step.id not in begun]
    others = [step.finish for step in work if step not in sealing]
    if sealing and others:
        slowest = slowest_times(plan, job, steps, events)
        if any(slowest[step.id][0] >= max(others) + GAP_DAYS * DAY_MIN for step in sealing):
            late += sealing
    return late


def _last_day(plan: Plan, job: Job, steps: Sequence[Step], times: Times, apart: Sequence[PlannedStep]) -> LastDay:
    """The last day by these times; a plan without steps ends when it says."""
    work = [step for step in plan.steps if step not in apart]
    if not work:
        return LastDay(plan.finish, plan.finish, None, None)
    by_id = {step.id: step for step in steps}
    driver = max(work, key=lambda step: (times[step.id][1], step.finish, step.id))
    usual = max(step.finish for step in work)
    days: dict[date, list[PlannedStep]] = {}
    for step in sorted(apart, key=lambda each: (times[each.id][0], each.id)):
        days.setdefault(local(job.zone, times[step.id][0]).date(), []).append(step)
    returns = tuple(_return(block, plan, by_id, times) for block in days.values())
    return LastDay(usual, max(usual, times[driver.id][1]), driver, _waited(driver, plan, by_id, times), returns)


def _blocks(plan: Plan, job: Job) -> list[list[PlannedStep]]:
    """The steps in runs of days that lie less than the gap apart."""
    days: dict[date, list[PlannedStep]] = {}
    for step in plan.steps:
        days.setdefault(local(job.zone, step.start).date(), []).append(step)
    blocks: list[list[PlannedStep]] = []
    before: date | None = None
    for day in sorted(days):
        if before is None or (day - before).days >= GAP_DAYS:
            blocks.append([])
        blocks[-1] += days[day]
        before = day
    return blocks


def _comes_back(block: Sequence[PlannedStep]) -> bool:
    """Is it a short visit for sealing, with what rides along? Other work after a gap was held up, and is the work."""
    minutes = sum((step.finish - step.start) * max(1, len(step.people)) for step in block)
    return minutes <= SHORT_VISIT_MIN and any(step.kind == SEALING for step in block)


def _return(block: Sequence[PlannedStep], plan: Plan, by_id: Mapping[str, Step], times: Times) -> ReturnVisit:
    usual = max(step.finish for step in block)
    first = min(block, key=lambda step: (step.start, step.id))
    safe = max([usual, *(times[step.id][1] for step in block)])
    return ReturnVisit(tuple(block), usual, safe, _waited(first, plan, by_id, times))


def _waited(driver: PlannedStep, plan: Plan, by_id: Mapping[str, Step], times: Times) -> PlannedStep | None:
    """The earlier step whose wait lasts the longest till this one begins in the slow case; None when all are short."""
    step = by_id.get(driver.piece.of if driver.piece else driver.id)
    waited = {link.step for link in step.after if link.wait is not None} if step is not None else set[str]()
    before = [each for each in plan.steps if (each.piece.of if each.piece else each.id) in waited]
    last = max(before, key=lambda each: (times[each.id][1], each.id), default=None)
    if last is None or times[driver.id][0] - times[last.id][1] < DECIDES_MIN:
        return None
    return last
