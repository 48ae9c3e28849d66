"""Pairs of tasks that can never run together, whatever crews and ways are chosen, and what each order would ask.

Only what holds in every plan is a pair: both are wet trades on a floor, one stands on or crosses (by every way) a floor
the other keeps off, or both need the only machine. Two tasks of one person are left to the working time (`energy`).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from planning.schedule.availability import FAR, after, latest_from
from planning.schedule.network import Curve
from planning.schedule.proof.trial import Trial
from planning.schedule.shape import Place, Shape

AT_ONCE: Curve = ((0, 0),)


@dataclass(frozen=True, slots=True)
class Block:
    """Something that lasts from the start of one task until the curve after the finish of another is over."""

    first: int
    last: int
    curve: Curve = AT_ONCE


@dataclass(frozen=True, slots=True)
class Pair:
    """Two blocks that may not overlap: the later one begins when the earlier one is over."""

    one: Block
    other: Block


def all_pairs(shape: Shape) -> list[Pair]:
    """The pairs of a network that its lags do not put in order already."""
    later = _later(shape)
    found: dict[tuple[Block, Block], Pair] = {}
    for one, other in _pairs(shape):
        a, b = one.first, other.first
        if a == b or (shape.tasks[a].fixed is not None and shape.tasks[b].fixed is not None):
            continue
        if b in later[one.last] and one.curve == AT_ONCE:
            continue
        if a in later[other.last] and other.curve == AT_ONCE:
            continue
        found.setdefault((one, other), Pair(one, other))
    return list(found.values())


def _later(shape: Shape) -> list[set[int]]:
    """For each task, the tasks that lags put after its finish."""
    later: list[set[int]] = [set() for _ in shape.tasks]
    for n in reversed(shape.topo):
        for other, lag in shape.out_of[n]:
            if not lag.from_start:
                later[n] |= later[other] | {other}
    return later


def _pairs(shape: Shape) -> Iterator[tuple[Block, Block]]:
    users: dict[Place, list[int]] = {}
    gear: dict[str, list[int]] = {}
    for n, task in enumerate(shape.tasks):
        every_way = set.intersection(*(set(way) for way in task.ways)) if task.ways else set()
        used = [
            *(("walk", f) for f in every_way),
            *(("wet", f) for f in task.wet_on),
            *(("heavy", f) for f in task.heavy_on),
        ]
        for place in used:
            users.setdefault(place, []).append(n)
        for name, count in task.gear.items():
            if count:
                gear.setdefault(name, []).append(n)
    for place, tasks in users.items():
        if place[0] == "wet":
            yield from ((Block(a, a), Block(b, b)) for a, b in combinations(tasks, 2))
    for name, tasks in gear.items():
        most = shape.network.gear.get(name, 0)
        for a, b in combinations(tasks, 2):
            if shape.tasks[a].gear[name] + shape.tasks[b].gear[name] > most:
                yield Block(a, a), Block(b, b)
    for owner, task in enumerate(shape.tasks):
        for at, off in enumerate(task.off):
            for user in users.get((off.what, off.floor), ()):
                if user != owner and (owner, at) not in shape.exempt[user]:
                    if off.until:
                        yield from ((Block(owner, end), Block(user, user)) for end in shape.until(owner, at))
                    else:
                        yield Block(owner, owner, off.ticks), Block(user, user)


class Pairs:
    """The pairs of a network, found by the tasks they speak of."""

    def __init__(self, shape: Shape) -> None:
        self.all = all_pairs(shape)
        self.of: list[list[int]] = [[] for _ in shape.tasks]
        for at, pair in enumerate(self.all):
            for n in {pair.one.first, pair.one.last, pair.other.first, pair.other.last}:
                self.of[n].append(at)

    def force(self, trial: Trial) -> bool:
        """Where one order of a pair is no longer possible, put it in the other; True when anything changed.

        Only pairs of tasks that moved are looked at. Raises Refuted.
        """
        changed = False
        while trial.moved:
            asked = {at for n in trial.moved for at in self.of[n]}
            trial.moved.clear()
            for at in sorted(asked):
                one, other = self.all[at].one, self.all[at].other
                if not _fits(trial, one, other):
                    changed |= put(trial, other, one)
                elif not _fits(trial, other, one):
                    changed |= put(trial, one, other)
            trial.settle()
        return changed


def put(trial: Trial, before: Block, behind: Block) -> bool:
    """Let `behind` begin when `before` is over; True when that is news. Raises Refuted."""
    news = trial.start_from(behind.first, after(before.curve, trial.ef[before.last]))
    limit = trial.ls[behind.first]
    if limit < FAR:
        news |= trial.end_by(before.last, latest_from(before.curve, limit))
    return news


def _fits(trial: Trial, before: Block, behind: Block) -> bool:
    """Can `behind` begin after `before` is over?"""
    return after(before.curve, trial.ef[before.last]) <= trial.ls[behind.first]
