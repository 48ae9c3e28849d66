"""People and things from outside: visits, deliveries, answers, errands."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import timedelta

from planning.job.counted_on import answer_there, delivery_there
from planning.job.hours import local
from planning.job.job import Delivery, Visit
from planning.job.progress import visit_word
from planning.job.step import Step
from planning.job.words import Minutes
from planning.schedule.build.crews import crew
from planning.schedule.build.curves import Curves
from planning.schedule.build.floors import ways
from planning.schedule.build.pieces import on_axis
from planning.schedule.build.site import Site
from planning.schedule.build.tasks import StepTasks
from planning.schedule.network import Crew, Lag, Task, Tick
from planning.trade.expand import find_steps

VISIT_MIN: Minutes = 30


@dataclass(frozen=True, slots=True)
class SiteVisit:
    """A visit with the step it sees, if any, and whether somebody has called for it."""

    visit: Visit
    step: Step | None
    booked: bool


def all_visits(site: Site) -> list[SiteVisit]:
    """The job's visits as moved by the setter, and an unbooked one for each step that must be seen and has none."""
    found: list[SiteVisit] = []
    seen: set[str] = set()
    for visit in site.job.visits:
        at = site.progress.visits_moved.get(visit.id)
        if at is not None:
            visit = replace(visit, earliest=at, latest=at)
        step = _to_see(site, visit)
        if _lost(site, visit, step):
            continue
        if step is not None:
            seen.add(step.id)
        found.append(SiteVisit(visit, step, booked=True))
    for step in site.steps:
        if step.sees and step.id not in seen:
            found.append(SiteVisit(unbooked(site, step), step, booked=False))
    return found


def _to_see(site: Site, visit: Visit) -> Step | None:
    """The step a visit is for: the one still to be shown. One that came up later needs a visit noted since then."""
    found = find_steps(site.steps, visit.room, visit.sees) if visit.sees else ()
    noted = site.progress.visit_noted.get(visit.id)
    shown = [s for s in found if s.sees and (s.known_since is None or (noted is not None and noted >= s.known_since))]
    if visit_word(site.progress.visit_results.get(visit.id)) == "failed":
        return None
    return shown[0] if shown else next((s for s in found if s.known_since is None and not _superseded(site, s)), None)


def _superseded(site: Site, step: Step) -> bool:
    """Was it done once more, or put right, so that nobody looks at it any longer?"""
    return any(step.id in {link.step for link in other.after} for other in site.steps if other.known_since is not None)


def _lost(site: Site, visit: Visit, step: Step | None) -> bool:
    """Did nobody come: said so, or its time went by, nothing noted of it, the step not done? Then call anew."""
    result = visit_word(site.progress.visit_results.get(visit.id))
    if result is not None or step is None:
        return result == "no_show"
    return visit.latest + visit.takes_min < site.now and step.id not in site.progress.finished


def unbooked(site: Site, step: Step) -> Visit:
    """A visit nobody has booked yet: half an hour in working hours from the next working day on."""
    identity = f"visit/{step.room}/{step.key}"
    tomorrow = local(site.job.zone, site.now).date() + timedelta(days=1)
    days = [shift for shift in site.site_shifts if shift.day >= tomorrow]
    first = days[0].start if days else site.now
    result = visit_word(site.progress.visit_results.get(identity))
    moved = site.progress.visits_moved.get(identity)
    if result == "passed":
        moved = site.progress.visit_noted[identity] - VISIT_MIN
    elif result == "no_show" or (moved is not None and moved + VISIT_MIN <= site.now):
        moved = None
    last = site.instant(site.horizon)
    return Visit(identity, step.sees or "inspector", step.room, step.key, moved or first, moved or last, VISIT_MIN)


def visit_tasks(site: Site, visits: Iterable[SiteVisit]) -> list[Task]:
    """Each visit as a task without people: it needs a way to the room, not the floor it looks at."""
    return [_visit_task(site, each) for each in visits]


def _visit_task(site: Site, each: SiteVisit) -> Task:
    visit = each.visit
    ticks = on_axis(visit.takes_min) // 5
    floors = each.step.works_on[:1] if each.step and each.step.works_on else site.job.room(visit.room).floors[:1]
    reach = ways(site, floors, standing=False) or ((),)
    if each.booked or visit.earliest == visit.latest:
        low, high = site.ceil_tick(visit.earliest), site.floor_tick(visit.latest)
        starts: tuple[tuple[Tick, Tick], ...] = ((low, max(low, high)),)
    else:
        starts = tuple(
            (site.ceil_tick(s.start), site.floor_tick(s.finish) - ticks)
            for s in site.site_shifts
            if s.start >= visit.earliest and s.finish - s.start >= visit.takes_min
        )
    happened = visit.latest + visit.takes_min <= site.now or visit.id in site.progress.visit_results
    fixed = (starts[0][0], starts[0][0] + ticks) if happened and starts else None
    return Task(visit.id, ticks, (Crew((), starts),), ways=reach, fixed=fixed, counts=False)


def visit_lags(site: Site, curves: Curves, found: StepTasks, visits: Iterable[SiteVisit]) -> list[Lag]:
    """The seen step and its hold before the visit; everything that covers the step after it."""
    lags: list[Lag] = []
    for each in visits:
        if each.step is None or visit_word(site.progress.visit_results.get(each.visit.id)) == "passed":
            continue
        after = [(s, link) for s in site.steps for link in s.after if link.step == each.step.id]
        holds = [link.wait for _, link in after if link.wait and link.wait.window in ("flood_hold", "fixed")]
        hold = max(holds, key=lambda wait: wait.label.typical, default=None)
        lags.append(Lag(found.last(each.step.id), each.visit.id, curves.wait(hold)))
        lags += [Lag(each.visit.id, found.first(step.id)) for step, _ in after]
    return lags


def errand_tasks(site: Site) -> list[Task]:
    """Errands that are not done yet, as tasks of one person outside the house."""
    tasks = []
    for errand in site.job.errands:
        if errand.id in site.progress.errands_done:
            continue
        minutes = on_axis(errand.takes_min)
        names = (errand.who,)
        option = crew(site, names, minutes, False, ())
        tasks.append(Task(errand.id, minutes // 5, (option,), counts=False))
    return tasks


def errand_lags(site: Site, found: StepTasks) -> list[Lag]:
    """An errand is back before the step it is for begins."""
    lags = []
    for errand in site.job.errands:
        if errand.before is None or errand.id in site.progress.errands_done:
            continue
        room, _, ref = errand.before.partition("/")
        lags += [Lag(errand.id, found.first(step.id)) for step in find_steps(site.steps, room, ref)]
    return lags


def releases(site: Site) -> dict[str, Tick]:
    """Step id -> the tick before which its material or its answer is not there."""
    found: dict[str, Tick] = {}

    def hold(step: Step, tick: Tick) -> None:
        found[step.id] = max(tick, found.get(step.id, 0))

    for delivery in site.job.deliveries:
        here = delivery_there(site.job, site.progress, delivery.id, delivery.latest, site.now)
        for step in site.steps:
            if delivered_to(delivery, step):
                hold(step, site.ceil_tick(here))
    for answer in site.job.answers:
        at = answer_there(site.job, site.progress, answer.id, answer.by, site.now)
        for step in find_steps(site.steps, answer.room, answer.holds):
            hold(step, site.ceil_tick(at))
    return found


def delivered_to(delivery: Delivery, step: Step) -> bool:
    """Does this step use what the delivery brings?"""
    if delivery.room is not None and delivery.room != step.room:
        return False
    return any(a.material == delivery.of or a.material.startswith(f"{delivery.of}-") for a in step.amounts)
