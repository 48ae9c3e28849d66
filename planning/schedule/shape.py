"""A network by task number: links both ways, who is exempt from whose stay-off, which tasks belong together."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush
from itertools import pairwise
from operator import itemgetter

from planning.schedule.availability import FAR, is_visit, ranges
from planning.schedule.network import Crew, Curve, Lag, Network, Task, Tick

Link = tuple[int, Lag]
Place = tuple[str, str]
"""What a stay-off is about and where: ("walk" | "wet" | "heavy", floor)."""


@dataclass(slots=True)
class Shape:
    """The network with its tasks numbered as they stand in it.

    `into[i]` / `out_of[i]`: (other task, lag) of the lags that end or begin at i; pieces of one step follow each
    other by lags even when the network does not spell them out. `exempt[i]`: the stay-offs (task, its number) that do
    not bind i: those of earlier pieces of its own step, and what lasts until i is done. `untils[i]`: the tasks with a
    stay-off that lasts until i is done.
    """

    network: Network
    tasks: Sequence[Task]
    index: dict[str, int]
    into: list[list[Link]]
    out_of: list[list[Link]]
    exempt: list[frozenset[tuple[int, int]]]
    untils: list[list[int]]
    topo: list[int] = field(default_factory=list)
    preferred: list[list[int]] = field(default_factory=list)
    """The crews of each task, those first whose people the other work can best do without."""
    visits: list[int] = field(default_factory=list)
    """Visits still to come that have one appointed time (a range of starts)."""
    spares: frozenset[int] = frozenset()
    """Tasks with a stay-off from which somebody is exempt."""
    _starts: dict[tuple[int, int], list[tuple[int, int]]] = field(default_factory=dict)
    _calendars: dict[object, list[tuple[int, int]]] = field(default_factory=dict)
    _least: dict[int, int] = field(default_factory=dict)
    _delays: dict[int, dict[int, Tick]] = field(default_factory=dict)

    def uses(self, i: int, way: int) -> Iterable[Place]:
        """The places task i occupies while it runs, if it takes that way in."""
        task = self.tasks[i]
        yield from (("walk", floor) for floor in task.ways[way])
        yield from (("wet", floor) for floor in task.wet_on)
        yield from (("heavy", floor) for floor in task.heavy_on)

    def starts(self, n: int, crew: int) -> list[tuple[int, int]]:
        """The starts of one crew of a task as sets of ticks: (ticks a meal adds, starts) for each length of meal."""
        found = self._starts.get((n, crew))
        if found is None:
            option = self.tasks[n].crews[crew]
            # Many tasks of one length share their hours, so each calendar is worked out once.
            calendar = (option.starts, option.pauses)
            found = self._calendars.get(calendar)
            if found is None:
                found = self._calendars[calendar] = _starts_of(option)
            self._starts[n, crew] = found
        return found

    def least(self, curve: Curve) -> int:
        """The curve at its shortest."""
        if len(curve) == 1:
            return curve[0][1]
        if id(curve) not in self._least:
            self._least[id(curve)] = min(map(itemgetter(1), curve))
        return self._least[id(curve)]

    def delay(self, start: int, other: int) -> Tick:
        """The least ticks from the finish of `start` to the finish of `other` that the lags between them ask; 0 with
        none. Waits count at their shortest, and nobody's hours count.
        """
        if start not in self._delays:
            self._delays[start] = self._delays_from(start)
        return self._delays[start].get(other, 0)

    def _delays_from(self, start: int) -> dict[int, Tick]:
        delay = {start: 0}
        for n in self.topo:
            if n not in delay:
                continue
            for other, lag in self.out_of[n]:
                base = delay[n] - (self.tasks[n].ticks if lag.from_start else 0)
                delay[other] = max(delay.get(other, -FAR), base + self.least(lag.wait) + self.tasks[other].ticks)
        return delay

    def until(self, i: int, at: int) -> list[int]:
        """The tasks until whose finish the stay-off number `at` of task i lasts."""
        return [self.index[name] for name in self.tasks[i].off[at].until if name in self.index]


def _starts_of(crew: Crew) -> list[tuple[int, int]]:
    found = [(0, ranges(crew.starts))]
    for extra in {pause[2] for pause in crew.pauses}:
        found.append((extra, ranges([(first, last) for first, last, more in crew.pauses if more == extra])))
    return found


def shape_of(network: Network) -> Shape:
    """Number the network."""
    tasks = network.tasks
    index = {task.id: n for n, task in enumerate(tasks)}
    # What has begun waits for nothing any more.
    lags = [
        lag
        for lag in network.lags
        if lag.before in index and lag.after in index and tasks[index[lag.after]].fixed is None
    ]
    into: list[list[Link]] = [[] for _ in tasks]
    out_of: list[list[Link]] = [[] for _ in tasks]
    steps = _pieces(tasks)
    for lag in [*lags, *_piece_lags(tasks, steps, lags)]:
        before, after = index[lag.before], index[lag.after]
        into[after].append((before, lag))
        out_of[before].append((after, lag))
    untils: list[list[int]] = [[] for _ in tasks]
    exempt: list[set[tuple[int, int]]] = [set() for _ in tasks]
    for n, task in enumerate(tasks):
        for at, off in enumerate(task.off):
            for other in (index[name] for name in off.until if name in index):
                exempt[other].add((n, at))
                if n not in untils[other]:
                    untils[other].append(n)
    for pieces in steps.values():
        for place, n in enumerate(pieces):
            exempt[n].update((earlier, at) for earlier in pieces[:place] for at in range(len(tasks[earlier].off)))
    shape = Shape(network, tasks, index, into, out_of, [frozenset(each) for each in exempt], untils)
    shape.topo = in_order(range(len(tasks)), shape, lambda n: n)
    shape.preferred = _preferred(tasks)
    shape.visits = [
        n for n, task in enumerate(tasks) if task.fixed is None and is_visit(task) and len(task.crews[0].starts) == 1
    ]
    shape.spares = frozenset(owner for owners in exempt for owner, _ in owners)
    return shape


def _pieces(tasks: Sequence[Task]) -> dict[str, list[int]]:
    steps: dict[str, list[int]] = {}
    for n, task in enumerate(tasks):
        if task.piece_of is not None:
            steps.setdefault(task.piece_of, []).append(n)
    for pieces in steps.values():
        pieces.sort(key=lambda n: tasks[n].piece)
    return steps


def _piece_lags(tasks: Sequence[Task], steps: dict[str, list[int]], lags: Iterable[Lag]) -> list[Lag]:
    known = {(lag.before, lag.after) for lag in lags if not lag.from_start}
    pairs = [(tasks[a].id, tasks[b].id) for pieces in steps.values() for a, b in pairwise(pieces)]
    begun = {task.id for task in tasks if task.fixed is not None}
    return [Lag(before, after) for before, after in pairs if (before, after) not in known and after not in begun]


def _preferred(tasks: Sequence[Task]) -> list[list[int]]:
    need: dict[str, float] = {}
    for task in tasks:
        share = task.ticks / max(1, len(task.crews))
        for crew in task.crews:
            for name in crew.people:
                need[name] = need.get(name, 0.0) + share
    return [
        sorted(range(len(task.crews)), key=lambda c: (sum(need[name] for name in task.crews[c].people), c))
        for task in tasks
    ]


def in_order(members: Iterable[int], shape: Shape, key: Callable[[int], float]) -> list[int]:
    """The members so that what a lag holds back comes later, among the free ones the least key first.

    Lags that go round in a circle are cut where the least key stands.
    """
    inside = set(members)
    waits = {n: sum(1 for other, _ in shape.into[n] if other in inside) for n in inside}
    free = [(key(n), n) for n in inside if waits[n] == 0]
    heapify(free)
    done: list[int] = []
    left = set(inside)
    while left:
        if not free:
            free.append(min((key(n), n) for n in left))
        _, n = heappop(free)
        if n not in left:
            continue
        left.discard(n)
        done.append(n)
        for other, _ in shape.out_of[n]:
            if other in left:
                waits[other] -= 1
                if waits[other] == 0:
                    heappush(free, (key(other), other))
    return done


def groups(shape: Shape, whole_toilets: bool) -> list[list[int]]:
    """Tasks that must be placed together: tied by windows, by a stay-off and what ends it, and (`whole_toilets`) all
    work between taking a toilet out and giving it back. What lies between two members belongs to the group too.
    """
    edges = [[other for other, _ in links] for links in shape.out_of]
    for n, links in enumerate(shape.into):
        edges[n].extend(other for other, lag in links if lag.within is not None and not _fixed(shape, other))
        edges[n].extend(other for other in shape.untils[n] if not _fixed(shape, other))
    if whole_toilets:
        for toilet in shape.network.toilets:
            if toilet.back in shape.index:
                edges[shape.index[toilet.back]].extend(shape.index[name] for name in toilet.out if name in shape.index)
    return _components(edges)


def _fixed(shape: Shape, n: int) -> bool:
    return shape.tasks[n].fixed is not None


def _components(edges: Sequence[Sequence[int]]) -> list[list[int]]:
    """Strongly connected components (Tarjan, without recursion), each sorted, in a topological order."""
    count = len(edges)
    number, low = [-1] * count, [0] * count
    stack: list[int] = []
    on_stack = [False] * count
    found: list[list[int]] = []
    clock = 0
    for root in range(count):
        if number[root] >= 0:
            continue
        work = [(root, 0)]
        while work:
            n, at = work.pop()
            if at == 0:
                number[n] = low[n] = clock
                clock += 1
                stack.append(n)
                on_stack[n] = True
            elif on_stack[edges[n][at - 1]]:
                low[n] = min(low[n], low[edges[n][at - 1]])
            while at < len(edges[n]) and number[edges[n][at]] >= 0:
                if on_stack[edges[n][at]]:
                    low[n] = min(low[n], number[edges[n][at]])
                at += 1
            if at < len(edges[n]):
                work += [(n, at + 1), (edges[n][at], 0)]
            elif low[n] == number[n]:
                cut = stack.index(n)
                for each in stack[cut:]:
                    on_stack[each] = False
                found.append(sorted(stack[cut:]))
                del stack[cut:]
    found.reverse()
    return found
