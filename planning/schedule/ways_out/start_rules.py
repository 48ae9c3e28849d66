"""When work may begin, taken apart into facts: the working hours, each person's absences, what the house forbids."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from planning.job.events import Event, effective
from planning.job.hours import local
from planning.job.people import Hours, Person
from planning.job.step import Step
from planning.job.words import WET_KINDS
from planning.schedule.availability import is_visit
from planning.schedule.build.crews import on_dates
from planning.schedule.build.network_of import Built, build
from planning.schedule.network import Crew, Network, Task, Tick
from planning.schedule.ways_out.easing import StartRule

HOURS = ("hours",)
Stretch = tuple[Tick, Tick]


def wide_open(built: Built, events: Sequence[Event]) -> tuple[Network, tuple[StartRule, ...]]:
    """The network in which everybody may work at any time, and the facts that say when he really may.

    All the facts together leave the starts that the network of `built` has, but for meals at the edge of an absence.
    """
    site = built.site
    job = replace(site.job, people=tuple(_always_there(site.job.hours, person) for person in site.job.people),
                  house=replace(site.job.house, quiet=(), no_power=(), no_water=()))  # fmt: skip
    there = [event for event in effective(events) if event.kind != "gone"]
    wide = build(job, site.steps, there, site.now, days_ahead(built))
    tasks = tuple(_anywhere(wide.network, task) for task in wide.network.tasks)
    network = replace(wide.network, tasks=tasks, before=None)
    rules = [StartRule(HOURS, {task.id: task.crews for task in wide.network.tasks if not is_visit(task)})]
    rules += [_absence(network, person, spans) for person, spans in _absences(built, wide)]
    rules += _house(built, network)
    return network, tuple(rule for rule in rules if rule.crews)


def days_ahead(built: Built) -> int:
    """How many days past the later of now and the job's start the network looks."""
    site = built.site
    return (site.last_day - max(site.job.start, local(site.job.zone, site.now).date())).days


def _always_there(hours: Hours, person: Person) -> Person:
    """The person on all of the job's days, and on those of his own besides; his half days are absences."""
    if person.days is not None and not person.days and not person.exceptions:
        return person
    days = None if person.days is None else person.days | hours.days
    longer = [e for e in person.exceptions if e.start <= hours.start and e.finish >= hours.finish]
    return replace(person, days=days, exceptions=tuple(longer), off=frozenset())


def _anywhere(network: Network, task: Task) -> Task:
    if task.fixed is not None or is_visit(task):
        return task
    anywhere = ((network.now, network.horizon - task.ticks),)
    return replace(task, crews=tuple(replace(crew, starts=anywhere) for crew in task.crews))


def _absences(built: Built, wide: Built) -> list[tuple[str, list[Stretch]]]:
    """Each person with the stretches of the job's hours in which he is not there; those who miss none left out."""
    found = []
    for person in built.site.job.people:
        own = [(s.start, s.finish) for s in built.site.shifts[person.name]]
        usual = [(s.start, s.finish) for s in wide.site.shifts[person.name]]
        site = built.site
        missing = [(site.floor_tick(a), site.ceil_tick(b)) for a, b in _less(usual, own) if b > site.now]
        if missing:
            found.append((person.name, missing))
    return found


def _less(spans: Iterable[Stretch], taken: Sequence[Stretch]) -> list[Stretch]:
    left = list(spans)
    for start, finish in taken:
        left = [
            (a, b)
            for low, high in left
            for a, b in ((low, min(high, start)), (max(low, finish), high))
            if a < b
        ]  # fmt: skip
    return left


def _absence(network: Network, name: str, spans: Sequence[Stretch]) -> StartRule:
    crews = {
        task.id: tuple(_clear(task, crew, spans) if name in crew.people else crew for crew in task.crews)
        for task in network.tasks
        if task.fixed is None and any(name in crew.people for crew in task.crews)
    }
    return StartRule(("absent", name), crews)


def _house(built: Built, network: Network) -> list[StartRule]:
    site, house = built.site, built.site.job.house
    rules = []
    for what, clock_spans in (("quiet", house.quiet), ("no_power", house.no_power), ("no_water", house.no_water)):
        spans = [(site.floor_tick(a), site.ceil_tick(b)) for a, b in on_dates(site, clock_spans)]
        rules.append(StartRule(("house", what), {
            task.id: tuple(_clear(task, crew, spans) for crew in task.crews)
            for task in network.tasks
            if spans and task.fixed is None and (step := _step(built, task)) is not None and is_asked(what, step)
        }))  # fmt: skip
    return rules


def _step(built: Built, task: Task) -> Step | None:
    return built.site.step_by_id.get(task.piece_of or task.id)


def is_asked(what: str, step: Step) -> bool:
    """Is this work asked to wait in spans of that kind ("quiet", "no_power": gear; "no_water": wet trades)?"""
    return step.kind in WET_KINDS if what == "no_water" else bool(step.gear)


def _clear(task: Task, crew: Crew, spans: Sequence[Stretch]) -> Crew:
    """The crew, beginning only where the work touches none of the spans."""

    def kept(first: Tick, last: Tick, length: int) -> list[Stretch]:
        return _less([(first, last + 1)], [(low - length + 1, high) for low, high in spans])

    starts = [(a, b - 1) for first, last in crew.starts for a, b in kept(first, last, task.ticks)]
    pauses = [
        (a, b - 1, extra)
        for first, last, extra in crew.pauses
        for a, b in kept(first, last, task.ticks + extra)
    ]  # fmt: skip
    return Crew(crew.people, tuple(starts), tuple(pauses))
