"""Ways out that need somebody's yes: the household, the owner, a visitor, the supplier."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from planning.job.choice import EventDraft
from planning.job.hours import local
from planning.job.words import Instant
from planning.quantities.show import show_day, show_minutes, show_when
from planning.schedule.availability import is_visit
from planning.schedule.build.visits import delivered_to
from planning.schedule.network import Network, Solution
from planning.schedule.order.overrun import lost_nights
from planning.schedule.shape import shape_of
from planning.schedule.solver import measure
from planning.schedule.ways_out.situation import Situation, Trial, without_before
from planning.schedule.ways_out.start_rules import is_asked

QUARTER_MIN = 15
MOST_NIGHTS_TRIED = 8
DAYS_TRIED_ALONE = 6
ERRAND_MIN = 60
"""A drive to the supplier and back takes about an hour (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Found:
    """A way out that helps: what it is called, its kind, its trial, who must say yes."""

    title: str
    kind: str
    trial: Trial
    asks: tuple[str, ...] = ()


def ask_household(situation: Situation) -> Iterable[Found]:
    """The household does without a toilet on those promised nights that a plan without the promise would leave so."""
    network = situation.built.network
    if not network.nights or not network.toilets:
        return
    eased = situation.eased(lambda net: replace(without_before(net), nights=()))
    if eased is None:
        return
    days = _lost_dates(situation, network, eased)
    trial = situation.trial(_without_toilet(days), patient=True) if days else None
    if trial is None or not situation.gains(trial):
        return
    for day in days[:MOST_NIGHTS_TRIED]:
        fewer = [each for each in days if each != day]
        found = situation.trial(_without_toilet(fewer)) if fewer else None
        if found is not None and situation.as_good(found, trial):
            days, trial = fewer, found
    said = ", ".join(show_day(day) for day in days[:2])
    more = f" and {len(days) - 2} nights more" if len(days) > 2 else ""
    yield Found(f"No toilet on {said}{more}", "ask", trial, ("the household",))


def _without_toilet(days: Sequence[date]) -> list[EventDraft]:
    return [
        EventDraft("agreed", {"what": "night", "day": day.isoformat(), "value": f"no toilet on {show_day(day)}"})
        for day in days
    ]


def _lost_dates(situation: Situation, network: Network, solution: Solution) -> list[date]:
    shape = shape_of(network)
    starts = [solution.starts[task.id] for task in shape.tasks]
    finishes = [solution.finishes[task.id] for task in shape.tasks]
    lost = {night.finish for night in lost_nights(shape, starts, finishes)}
    zone = situation.job.zone
    return sorted(
        local(zone, network.instant(night.start)).date() for night in network.nights if night.finish in lost
    )  # fmt: skip


def ask_visitors(situation: Situation) -> Iterable[Found]:
    """A visit at another time: as early as the work allows when it is in the way, if it is booked."""
    for each in situation.built.visits:
        if not each.booked or each.visit.id in situation.built.site.progress.visit_results:
            continue
        eased = situation.eased(_at_any_time(situation, each.visit.id))
        if eased is None:
            continue
        when = situation.built.network.instant(eased.starts[each.visit.id])
        draft = EventDraft("visit_moved", {"visit": each.visit.id, "until": when})
        trial = situation.trial([draft], patient=True)
        if trial is not None and situation.gains(trial):
            said = show_when(when, situation.job.zone, situation.now)
            yield Found(f"{each.visit.who.capitalize()} comes {said}", "ask", trial, (each.visit.who,))


def _at_any_time(situation: Situation, visit: str) -> Callable[[Network], Network]:
    site = situation.built.site
    spans = [(site.ceil_tick(s.start), site.floor_tick(s.finish)) for s in site.site_shifts if s.finish > site.now]

    def ease(network: Network) -> Network:
        tasks = []
        for task in network.tasks:
            if task.id == visit and is_visit(task) and task.fixed is None:
                low = network.now
                starts = tuple((max(a, low), b - task.ticks) for a, b in spans if b - task.ticks >= max(a, low))
                task = replace(task, crews=tuple(replace(crew, starts=starts) for crew in task.crews))
            tasks.append(task)
        return replace(without_before(network), tasks=tuple(tasks))

    return ease


def ask_house(situation: Situation) -> Iterable[Found]:
    """Quiet hours, power or water off: not on the days on which the work would run into them."""
    house = situation.job.house
    asked = {"quiet": house.quiet, "no_power": house.no_power, "no_water": house.no_water}
    for what, spans in asked.items():
        days = sorted({s.day for s in situation.built.site.site_shifts if s.finish > situation.now})
        dated = [day for day in days if any(span.day in (None, day) for span in spans)]
        goal = situation.trial(_agreed(what, dated), patient=True) if dated else None
        if goal is None or not situation.gains(goal):
            continue
        kept = _days_needing(what, goal, dated)
        best = situation.trial(_agreed(what, kept))
        if best is None or not situation.as_good(best, goal):
            best, kept = goal, dated
        for day in kept[:DAYS_TRIED_ALONE]:
            one = situation.trial(_agreed(what, [day]))
            if one is not None and situation.as_good(one, goal):
                best, kept = one, [day]
                break
        more = f" and {len(kept) - 2} days more" if len(kept) > 2 else ""
        yield Found(f"{HOUSE[what]}, {', '.join(show_day(day) for day in kept[:2])}{more}", "ask", best,
                    ("the household",))  # fmt: skip


HOUSE = {"quiet": "Saw and mixer in the quiet hours", "no_power": "Power stays on", "no_water": "Water stays on"}


def _agreed(what: str, days: Sequence[date]) -> list[EventDraft]:
    return [
        EventDraft("agreed", {"what": what, "day": day.isoformat(), "value": f"{HOUSE[what].lower()}, {show_day(day)}"})
        for day in days
    ]


def _days_needing(what: str, trial: Trial, days: Sequence[date]) -> list[date]:
    """Those of the days on which a plan does work of the kind that the house would forbid."""
    zone, by_id = trial.built.site.job.zone, trial.built.site.step_by_id
    busy = {
        local(zone, trial.at(trial.solution.starts[task.id])).date()
        for task in trial.built.network.tasks
        if task.fixed is None and (step := by_id.get(task.piece_of or task.id)) is not None
        and is_asked(what, step)
    }  # fmt: skip
    return [day for day in days if day in busy]


def ask_sooner(situation: Situation) -> Iterable[Found]:
    """An answer or a delivery sooner: by the time the work could use it."""
    site, job = situation.built.site, situation.job
    eased = None
    for answer in job.answers:
        if answer.id in site.progress.answered or answer.by <= situation.now:
            continue
        eased = eased or situation.eased(_nothing_held)
        until = _first_use(situation, eased, lambda s, a=answer: s.room == a.room and a.holds in (s.key, s.id))
        if until is not None and until < answer.by:
            said = show_when(max(until, situation.now), job.zone, situation.now)
            title = f"{answer.what.capitalize()} by {said}"
            draft = EventDraft("agreed", {"what": "answer", "id": answer.id, "until": until, "value": title})
            yield from _helped(situation, draft, title, answer.owed_by)
    for delivery in job.deliveries:
        if delivery.id in site.progress.delivered or delivery.latest <= situation.now:
            continue
        eased = eased or situation.eased(_nothing_held)
        until = _first_use(situation, eased, lambda s, d=delivery: delivered_to(d, s))
        if until is not None and until < delivery.latest:
            said = show_when(max(until, situation.now), job.zone, situation.now)
            draft = EventDraft("delivery_moved", {"delivery": delivery.id, "until": until})
            yield from _helped(situation, draft, f"{delivery.of.capitalize()} comes by {said}", "the supplier")


def _nothing_held(network: Network) -> Network:
    return replace(without_before(network), tasks=tuple(replace(task, release=0) for task in network.tasks))


def _first_use(situation: Situation, eased: Solution | None, uses: Callable[..., bool]) -> Instant | None:
    """When a plan without the hold would first use it, rounded down to the quarter hour."""
    if eased is None:
        return None
    network, by_id = situation.built.network, situation.built.site.step_by_id
    starts = [
        network.instant(eased.starts[task.id])
        for task in network.tasks
        if task.fixed is None and (step := by_id.get(task.piece_of or task.id)) is not None and uses(step)
    ]
    return min(starts) // QUARTER_MIN * QUARTER_MIN if starts else None


def _helped(situation: Situation, draft: EventDraft, title: str, who: str) -> Iterable[Found]:
    trial = situation.trial([draft], patient=True)
    if trial is not None and situation.gains(trial):
        yield Found(title, "ask", trial, (who,))


def fetch_it(situation: Situation) -> Iterable[Found]:
    """A drive of our own for what a delivery would bring too late."""
    site, job = situation.built.site, situation.job
    for delivery in job.deliveries:
        if delivery.id in site.progress.delivered or delivery.latest <= situation.now:
            continue
        users = [step for step in situation.steps if delivered_to(delivery, step)]
        who = next((p.name for p in job.people if p.has("carry") and "all" not in p.can), job.people[0].name)
        if not users:
            continue
        first = users[0]
        title = f"{who.capitalize()} fetches {delivery.of}, {show_minutes(ERRAND_MIN)}"
        body = {"what": "errand", "id": f"errand/fetch {delivery.of}", "say": f"fetch {delivery.of}", "who": who,
                "takes": ERRAND_MIN, "brings": {}, "before": f"{first.room}/{first.method}/{first.key}",
                "instead": delivery.id, "value": title}  # fmt: skip
        trial = situation.trial([EventDraft("agreed", body)], patient=True)
        if trial is not None and situation.gains(trial):
            yield Found(title, "errand", trial)


def ask_later(situation: Situation) -> Iterable[Found]:
    """A promise that no plan keeps, moved to when the plan keeps it, rounded up to the quarter hour."""
    base = situation.base
    if base is None:
        return
    drafts, said, rooms = [], [], []
    dues = {due.what: due for due in base.built.network.dues}
    for promise in situation.job.promises:
        due = dues.get(f"{promise.room} {promise.what}")
        if due is None:
            continue
        late = measure.late_of(due, base.solution.finishes)
        if late:
            until = -(-base.at(due.tick + late) // QUARTER_MIN) * QUARTER_MIN
            when = show_when(until, situation.job.zone, situation.now)
            body = {"what": "promise", "room": promise.room, "promise": promise.what, "until": until,
                    "value": f"promised for {when}"}  # fmt: skip
            drafts.append(EventDraft("agreed", body))
            rooms.append(situation.job.room(promise.room).name)
            said.append(when)
    trial = situation.trial(drafts) if drafts else None
    if trial is not None and situation.gains(trial):
        title = ", ".join(f"{room} promised for {when}" for room, when in zip(rooms, said, strict=True))
        yield Found(title[:1].upper() + title[1:], "ask", trial, ("the owner",))
