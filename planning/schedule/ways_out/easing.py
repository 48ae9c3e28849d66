"""A network with some of its facts given up: what is kept is what a plan of it must keep."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from planning.schedule.availability import is_visit
from planning.schedule.network import Crew, Due, Lag, Network, Off, Task, Tick

Fact = tuple[str, ...]
"""("wait", before, after): the order of two tasks and the wait between them. ("within", before, after): a window.
("release", task), ("visit", task), ("due", what): a promise. ("person", name): one thing at a time. ("gear", name),
("floor", barrier, floor), ("wet", floor), ("night", start tick), and the facts of start rules."""
Stretch = tuple[Tick, Tick]


@dataclass(frozen=True, slots=True)
class StartRule:
    """A fact about when work may begin: while it holds, a task of `crews` (by its id) begins as these crews may.

    The crews are the task's own, in the same order, with fewer start ranges. Tasks that are not named are free of it.
    """

    fact: Fact
    crews: Mapping[str, tuple[Crew, ...]]


class Easing:
    """A network and everything in it that can be given up.

    The starts of the network's own crews always hold, and the order of the pieces of a step; those of `rules` are
    facts. `dues`: are promises facts that a plan must keep? (In the network itself a promise may be late.)
    """

    def __init__(self, network: Network, rules: Sequence[StartRule] = (), dues: bool = False) -> None:
        self.network = network
        self.rules = rules
        self.dues = dues
        self._pieces = {(a, b) for a, b in _piece_pairs(network)}

    def facts(self) -> list[Fact]:
        """Every fact, demands first, each once."""
        network, free = self.network, [task for task in self.network.tasks if task.fixed is None]
        found: list[Fact] = [("due", due.what) for due in network.dues if self.dues]
        found += [("night", str(night.start)) for night in network.nights if network.toilets]
        found += [("visit", task.id) for task in free if is_visit(task)]
        found += [("release", task.id) for task in free if task.release > network.now]
        begun = {task.id for task in network.tasks if task.fixed is not None}
        lags = [lag for lag in network.lags if lag.after not in begun]
        found += [("within", lag.before, lag.after) for lag in lags if lag.within is not None]
        found += [("floor", off.what, off.floor) for task in network.tasks for off in task.off]
        found += [("wait", lag.before, lag.after) for lag in lags if not self._bare(lag)]
        found += [("wet", floor) for task in free for floor in task.wet_on]
        found += [rule.fact for rule in self.rules]
        found += [("person", name) for task in free for crew in task.crews for name in crew.people]
        found += [("gear", name) for task in free for name in task.gear]
        return list(dict.fromkeys(found))

    def _bare(self, lag: Lag) -> bool:
        """Is it the mere order of two pieces, which always holds?"""
        return (lag.before, lag.after) in self._pieces and all(ticks <= 0 for _, ticks in lag.wait)

    def keeping(self, facts: Collection[Fact]) -> Network:
        """The network that asks these facts only."""
        network, kept = self.network, frozenset(facts)
        held = [rule for rule in self.rules if rule.fact in kept]
        tasks = [self._task(task, kept, held) for task in network.tasks]
        lags = [each for lag in network.lags if (each := self._lag(lag, kept)) is not None]
        for due in network.dues if self.dues else ():
            if ("due", due.what) in kept:
                task, more = _as_appointment(due)
                tasks.append(task)
                lags += more
        return replace(
            network,
            tasks=tuple(tasks),
            lags=tuple(lags),
            gear={name: most if ("gear", name) in kept else len(tasks) + most for name, most in network.gear.items()},
            nights=tuple(night for night in network.nights if ("night", str(night.start)) in kept),
            dues=(),
            before=None,
        )

    def _lag(self, lag: Lag, kept: frozenset[Fact]) -> Lag | None:
        within = lag.within if ("within", lag.before, lag.after) in kept else None
        if ("wait", lag.before, lag.after) in kept or self._bare(lag):
            return replace(lag, within=within)
        if (lag.before, lag.after) in self._pieces:
            return replace(lag, wait=((0, 0),), within=within)
        return None if within is None else replace(lag, wait=((0, -self.network.horizon),), within=within)

    def _task(self, task: Task, kept: frozenset[Fact], held: Sequence[StartRule]) -> Task:
        off = tuple(each for each in task.off if ("floor", each.what, each.floor) in kept)
        if task.fixed is not None:
            return replace(task, off=off)
        crews = task.crews
        for rule in held:
            if task.id in rule.crews:
                crews = tuple(_both(one, other) for one, other in zip(crews, rule.crews[task.id], strict=True))
        if is_visit(task) and ("visit", task.id) not in kept:
            anywhere = ((self.network.now, self.network.horizon - task.ticks),)
            crews = tuple(replace(crew, starts=anywhere, pauses=()) for crew in crews)
        return replace(
            task,
            crews=tuple(_renamed(crew, task.id, kept) for crew in crews),
            off=off,
            wet_on=tuple(floor for floor in task.wet_on if ("wet", floor) in kept or _shut_wet(off, floor)),
            release=task.release if ("release", task.id) in kept else 0,
        )


def _shut_wet(off: Sequence[Off], floor: str) -> bool:
    return any((each.what, each.floor) == ("wet", floor) for each in off)


def _renamed(crew: Crew, task: str, kept: frozenset[Fact]) -> Crew:
    """Somebody who may do several things at once is somebody else at each."""
    return replace(crew, people=tuple(p if ("person", p) in kept else f"{p} at {task}" for p in crew.people))


def _piece_pairs(network: Network) -> Iterable[tuple[str, str]]:
    pieces: dict[str, list[Task]] = {}
    for task in network.tasks:
        if task.piece_of is not None:
            pieces.setdefault(task.piece_of, []).append(task)
    for some in pieces.values():
        some.sort(key=lambda task: task.piece)
        yield from ((a.id, b.id) for a, b in pairwise(some))


def _as_appointment(due: Due) -> tuple[Task, list[Lag]]:
    """A promise that must be kept: somebody comes at that very time, and all must be over before."""
    name = f"promise/{due.what}"
    task = Task(name, 1, (Crew((), ((due.tick, due.tick),)),), counts=False)
    return task, [Lag(before, name, curve) for before, curve in due.ends]


def _both(one: Crew, other: Crew) -> Crew:
    """The crew, beginning only where both may."""
    extras = sorted({extra for _, _, extra in one.pauses})
    pauses = [
        (first, last, extra)
        for extra in extras
        for first, last in common(
            [(a, b) for a, b, more in one.pauses if more == extra],
            [(a, b) for a, b, more in other.pauses if more == extra],
        )
    ]
    return Crew(one.people, tuple(common(one.starts, other.starts)), tuple(sorted(pauses)))


def common(one: Iterable[Stretch], other: Iterable[Stretch]) -> list[Stretch]:
    """The ticks in both of two lists of inclusive ranges."""
    mine, theirs = sorted(one), sorted(other)
    found: list[Stretch] = []
    i = j = 0
    while i < len(mine) and j < len(theirs):
        first, last = max(mine[i][0], theirs[j][0]), min(mine[i][1], theirs[j][1])
        if first <= last:
            found.append((first, last))
        if mine[i][1] < theirs[j][1]:
            i += 1
        else:
            j += 1
    return found
