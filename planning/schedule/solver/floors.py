"""Stay-offs: nobody stands on or crosses a green floor, works wet on it, or puts heavy things there."""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from planning.schedule.network import Off, Tick, at
from planning.schedule.solver.crews import person_spans
from planning.schedule.solver.model import Expr, Literal, Model, Places, Span, TaskVars
from planning.schedule.solver.ranges import Ranges, holds, union
from planning.schedule.solver.tasks import optional
from planning.schedule.solver.values import wait_values

Read = Callable[[Places], Tick]
"""When a closure ends in a plan."""

NO_WAIT = ((0, 0),)
LONGEST_CLOSURE = 288 * 365
"""A year in ticks: more than any floor stays off."""


@dataclass(slots=True)
class Stay:
    """A task that is on the floor: always (literal None), or if the literal holds. `span` is when it is there."""

    task: TaskVars
    literal: Literal | None
    span: Span


@dataclass(slots=True)
class Closed:
    """A stretch in which the floor is off, when it ends in a plan, and the tasks that may be there all the same."""

    task: TaskVars
    span: Span
    ends: Callable[[Places], Tick]
    exempt: frozenset[str]


@dataclass(slots=True)
class Floor:
    """One floor and one barrier. `main`: closures of tasks that always stand there, so no two of them overlap."""

    what: str
    name: str
    stays: list[Stay]
    main: list[Closed]
    lone: list[Closed]

    @property
    def closed(self) -> list[Closed]:
        """Every closure."""
        return self.main + self.lone


def barred_floors(model: Model) -> frozenset[str]:
    """The floors on which walking is ever off from now on."""
    tasks = model.network.tasks
    return frozenset(off.floor for task in tasks for off in task.off if off.what == "walk")


def add_floors(model: Model) -> dict[str, Floor]:
    """All stay-offs; the floors with a stay-off from walking, by name."""
    keys = sorted({(off.what, off.floor) for task in model.network.tasks for off in task.off})
    floors = [_floor(model, what, name) for what, name in keys]
    for floor in floors:
        _keep_apart(model, floor)
    return {floor.name: floor for floor in floors if floor.what == "walk"}


def add_wet(model: Model) -> None:
    """One wet trade at a time on a floor."""
    for name in sorted({floor for task in model.network.tasks for floor in task.wet_on}):
        spans = [task.span for task in model.tasks.values() if name in task.task.wet_on]
        model.no_overlap(spans)


def _floor(model: Model, what: str, name: str) -> Floor:
    stays = [stay for task in model.tasks.values() if (stay := _stay(model, task, what, name)) is not None]
    floor = Floor(what, name, stays, [], [])
    starts = _starts(model, floor)
    for task in model.tasks.values():
        offs = [off for off in task.task.off if off.what == what and off.floor == name]
        for n, off in enumerate(offs):
            closed, lone = _closed(model, floor, task, off, starts, alone=n > 0)
            (floor.lone if lone else floor.main).append(closed)
    return floor


def _starts(model: Model, floor: Floor) -> Callable[[], Ranges]:
    """The ticks at which anything that the floor's closures could stop begins: worked out once, and only if asked."""
    found: list[Ranges] = []

    def starts() -> Ranges:
        if not found:
            own = [stay.task.starts for stay in floor.stays if not stay.task.fixed]
            nights = tuple((night.start, night.start) for night in model.network.nights)
            found.append(union([*own, nights if floor.what == "walk" else ()]))
        return found[0]

    return starts


def _stay(model: Model, task: TaskVars, what: str, floor: str) -> Stay | None:
    if what != "walk":
        on = task.task.wet_on if what == "wet" else task.task.heavy_on
        return Stay(task, None, task.span) if floor in on else None
    through = {n: literal for n, literal in task.ways.items() if floor in task.task.ways[n]}
    if not through:
        return None
    if len(through) == len(task.ways):
        return Stay(task, None, task.span)
    literals = [literal for literal in through.values() if literal is not None]
    literal = literals[0] if len(literals) == 1 else _any(model, task, literals, tuple(through))
    return Stay(task, literal, optional(model, task, literal))


def _any(model: Model, task: TaskVars, literals: list[Literal], ways: tuple[int, ...]) -> Literal:
    one = model.bool_var(lambda places: places[task.id].way in ways)
    model.cp.add(sum(literals) == one)
    return one


# closures


def _closed(
    model: Model, floor: Floor, task: TaskVars, off: Off, starts: Callable[[], Ranges], alone: bool
) -> tuple[Closed, bool]:
    """The closure of one stay-off, and whether it must be kept apart from others by itself."""
    until = [model.tasks[name] for name in off.until if name in model.tasks]
    later = _later_pieces(model, task) if until or off.ticks != NO_WAIT else []
    on_floor = {stay.task.id for stay in floor.stays}
    exempt = frozenset(t.id for t in [*later, *until] if t.id in on_floor) | {task.id}
    stands = any(stay.task is task and stay.literal is None for stay in floor.stays)
    lone = alone or not stands or (task.fixed and any(not t.fixed for t in until))
    if len(exempt) > 1 and not lone:
        if not until and _handed_on(floor, task, off, later):
            return Closed(task, *_cut_span(model, task, off, later[0], starts), frozenset()), False
        lone = True
    return Closed(task, *_span(model, task, off, until, starts), exempt), lone


def _later_pieces(model: Model, task: TaskVars) -> list[TaskVars]:
    if task.task.piece_of is None:
        return []
    same = [t for t in model.tasks.values() if t.task.piece_of == task.task.piece_of]
    return sorted((t for t in same if t.task.piece > task.task.piece), key=lambda t: t.task.piece)


def _handed_on(floor: Floor, task: TaskVars, off: Off, later: list[TaskVars]) -> bool:
    """Does each later piece keep the floor off in the same way, so that this closure can end where the next begins?"""
    always = {stay.task.id for stay in floor.stays if stay.literal is None}
    return not task.fixed and all(
        not piece.fixed
        and piece.id in always
        and [o for o in piece.task.off if (o.what, o.floor) == (off.what, off.floor)] == [off]
        for piece in later
    )


def _span(
    model: Model, task: TaskVars, off: Off, until: list[TaskVars], starts: Callable[[], Ranges]
) -> tuple[Span, Read]:
    if until:
        return _until_span(model, task, until)
    if task.task.fixed is not None:
        start, finish = task.task.fixed
        over = finish + at(off.ticks, finish)
        return Span(None, start, over), lambda places: over
    end, read, length = _end(model, task, off, starts)
    if length is None:
        return _stretch(model, task, end, read), read
    return Span(model.cp.new_interval_var(task.start, task.size + length, end, "")), read


def _end(model: Model, task: TaskVars, off: Off, starts: Callable[[], Ranges]) -> tuple[Expr, Read, int | None]:
    """Where the closure ends, how to read that off a plan, and how long after the finish, if always the same."""
    name = task.id
    values = wait_values(off.ticks, task.finishes, starts() if len(off.ticks) > 1 else ())
    if len(values) == 1:
        only = values[0].ticks
        return task.finish + only, lambda places: places[name].finish + only, only

    def read(places: Places) -> Tick:
        finish = places[name].finish
        for value in values:
            if holds(value.when, finish):
                return finish + value.ticks
        raise LookupError("the plan has the task where it cannot lie")

    longest = max(value.ticks for value in values)
    end = model.int_var(task.reach.first_finish, task.reach.last_finish + longest, read)
    parts = model.ticks_in(task, False, tuple(value.when for value in values))
    for value, part in zip(values, parts, strict=True):
        row = model.cp.add(end == task.finish + value.ticks)
        if part is not None:
            row.only_enforce_if(part)
    return end, read, None


def _stretch(model: Model, task: TaskVars, end: Expr, read: Read) -> Span:
    name = task.id
    longest = model.network.horizon + LONGEST_CLOSURE
    size = model.int_var(0, longest, lambda places: read(places) - places[name].start)
    return Span(model.cp.new_interval_var(task.start, size, end, ""))


def _until_span(model: Model, task: TaskVars, until: list[TaskVars]) -> tuple[Span, Read]:
    everybody = [task, *until]
    names = [t.id for t in everybody]

    def read(places: Places) -> Tick:
        return max(places[name].finish for name in names)

    if all(t.fixed for t in everybody):
        return Span(None, task.reach.low, max(t.reach.last_finish for t in everybody)), read
    end = model.int_var(0, max(t.reach.last_finish for t in everybody), read)
    for t in everybody:
        model.cp.add(end >= t.finish)
    return _stretch(model, task, end, read), read


def _cut_span(
    model: Model, task: TaskVars, off: Off, following: TaskVars, starts: Callable[[], Ranges]
) -> tuple[Span, Read]:
    """Until its time is over or the next piece of the same step begins, which keeps the floor off from then on."""
    end, read, _ = _end(model, task, off, starts)
    name = following.id

    def cut(places: Places) -> bool:
        return places[name].start <= read(places)

    def first(places: Places) -> Tick:
        return min(places[name].start, read(places))

    handed_on = model.bool_var(cut)
    over = model.int_var(task.reach.first_finish, model.network.horizon, first)
    model.cp.add(over <= following.start)
    model.cp.add(over <= end)
    model.cp.add(over >= following.start).only_enforce_if(handed_on)
    model.cp.add(over >= end).only_enforce_if(handed_on.negated())
    return _stretch(model, task, over, first), first


# apart


def _keep_apart(model: Model, floor: Floor) -> None:
    """Whoever is there and whatever closes it never overlap. People who are there may share the floor."""
    main = {closed.task.id for closed in floor.main}
    groups = _groups(floor, [stay for stay in floor.stays if stay.task.id not in main])
    closures = [closed.span for closed in floor.main]
    for group in groups or [[]]:
        model.no_overlap([*closures, *(span for _, span in group)])
    works = [(closed.task.id, closed.task.span) for closed in floor.main]
    for closed in floor.lone:
        for group in [*groups, works]:
            others = [span for name, span in group if name not in closed.exempt]
            if closed.task.fixed:
                others = [span for span in others if span.interval is not None]
            if others:
                model.no_overlap([closed.span, *others])


def _groups(floor: Floor, stays: list[Stay]) -> list[list[tuple[str, Span]]]:
    """Stays that can never overlap anyhow (one person's, or wet trades on one floor), so one row takes them all."""
    if floor.what == "wet":
        return [[(stay.task.id, stay.span) for stay in stays]] if stays else []
    often = Counter(name for stay in stays for name in person_spans(stay.task))
    groups: dict[str, list[tuple[str, Span]]] = {}
    for stay in stays:
        task = stay.task
        crews = {n: task.task.crews[n].people for n in task.crews}
        always = set.intersection(*(set(people) for people in crews.values()))
        if always:
            groups.setdefault(_best(always, often), []).append((task.id, stay.span))
        elif stay.literal is None and all(crews.values()):
            for n, people in crews.items():
                groups.setdefault(_best(people, often), []).append((task.id, task.crew_spans[n]))
        else:
            groups[f"by itself: {task.id}"] = [(task.id, stay.span)]
    return list(groups.values())


def _best(people: Iterable[str], often: Counter[str]) -> str:
    """The person who is on this floor most often: fewer, longer rows."""
    return min(people, key=lambda name: (-often[name], name))
