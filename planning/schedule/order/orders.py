"""The order of work of a plan as edges between tasks: who hands people, gear and floors on to whom, and the lags.

An edge says `after` begins no sooner than the start or finish of `before` plus a curve. Windows, nights, dues and
visits bound from above. Everything else about a plan may slide along these edges without a change of order.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from planning.schedule.availability import after, is_visit, latest_from
from planning.schedule.network import Curve, Lag, Network, Solution, Tick
from planning.schedule.order.served import guards
from planning.schedule.shape import Place, Shape, shape_of

AT_ONCE: Curve = ((0, 0),)


@dataclass(frozen=True, slots=True)
class Edge:
    """`after` begins no sooner than `before`'s finish (or start) plus the curve; `owner` is whom that is about."""

    before: int
    after: int
    curve: Curve
    from_start: bool
    kind: str
    owner: int


@dataclass(frozen=True, slots=True)
class Limit:
    """A task ends by `tick` at the latest, or `root` is lost."""

    task: int
    tick: Tick
    root: tuple[str, ...]


@dataclass(slots=True)
class Order:
    """A plan's tasks by number, and everything its order of work says of them.

    `low`: ticks a task may not begin before. `into`, `out_of`: edges by task. `windows`: (before, lag, after).
    """

    shape: Shape
    start: list[Tick]
    finish: list[Tick]
    crew: list[int]
    way: list[int]
    low: list[Tick]
    into: list[list[Edge]]
    out_of: list[list[Edge]]
    windows: list[tuple[int, Lag, int]]
    limits: list[Limit]
    sequence: list[int]

    def fixed(self, n: int) -> bool:
        """Has it begun?"""
        return self.shape.tasks[n].fixed is not None


def order_of(network: Network, plan: Solution, shape: Shape | None = None) -> Order:
    """The order of work of a plan. What the plan does not keep is left out, so that the plan fits its own order."""
    shape = shape or shape_of(network)
    names = [task.id for task in shape.tasks]
    start = [plan.starts[name] for name in names]
    finish = [plan.finishes[name] for name in names]
    crew = [plan.crews.get(name, 0) for name in names]
    way = [plan.ways.get(name, 0) for name in names]
    places = Places(shape, start, finish, crew, way)

    def kept(edge: Edge) -> bool:
        base = start[edge.before] if edge.from_start else finish[edge.before]
        return after(edge.curve, base) <= start[edge.after]

    order = collect(places, kept)
    for before, _, _ in (window for window in order.windows if not _open(order, window)):
        # The opener of a window that has shut must not go earlier still.
        order.low[before] = max(order.low[before], start[before])
    order.windows = [window for window in order.windows if _open(order, window)]
    order.limits = [*_limits(order, plan), *_night_limits(order)]
    return order


def _open(order: Order, window: tuple[int, Lag, int]) -> bool:
    before, lag, later = window
    base = order.start[before] if lag.from_start else order.finish[before]
    return lag.within is not None and order.start[later] <= after(lag.within, base)


def collect(places: "Places", kept: Callable[[Edge], bool]) -> Order:
    """The order with all edges that pass `kept`; nights, dues and the finish are not in it yet."""
    shape = places.shape
    size = range(len(shape.tasks))
    into: list[list[Edge]] = [[] for _ in size]
    out_of: list[list[Edge]] = [[] for _ in size]
    for edge in places.edges():
        if shape.tasks[edge.after].fixed is None and edge.before != edge.after and kept(edge):
            into[edge.after].append(edge)
            out_of[edge.before].append(edge)
    windows = [
        (other, lag, n)
        for n in size if shape.tasks[n].fixed is None
        for other, lag in shape.into[n] if lag.within is not None
    ]  # fmt: skip
    low = [max(shape.network.now, task.release) for task in shape.tasks]
    start = places.start
    low = [min(tick, start[n]) for n, tick in enumerate(low)] if kept is not always else low
    return Order(
        shape, start, places.finish, places.crew, places.way, low, into, out_of, windows, [],
        sorted(size, key=places.place.__getitem__),
    )  # fmt: skip


def always(_: Edge) -> bool:
    """Every edge counts, kept or not: for an order that is to be made to fit."""
    return True


class Places:
    """Finds the edges of an order given by where the tasks lie (or lay)."""

    def __init__(
        self, shape: Shape, start: list[Tick], finish: list[Tick], crew: list[int], way: list[int]
    ) -> None:  # fmt: skip
        self.shape = shape
        self.start, self.finish, self.crew, self.way = start, finish, crew, way
        rank = {n: at for at, n in enumerate(shape.topo)}
        # What has begun comes first: nothing unfixed can go before it.
        keys = [(task.fixed is None, start[n], finish[n], rank[n]) for n, task in enumerate(shape.tasks)]
        self.place = {n: at for at, n in enumerate(sorted(range(len(start)), key=keys.__getitem__))}

    def edges(self) -> Iterable[Edge]:
        """Every edge of the order, windows aside."""
        yield from self._lags()
        yield from self._people()
        yield from self._gear()
        yield from self._floors()

    def _sorted(self, tasks: Iterable[int]) -> list[int]:
        return sorted(tasks, key=self.place.__getitem__)

    def _lags(self) -> Iterable[Edge]:
        for n, links in enumerate(self.shape.into):
            for other, lag in links:
                yield Edge(other, n, lag.wait, lag.from_start, "lag", other)

    def _chain(self, tasks: Iterable[int], kind: str) -> Iterable[Edge]:
        """One after the other; all that has begun before the first that has not."""
        last: list[int] = []
        for n in self._sorted(tasks):
            if self.shape.tasks[n].fixed is not None:
                last.append(n)
                continue
            yield from (Edge(one, n, AT_ONCE, False, kind, one) for one in last)
            last = [n]

    def _people(self) -> Iterable[Edge]:
        work: dict[str, list[int]] = {}
        for n, task in enumerate(self.shape.tasks):
            for name in task.crews[self.crew[n]].people:
                work.setdefault(name, []).append(n)
        for tasks in work.values():
            yield from self._chain(tasks, "person")

    def _gear(self) -> Iterable[Edge]:
        users: dict[str, list[int]] = {}
        for n, task in enumerate(self.shape.tasks):
            for name, count in task.gear.items():
                if count:
                    users.setdefault(name, []).append(n)
        for name, tasks in users.items():
            last: list[int | None] = [None] * self.shape.network.gear.get(name, 0)
            for n in self._sorted(tasks):
                last.sort(key=lambda user: -1 if user is None else self.finish[user])
                for unit in range(min(len(last), self.shape.tasks[n].gear[name])):
                    user = last[unit]
                    if user is not None:
                        yield Edge(user, n, AT_ONCE, False, "gear", user)
                    if user is None or self.shape.tasks[n].fixed is None or self.finish[n] > self.finish[user]:
                        last[unit] = n

    def _floors(self) -> Iterable[Edge]:
        users: dict[Place, list[int]] = {}
        owners: dict[Place, list[tuple[int, int]]] = {}
        for n, task in enumerate(self.shape.tasks):
            for place in self.shape.uses(n, self.way[n]):
                users.setdefault(place, []).append(n)
            for at, off in enumerate(task.off):
                owners.setdefault((off.what, off.floor), []).append((n, at))
        for place, tasks in users.items():
            if place[0] == "wet":
                yield from self._chain(tasks, "wet")
        for place, offs in owners.items():
            kind = "wet" if place[0] == "wet" else "floor"
            yield from self._around(kind, self._sorted(users.get(place, ())), offs)

    def _around(self, kind: str, users: Sequence[int], offs: Sequence[tuple[int, int]]) -> Iterable[Edge]:
        """Each stay-off of one floor against each user before and after it, those implied by others left out."""
        exempt, place = self.shape.exempt, self.place
        offs = sorted(offs, key=lambda off: place[off[0]])
        there = set(users)
        spared = {owner for user in users for owner in exempt[user]}
        tasks = self.shape.tasks
        plain = [n for n, at in offs if n in there and (n, at) not in spared and tasks[n].fixed is None]
        for owner in offs:
            n = owner[0]
            before = max((place[m] for m in plain if place[m] < place[n]), default=-1) if n in there else -1
            behind = min(
                (place[m] for m in plain if place[m] > place[n] and owner not in exempt[m]), default=len(place)
            )
            for user in users:
                if user == n or owner in exempt[user]:
                    continue
                if before <= place[user] < place[n]:
                    yield Edge(user, n, AT_ONCE, False, kind, user)
                elif place[n] < place[user] <= behind:
                    yield from self._off(owner, user, kind)

    def _off(self, owner: tuple[int, int], user: int, kind: str) -> Iterable[Edge]:
        n, at = owner
        off = self.shape.tasks[n].off[at]
        if not off.until:
            yield Edge(n, user, off.ticks, False, kind, n)
            return
        yield Edge(n, user, AT_ONCE, False, kind, n)
        for other in self.shape.until(n, at):
            yield Edge(other, user, AT_ONCE, False, kind, n)


def _limits(order: Order, plan: Solution) -> Iterable[Limit]:
    """Latest finishes by the plan's own finish, its dues and its visits."""
    tasks, index = order.shape.tasks, order.shape.index
    for n, task in enumerate(tasks):
        if task.counts:
            yield Limit(n, max(plan.finish, order.finish[n]), ("finish",))
        if is_visit(task) and task.fixed is None and len(task.crews[0].starts) == 1:
            last = task.crews[0].starts[0][1] + task.ticks
            if order.finish[n] <= last:
                yield Limit(n, last, ("visit", task.id))
    for due in order.shape.network.dues:
        ends = [(index[name], curve) for name, curve in due.ends if name in index]
        over = max([due.tick, *(after(curve, order.finish[n]) for n, curve in ends)])
        for n, curve in ends:
            yield Limit(n, latest_from(curve, over), ("due", due.what))


def _night_limits(order: Order) -> Iterable[Limit]:
    """Keep each night served as the plan serves it: work after it stays after it, stay-offs before it stay before."""
    first: dict[int, Limit] = {}
    begins = {night.finish: night.start for night in order.shape.network.nights}
    for guard in guards(order.shape, order.start, order.finish):
        for n in guard.after:
            order.low[n] = max(order.low[n], guard.finish)
        for n, tick in guard.before:
            if n not in first or tick < first[n].tick:
                first[n] = Limit(n, tick, ("night", str(begins[guard.finish])))
    return first.values()
