"""Tasks in the model: start, finish, who does it, which way in."""

from collections.abc import Callable, Iterable

from planning.schedule.network import Task
from planning.schedule.solver.model import Literal, Model, Place, Places, Span, TaskVars
from planning.schedule.solver.reach import Reach, Shape


def add_task(model: Model, reach: Reach, barred: frozenset[str]) -> TaskVars:
    """The variables of one task. `barred`: floors that are ever off, the only ones for which the way in matters."""
    found = TaskVars(reach.task, reach, reach.starts, reach.finishes)
    if reach.task.fixed is not None:
        found.start, found.finish = reach.task.fixed
        found.size = found.finish - found.start
        found.span = Span(None, found.start, found.finish)
        found.crews, found.crew_spans = {0: None}, {0: found.span}
    else:
        _times_and_crews(model, found)
    _ways(model, found, barred)
    model.tasks[found.id] = found
    return found


def _times_and_crews(model: Model, found: TaskVars) -> None:
    cp, task, shapes = model.cp, found.task, found.reach.shapes
    name = task.id
    found.start = model.int_in(found.starts, lambda places: places[name].start)
    literals = model.choice([_shape_reader(task, shape) for shape in shapes])
    for shape, literal in zip(shapes, literals, strict=True):
        if literal is not None and shape.ranges != found.starts:
            model.within(found.start, shape.ranges, literal)
        if shape.missed:
            found.missed = True if literal is None else literal
    _size(model, found, shapes, literals)
    interval = cp.new_interval_var(found.start, found.size, found.finish, "")
    found.span = Span(interval) if task.ticks else Span(None)
    _crews(model, found, literals)


def _size(model: Model, found: TaskVars, shapes: tuple[Shape, ...], literals: list[Literal | None]) -> None:
    """A meal between makes it longer. The finish is a variable of its own only if it does."""
    task, name = found.task, found.task.id
    extras = sorted({shape.extra for shape in shapes})
    if len(extras) == 1:
        found.size = task.ticks + extras[0]
        found.finish = found.start + found.size
        return
    paused: list[Literal | None] = [x for s, x in zip(shapes, literals, strict=True) if s.extra]
    found.finish = model.int_in(found.finishes, lambda places: places[name].finish)
    if len(extras) == 2 and extras[0] == 0 and len(paused) == 1 and paused[0] is not None:
        found.size = task.ticks + extras[1] * paused[0]
        return
    found.size = model.int_var(
        task.ticks + extras[0], task.ticks + extras[-1], lambda places: places[name].finish - places[name].start
    )
    some = [s.extra * x for s, x in zip(shapes, literals, strict=True) if s.extra and x is not None]
    model.cp.add(found.size == task.ticks + sum(some))


def _crews(model: Model, found: TaskVars, literals: list[Literal | None]) -> None:
    """Who: crews with the same hours share their start ranges, so the choice among them is free."""
    shapes, task = found.reach.shapes, found.task
    possible = sorted({n for shape in shapes for n in shape.crews})
    groups: dict[tuple[int, ...], list[Literal | None]] = {}
    for shape, literal in zip(shapes, literals, strict=True):
        groups.setdefault(shape.crews, []).append(literal)
    if len(possible) > 1 and all(len(crews) == len(some) == 1 for crews, some in groups.items()):
        found.crews = {crews[0]: some[0] for crews, some in groups.items()}
    else:
        chosen = model.choice([_crew_reader(task.id, n) for n in possible])
        found.crews = dict(zip(possible, chosen, strict=True))
        if len(groups) > 1:
            for crews, some in groups.items():
                model.cp.add(sum(_present(found.crews[n] for n in crews)) == sum(_present(some)))
    for n, literal in found.crews.items():
        found.crew_spans[n] = optional(model, found, literal)


def optional(model: Model, found: TaskVars, literal: Literal | None) -> Span:
    """The task's own stretch, there only if the literal holds."""
    if literal is None or found.fixed or found.span.interval is None:
        return found.span
    return Span(model.cp.new_optional_interval_var(found.start, found.size, found.finish, literal, ""))


def _present(literals: Iterable[Literal | None]) -> list[Literal]:
    return [literal for literal in literals if literal is not None]


def _ways(model: Model, found: TaskVars, barred: frozenset[str]) -> None:
    """The ways in that are worth a choice: those whose floors are ever off, the longer of two such ways left out."""
    stand_for = useful_ways(found.task.ways, barred)
    ways = sorted(set(stand_for))
    chosen = model.choice([_way_reader(found.id, n, stand_for) for n in ways])
    found.ways = dict(zip(ways, chosen, strict=True))


def useful_ways(ways: tuple[tuple[str, ...], ...], barred: frozenset[str]) -> list[int]:
    """For each way the way that does as well or better: the one with least of the floors that are ever off."""
    sets = [barred.intersection(way) for way in ways]
    return [
        min((m for m, other in enumerate(sets) if other <= floors), key=lambda m: (len(sets[m]), m)) for floors in sets
    ]


def _shape_reader(task: Task, shape: Shape) -> Callable[[Places], bool]:
    name, ticks = task.id, task.ticks + shape.extra
    crews, ranges = frozenset(shape.crews), shape.ranges

    def read(places: Places) -> bool:
        place: Place = places[name]
        return (
            place.finish - place.start == ticks
            and place.crew in crews
            and any(a <= place.start <= b for a, b in ranges)
        )

    return read


def _crew_reader(name: str, n: int) -> Callable[[Places], bool]:
    return lambda places: places[name].crew == n


def _way_reader(name: str, n: int, stand_for: list[int]) -> Callable[[Places], bool]:
    return lambda places: stand_for[places[name].way] == n
