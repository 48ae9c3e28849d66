"""Why a task is not earlier: the constraint that breaks one tick before its start, all else standing still."""

from collections.abc import Iterator
from dataclasses import dataclass

from planning.schedule.availability import after, is_visit, last_start, meal_at, next_start
from planning.schedule.network import Network, Solution, Tick
from planning.schedule.order.orders import Order, order_of
from planning.schedule.order.served import nights_left
from planning.schedule.shape import Place

MEAL_TICKS = 24
"""A gap in the hours of at most so long (2 h), within one day's work, is a meal or a pause of the house."""

PRIORITY = ("visit", "lag", "order", "floor", "wet", "person", "gear", "release", "now", "night", "window")
"""Which reason is told when several hold at once: first the work itself, then who and what, then the calendar."""


@dataclass(frozen=True, slots=True)
class Reason:
    """What breaks if a task begins one tick earlier.

    `kind`: "lag" (a wait after `other`), "visit" (the visit `other` comes first; no `other`: the visit's own time),
    "order" (an earlier piece of the same step, or nothing at all: it only comes there in the plan), "floor" and "wet"
    (`other` keeps the floor off, or works there and would be shut in), "person", "gear" (`other` has them), "hours",
    "meal", "release", "night", "now", or "window" (the window of `other`, which comes later, would have shut by then).
    `until`: the tick from which it no longer holds. `behind`, for hours and meals: what would break at the last
    start before that the hours do allow, or None.
    """

    kind: str
    other: str | None
    until: Tick
    behind: "Reason | None" = None


def reason_codes(network: Network, solution: Solution) -> dict[str, Reason]:
    """The reason of each task not yet begun."""
    asker = _Asker(order_of(network, solution))
    return {task.id: asker.reason(n) for n, task in enumerate(asker.order.shape.tasks) if task.fixed is None}


class _Asker:
    def __init__(self, order: Order) -> None:
        self.order = order
        self.shape = order.shape
        self.people: dict[str, list[int]] = {}
        self.gear: dict[str, list[int]] = {}
        self.users: dict[Place, list[int]] = {}
        self.owners: dict[Place, list[tuple[int, int]]] = {}
        for n, task in enumerate(self.shape.tasks):
            for name in task.crews[order.crew[n]].people:
                self.people.setdefault(name, []).append(n)
            for name, count in task.gear.items():
                if count:
                    self.gear.setdefault(name, []).append(n)
            for place in self.shape.uses(n, order.way[n]):
                self.users.setdefault(place, []).append(n)
            for at, off in enumerate(task.off):
                self.owners.setdefault((off.what, off.floor), []).append((n, at))

    def reason(self, n: int) -> Reason:
        """Why task n is not one tick earlier."""
        start = self.order.start[n]
        task = self.shape.tasks[n]
        crew = task.crews[self.order.crew[n]]
        extra = meal_at(crew, start - 1)
        found = self._first(n, start - 1, start - 1 + task.ticks + (extra or 0))
        if found is not None:
            return found
        if extra is not None:
            return Reason("order", None, start)
        if is_visit(task):
            return Reason("visit", None, start)
        earlier = last_start(crew, task.ticks, start - 1 + task.ticks, start - 1)
        if earlier is None:
            return Reason("hours", None, start)
        fit = next_start(crew, earlier)
        finish = earlier + task.ticks + (fit[1] if fit else 0)
        behind = self._last(n, earlier, finish)
        return Reason("meal" if start - finish <= MEAL_TICKS else "hours", None, start, behind)

    def _first(self, n: int, start: Tick, finish: Tick) -> Reason | None:
        """What is told first of what breaks if n lies in [start, finish)."""
        return min(self._broken(n, start, finish), key=lambda r: PRIORITY.index(r.kind), default=None)

    def _last(self, n: int, start: Tick, finish: Tick) -> Reason | None:
        """What holds longest of what breaks if n lies in [start, finish)."""
        return max(self._broken(n, start, finish), key=lambda r: (r.until, -PRIORITY.index(r.kind)), default=None)

    def _broken(self, n: int, start: Tick, finish: Tick) -> Iterator[Reason]:
        network = self.shape.network
        if start < network.now:
            yield Reason("now", None, network.now)
        if start < self.shape.tasks[n].release:
            yield Reason("release", None, self.shape.tasks[n].release)
        yield from self._lags(n, start, finish)
        yield from self._crossing(n, start, finish)
        yield from self._floors(n, start, finish)
        yield from self._own_offs(n, start, finish)
        yield from self._nights(n, start, finish)

    def _name(self, n: int) -> str:
        return self.shape.tasks[n].id

    def _lags(self, n: int, start: Tick, finish: Tick) -> Iterator[Reason]:
        order, tasks = self.order, self.shape.tasks
        for other, lag in self.shape.into[n]:
            ready = after(lag.wait, order.start[other] if lag.from_start else order.finish[other])
            if start < ready:
                same = tasks[n].piece_of is not None and tasks[n].piece_of == tasks[other].piece_of
                kind = "order" if same else "visit" if is_visit(tasks[other]) else "lag"
                yield Reason(kind, self._name(other), ready)
        for other, lag in self.shape.out_of[n]:
            if lag.within is None:
                continue
            begin = order.start[other]
            kept = begin <= after(lag.within, order.start[n] if lag.from_start else order.finish[n])
            if kept and begin > after(lag.within, start if lag.from_start else finish):
                yield Reason("window", self._name(other), order.start[n])

    def _meets(self, other: int, start: Tick, finish: Tick) -> bool:
        return self.order.start[other] < finish and start < self.order.finish[other]

    def _crossing(self, n: int, start: Tick, finish: Tick) -> Iterator[Reason]:
        """Others who have the same people, gear or wet floor then."""
        order, task = self.order, self.shape.tasks[n]
        for name in task.crews[order.crew[n]].people:
            yield from self._met(n, "person", self.people[name], start, finish)
        for floor in task.wet_on:
            yield from self._met(n, "wet", self.users[("wet", floor)], start, finish)
        for name, count in task.gear.items():
            there = [o for o in self.gear.get(name, ()) if o != n and self._meets(o, start, finish)]
            most = self.shape.network.gear.get(name, 0)
            if there and sum(self.shape.tasks[o].gear[name] for o in there) + count > most:
                first = min(there, key=lambda o: order.finish[o])
                if order.finish[first] <= order.start[n]:
                    yield Reason("gear", self._name(first), order.finish[first])

    def _met(self, n: int, kind: str, others: list[int], start: Tick, finish: Tick) -> Iterator[Reason]:
        for other in others:
            if other != n and self._meets(other, start, finish):
                yield Reason(kind, self._name(other), self.order.finish[other])

    def over(self, n: int, at: int, finish: Tick) -> Tick:
        """When stay-off number `at` of task n is over if n ends at `finish`."""
        off = self.shape.tasks[n].off[at]
        if not off.until:
            return after(off.ticks, finish)
        return max([finish, *(self.order.finish[other] for other in self.shape.until(n, at))])

    def _floors(self, n: int, start: Tick, finish: Tick) -> Iterator[Reason]:
        """Floors n uses that others keep off then."""
        for place in self.shape.uses(n, self.order.way[n]):
            for owner in self.owners.get(place, ()):
                if owner[0] == n or owner in self.shape.exempt[n]:
                    continue
                over = self.over(*owner, self.order.finish[owner[0]])
                if start < over and self.order.start[owner[0]] < finish:
                    yield Reason("wet" if place[0] == "wet" else "floor", self._name(owner[0]), over)

    def _own_offs(self, n: int, start: Tick, finish: Tick) -> Iterator[Reason]:
        """Others on floors that n would keep off then."""
        for at, off in enumerate(self.shape.tasks[n].off):
            over = self.over(n, at, finish)
            for user in self.users.get((off.what, off.floor), ()):
                if user != n and (n, at) not in self.shape.exempt[user] and self._meets(user, start, over):
                    yield Reason("wet" if off.what == "wet" else "floor", self._name(user), self.order.finish[user])

    def _nights(self, n: int, start: Tick, finish: Tick) -> Iterator[Reason]:
        if not self._is_of_nights(n):
            return
        for night in nights_left(self.shape):
            if self.order.start[n] >= night.finish > start and not self._served(night.start, night.finish, n, start):
                yield Reason("night", None, night.finish)

    def _is_of_nights(self, n: int) -> bool:
        task = self.shape.tasks[n]
        toilets = self.shape.network.toilets
        floors = {floor for toilet in toilets for way in toilet.ways for floor in way}
        return any(task.id in toilet.out for toilet in toilets) or any(
            off.what == "walk" and off.floor in floors for off in task.off
        )

    def _served(self, first: Tick, last: Tick, n: int, start: Tick) -> bool:
        """Is the night served if n begins at `start` and its stay-offs last through the night?"""
        order = self.order
        starts = {name: start if i == n else order.start[i] for name, i in self.shape.index.items()}

        def green(floor: str) -> bool:
            for owner, at in self.owners.get(("walk", floor), ()):
                begins = start if owner == n else order.start[owner]
                if begins < last and self.over(owner, at, order.finish[owner]) > first:
                    return True
            return False

        for toilet in self.shape.network.toilets:
            back = self.shape.index.get(toilet.back or "")
            home = back is not None and order.finish[back] <= first
            works = all(home or starts[name] >= last for name in toilet.out if name in starts)
            if works and any(not any(green(floor) for floor in way) for way in toilet.ways):
                return True
        return False
