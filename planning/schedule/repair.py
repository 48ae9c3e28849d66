"""An answer within milliseconds when the day has broken: the accepted order of work kept, everything pushed right."""

from collections.abc import Sequence

from planning.schedule.availability import FAR, after, is_visit, meal_at, next_start
from planning.schedule.lay.board import Board
from planning.schedule.lay.laying import lay_all
from planning.schedule.network import Network, Solution, Task, Tick
from planning.schedule.order.fixpoints import Earliest, earliest
from planning.schedule.order.measures import solution_from
from planning.schedule.order.orders import Order, Places, always, collect
from planning.schedule.order.overrun import lost_nights, overruns
from planning.schedule.order.served import services
from planning.schedule.shape import Shape, groups, shape_of

MOST_NIGHTS = 20
"""How many nights are mended one after the other before they are left broken (ours, no source)."""


def as_before(network: Network) -> Solution:
    """The accepted plan in `network.before` as a solution of this network; tasks it did not know are not in it.

    Raises ValueError when there is no accepted plan.
    """
    before = network.before
    if before is None:
        raise ValueError("no plan was accepted yet; make a first plan instead")
    known = [task for task in network.tasks if task.id in before.starts]
    crews = {task.id: crew_of(task, before.people.get(task.id, ())) for task in known}
    starts = {task.id: before.starts[task.id] for task in known}
    finishes = {}
    for task in known:
        extra = meal_at(task.crews[crews[task.id]], starts[task.id])
        finishes[task.id] = starts[task.id] + task.ticks + (extra or 0)
    return Solution("good", starts, finishes, crews, {}, before.finish)


def crew_of(task: Task, people: Sequence[str]) -> int:
    """The crew of the task made of these people, else the first."""
    names = sorted(people)
    return next((n for n, crew in enumerate(task.crews) if sorted(crew.people) == names), 0)


def repair(network: Network, before: Solution) -> Solution:
    """A whole plan in the order of `before`: nobody goes earlier, what is late pushes right what waits for it.

    People, ways and every order are kept as far as the network still allows; a task new to the plan comes after what
    it waits for. Windows whose opener has not begun move with it. What cannot be kept is named in `overrun`; there is
    always an answer. Waits, people, gear and floors are never broken, except between two things that both have begun.
    """
    shape = shape_of(network)
    kept = _in_old_order(shape, before)
    if kept is not None and not any(each.what == "hours" for each in kept.overrun):
        return kept
    laid = _laid_anew(shape, before)
    if kept is None:
        return laid
    return min((kept, laid), key=lambda plan: (sum(o.what == "hours" for o in plan.overrun), len(plan.overrun)))


def _in_old_order(shape: Shape, before: Solution) -> Solution | None:
    """The order kept by the least fixpoint, or None when the order and the lags contradict each other."""
    order = old_order(shape, before)
    found = _settled(order)
    for _ in range(MOST_NIGHTS):
        if not found.settled or not _mend_night(order, found.start, found.finish):
            break
        found = _settled(order)
    if not found.settled:
        return None
    broken = overruns(shape, found.start, found.finish, order.crew)
    return solution_from(shape, found.start, found.finish, order.crew, order.way, broken)


def _settled(order: Order) -> Earliest:
    """The least fixpoint; windows that push each other on and on are left to break, the one that pushed most first."""
    found = earliest(order)
    while not found.settled and found.pulled:
        most = max(found.pulled.values())
        order.windows = [window for at, window in enumerate(order.windows) if found.pulled[at] < most]
        found = earliest(order)
    return found


def old_order(shape: Shape, before: Solution) -> Order:
    """The order of work of `before` on this network, nothing allowed earlier than it was there."""
    start, finish, crew = _positions(shape, before)
    way = _ways(shape, before, start, finish)
    order = collect(Places(shape, start, finish, crew, way), always)
    for n, task in enumerate(shape.tasks):
        if task.id in before.starts and task.fixed is None:
            order.low[n] = max(order.low[n], before.starts[task.id])
    return order


def _ways(shape: Shape, before: Solution, start: Sequence[Tick], finish: Sequence[Tick]) -> list[int]:
    """The way in of each task: as before, else the first one over floors that were not off then."""
    shut: dict[str, list[tuple[int, int, Tick]]] = {}
    for n, task in enumerate(shape.tasks):
        for at, off in enumerate(task.off):
            if off.what == "walk":
                ends = [finish[n], *(finish[other] for other in shape.until(n, at))]
                shut.setdefault(off.floor, []).append((n, at, max(ends) if off.until else after(off.ticks, finish[n])))

    def is_clear(n: int, way: int) -> bool:
        return not any(
            owner != n and (owner, at) not in shape.exempt[n] and start[owner] < finish[n] and start[n] < over
            for floor in shape.tasks[n].ways[way]
            for owner, at, over in shut.get(floor, ())
        )

    ways = []
    for n, task in enumerate(shape.tasks):
        way = before.ways.get(task.id, -1)
        if not 0 <= way < len(task.ways):
            one = len(task.ways) == 1
            way = 0 if one else next((w for w in range(len(task.ways)) if is_clear(n, w)), 0)
        ways.append(way)
    return ways


def _positions(shape: Shape, before: Solution) -> tuple[list[Tick], list[Tick], list[int]]:
    """Where the tasks lay, by number. What is new lies right after what it waits for."""
    size = len(shape.tasks)
    start, finish, crew = [0] * size, [0] * size, [0] * size
    for n in shape.topo:
        task = shape.tasks[n]
        if task.fixed is not None:
            start[n], finish[n] = task.fixed
            continue
        ready = max([shape.network.now, task.release, *(start[other] for other, _ in shape.into[n])])
        ready = max(ready, _let_on(shape, before, n))
        if is_visit(task):
            # An accepted plan names no visits: they stand at their appointed time, not as soon as they could.
            ready = _appointed(task, ready)
        start[n] = before.starts.get(task.id, ready)
        crew[n] = _crew(task, before.crews.get(task.id, 0), start[n])
        finish[n] = start[n] + task.ticks + (meal_at(task.crews[crew[n]], start[n]) or 0)
    return start, finish, crew


def _appointed(visit: Task, ready: Tick) -> Tick:
    """The first appointed start of a visit at or after that tick; the tick itself when none is left."""
    found = next_start(visit.crews[0], ready)
    return ready if found is None else found[0]


def _let_on(shape: Shape, before: Solution, n: int) -> Tick:
    """When a new task may come onto its floors: not before the end of what shuts them until another step is done."""
    ways = shape.tasks[n].ways
    floors = set(ways[0]).intersection(*ways[1:]) if ways else set()
    ends = [0]
    for owner, task in enumerate(shape.tasks):
        if task.fixed is None:
            continue
        for at, off in enumerate(task.off):
            if off.what == "walk" and off.floor in floors and (owner, at) not in shape.exempt[n]:
                until = (shape.tasks[other] for other in shape.until(owner, at))
                ends += [before.starts[other.id] + other.ticks for other in until if other.id in before.starts]
    return max(ends)


def _crew(task: Task, wanted: int, tick: Tick) -> int:
    """The wanted crew, unless it is no more there from that tick on: then the one that can begin first."""
    if wanted < len(task.crews) and next_start(task.crews[wanted], tick) is not None:
        return wanted
    begins = [(found[0] if (found := next_start(crew, tick)) else FAR, n) for n, crew in enumerate(task.crews)]
    return min(begins)[1]


def _mend_night(order: Order, start: list[Tick], finish: list[Tick]) -> bool:
    """Push what takes the last toilet from a night past that night; False when no night can be mended so."""
    shape = order.shape
    for night in lost_nights(shape, start, finish):
        blocked = [way.blockers(night) for way in services(shape, start, finish)]
        movable = [tasks for tasks in blocked if tasks and not any(order.fixed(n) for n in tasks)]
        if movable:
            for n in min(movable, key=len):
                order.low[n] = max(order.low[n], night.finish)
            return True
    return False


def _laid_anew(shape: Shape, before: Solution) -> Solution:
    """Task after task in the old order onto an empty board, whoever can; what fits nowhere is laid where it breaks."""
    start, _, _ = _positions(shape, before)
    board = Board(shape)
    not_before = {n: before.starts[t.id] for n, t in enumerate(shape.tasks) if t.id in before.starts}
    lay_all(board, groups(shape, False), [float(tick) for tick in start], elastic=True, not_before=not_before)
    laid = [board.laid[n] for n in range(len(shape.tasks))]
    begin, end = [slot.start for slot in laid], [slot.finish for slot in laid]
    crew = [slot.crew for slot in laid]
    broken = overruns(shape, begin, end, crew)
    return solution_from(shape, begin, end, crew, [slot.way for slot in laid], broken)
