"""Pairs of tasks that can never run together, whatever crews and ways are chosen, and what each order would ask.

Only what holds in every plan is a pair: all crews of both share somebody, both are wet trades on a floor, one stands on
or crosses (by every way) a floor the other keeps off, both need the only machine, or each costs the household one of its
two toilets.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from planning.schedule.availability import FAR, after, latest_from
from planning.schedule.network import Curve, Tick
from planning.schedule.shape import Shape
from planning.schedule.trial import Trial

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
        if one.last in later and b in later[one.last] and one.curve == AT_ONCE:
            continue
        if other.last in later and a in later[other.last] and other.curve == AT_ONCE:
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
    tasks = shape.tasks
    for a, b in combinations(range(len(tasks)), 2):
        if _share_people(shape, a, b) or _share_gear(shape, a, b) or set(tasks[a].wet_on) & set(tasks[b].wet_on):
            yield Block(a, a), Block(b, b)
    for owner, task in enumerate(tasks):
        for at, off in enumerate(task.off):
            for user in range(len(tasks)):
                if (
                    user != owner
                    and (owner, at) not in shape.exempt[user]
                    and _always(shape, user, off.what, off.floor)
                ):
                    if off.until:
                        yield from ((Block(owner, end), Block(user, user)) for end in shape.until(owner, at))
                    else:
                        yield Block(owner, owner, off.ticks), Block(user, user)


def _share_people(shape: Shape, a: int, b: int) -> bool:
    one, other = shape.tasks[a].crews, shape.tasks[b].crews
    return all(set(c.people) & set(d.people) for c in one for d in other)


def _share_gear(shape: Shape, a: int, b: int) -> bool:
    one, other = shape.tasks[a].gear, shape.tasks[b].gear
    return any(count + other.get(name, 0) > shape.network.gear.get(name, 0) for name, count in one.items() if count
               and other.get(name, 0))  # fmt: skip


def _always(shape: Shape, n: int, what: str, floor: str) -> bool:
    """Does task n use that place by every way in?"""
    task = shape.tasks[n]
    if what == "walk":
        return all(floor in way for way in task.ways)
    return floor in (task.wet_on if what == "wet" else task.heavy_on)


def force(trial: Trial, pairs: Sequence[Pair]) -> list[Pair]:
    """Where one order of a pair is no longer possible, the other one. Returns the pairs still open. Raises Refuted."""
    while True:
        open_pairs: list[Pair] = []
        changed = False
        for pair in pairs:
            one, other = pair.one, pair.other
            forth = _fits(trial, one, other)
            back = _fits(trial, other, one)
            if forth and back:
                open_pairs.append(pair)
                continue
            before, behind = (one, other) if forth else (other, one)
            news = trial.start_from(behind.first, after(before.curve, trial.ef[before.last]))
            limit = trial.ls[behind.first]
            if limit < FAR:
                news |= trial.end_by(before.last, latest_from(before.curve, limit))
            if news:
                changed = True
            open_pairs.append(pair)
        trial.settle()
        if not changed:
            return open_pairs


def _fits(trial: Trial, before: Block, behind: Block) -> bool:
    """Can `behind` begin after `before` is over?"""
    return after(before.curve, trial.ef[before.last]) <= trial.ls[behind.first]
