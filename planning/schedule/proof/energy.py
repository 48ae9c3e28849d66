"""Is there enough working time: what must be done between two ticks against what the people there have, pool by pool.

For any set of people (a pool) a task takes at least its least number of them in any of its crews, times its ticks.
What must lie inside an interval may not take more than the pool's working ticks in it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate, combinations

from planning.schedule.availability import span
from planning.schedule.network import Crew, Task, Tick
from planning.schedule.proof.trial import Refuted, Trial
from planning.schedule.shape import Shape

MOST_POOLS = 16
"""Pools looked at; any set of people would do, these are those that tasks ask for (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Pool:
    """Work that competes for the same hours. `need[n]`: the least ticks task n takes. `had[t]`: ticks before t."""

    need: Sequence[int]
    had: Sequence[int]


def pools(shape: Shape) -> list[Pool]:
    """Pools of people, and one for each kind of gear."""
    people = sorted({name for task in shape.tasks for crew in task.crews for name in crew.people})
    hours = {name: work_hours(shape, name) for name in people}
    found = []
    for group in _groups(shape, people):
        need = [_least(task, group) for task in shape.tasks]
        if sum(1 for ticks in need if ticks) > 1:
            found.append(Pool(need, _add(_prefix(hours[name], shape.network.horizon) for name in group)))
    for name, most in shape.network.gear.items():
        users = [task for task in shape.tasks if task.gear.get(name, 0)]
        if len(users) > 1 and most:
            either = 0
            for task in users:
                either |= _can_run(task)
            need = [0 if t.fixed is not None else t.gear.get(name, 0) * t.ticks for t in shape.tasks]
            found.append(Pool(need, [most * ticks for ticks in _prefix(either, shape.network.horizon)]))
    return found


def _groups(shape: Shape, people: Sequence[str]) -> list[frozenset[str]]:
    if len(people) <= 3:
        return [frozenset(group) for size in range(1, len(people) + 1) for group in combinations(people, size)]
    asked = [frozenset(name for crew in task.crews for name in crew.people) for task in shape.tasks]
    often = sorted(set(asked) - {frozenset()}, key=lambda group: (-asked.count(group), sorted(group)))
    return list(dict.fromkeys([frozenset(people), *often]))[:MOST_POOLS]


def _least(task: Task, group: frozenset[str]) -> int:
    if task.fixed is not None:
        return 0
    return task.ticks * min(sum(1 for name in crew.people if name in group) for crew in task.crews)


def _can_run(task: Task) -> int:
    """The ticks at which that task can be running, meals in it too."""
    found = 0
    for crew in task.crews:
        for first, last in crew.starts:
            found |= span(first, last + task.ticks)
        for first, last, extra in crew.pauses:
            found |= span(first, last + task.ticks + extra)
    return found


def work_hours(shape: Shape, name: str) -> int:
    """The ticks at which that person can be at work on anything not yet begun; meals and what is running left out."""
    unbroken = paused = running = 0
    for task in shape.tasks:
        if task.fixed is not None:
            if name in task.crews[0].people:
                running |= span(*task.fixed)
            continue
        for crew in task.crews:
            if name in crew.people:
                for first, last in crew.starts:
                    unbroken |= span(first, last + task.ticks)
    for task in shape.tasks:
        if task.fixed is None:
            for crew in task.crews:
                if name in crew.people and crew.pauses:
                    paused |= _around_meals(crew, task.ticks, unbroken)
    return (unbroken | paused) & ~running & ~span(0, shape.network.now)


def _around_meals(crew: Crew, ticks: int, unbroken: int) -> int:
    """Ticks of paused work that no unbroken work covers: none where they are just the meal."""
    paused = 0
    for first, last, extra in crew.pauses:
        bare = span(first, last + ticks + extra) & ~unbroken
        if bare.bit_count() != extra:
            paused |= bare
    return paused


def _prefix(ticks: int, horizon: Tick) -> list[int]:
    bits = bin(ticks | 1 << (horizon + 1))[:2:-1]
    return [0, *accumulate(map(int, bits[: horizon + 1]))]


def _add(lists: Iterable[list[int]]) -> list[int]:
    return [sum(values) for values in zip(*lists, strict=True)]


def check(trial: Trial, pool: Pool) -> None:
    """Raises Refuted when some interval must hold more work than the pool has hours in it."""
    had, need = pool.had, pool.need
    work = [n for n, ticks in enumerate(need) if ticks]
    es, lf = trial.es, trial.lf
    by_end = sorted(work, key=lf.__getitem__)
    for begin in sorted({es[n] for n in work}, reverse=True):
        before = had[begin]
        total = 0
        for n in by_end:
            if es[n] >= begin:
                total += need[n]
                if total > had[lf[n]] - before:
                    raise Refuted
