"""A plain judge of solutions: every constraint of a network looked at pair by pair and tick by tick, nothing shared
with the code that makes plans. Each broken constraint is named: ("wait", a, b), ("within", a, b), ("hours", a), ...
"""

from collections.abc import Iterator

from planning.schedule.network import Curve, Network, Off, Solution, Task, Toilet

Fact = tuple[str, ...]


def look_up(curve: Curve, tick: int) -> int:
    """The curve's ticks at that tick, read one point after the other."""
    ticks = curve[0][1]
    for start, each in curve:
        if start <= tick:
            ticks = each
    return ticks


def broken(network: Network, plan: Solution) -> set[Fact]:
    """All constraints the plan breaks; those between two tasks already fixed are nobody's fault."""
    return {
        *_alone(network, plan), *_lags(network, plan), *_people(network, plan), *_gear(network, plan),
        *_floors(network, plan), *_nights(network, plan),
    }  # fmt: skip


def _alone(network: Network, plan: Solution) -> Iterator[Fact]:
    for task in network.tasks:
        start, finish = plan.starts[task.id], plan.finishes[task.id]
        if task.fixed is not None:
            if (start, finish) != task.fixed:
                yield "fixed", task.id
            continue
        crew = task.crews[plan.crews[task.id]]
        plain = finish == start + task.ticks and any(a <= start <= b for a, b in crew.starts)
        meal = any(a <= start <= b and finish == start + task.ticks + extra for a, b, extra in crew.pauses)
        if not (plain or meal):
            yield "visit" if not crew.people else "hours", task.id
        if start < task.release:
            yield "release", task.id
        if start < network.now:
            yield "now", task.id
        if finish > network.horizon:
            yield "horizon", task.id
        if not 0 <= plan.ways[task.id] < len(task.ways):
            yield "way", task.id


def _lags(network: Network, plan: Solution) -> Iterator[Fact]:
    fixed = {task.id for task in network.tasks if task.fixed is not None}
    for lag in network.lags:
        if lag.after in fixed:
            continue
        base = plan.starts[lag.before] if lag.from_start else plan.finishes[lag.before]
        start = plan.starts[lag.after]
        if start < base + look_up(lag.wait, base):
            yield "wait", lag.before, lag.after
        if lag.within is not None and start > base + look_up(lag.within, base):
            yield "within", lag.before, lag.after
    for one in network.tasks:
        for other in network.tasks:
            pieces = one.piece_of is not None and one.piece_of == other.piece_of and one.piece < other.piece
            if pieces and plan.starts[other.id] < plan.finishes[one.id] and other.id not in fixed:
                yield "piece", one.id, other.id


def _pairs(network: Network, plan: Solution) -> Iterator[tuple[Task, Task]]:
    """Pairs that overlap in time, not both fixed."""
    for n, one in enumerate(network.tasks):
        for other in network.tasks[n + 1 :]:
            if one.fixed is not None and other.fixed is not None:
                continue
            if plan.starts[one.id] < plan.finishes[other.id] and plan.starts[other.id] < plan.finishes[one.id]:
                yield one, other


def _people(network: Network, plan: Solution) -> Iterator[Fact]:
    for one, other in _pairs(network, plan):
        names = [set(t.crews[plan.crews[t.id]].people) for t in (one, other)]
        if names[0] & names[1]:
            yield "person", one.id, other.id
        if set(one.wet_on) & set(other.wet_on):
            yield "wet trades", one.id, other.id


def _gear(network: Network, plan: Solution) -> Iterator[Fact]:
    for name in {name for task in network.tasks for name, count in task.gear.items() if count}:
        users = [task for task in network.tasks if task.gear.get(name, 0)]
        for task in users:
            tick = plan.starts[task.id]
            there = [t for t in users if plan.starts[t.id] <= tick < plan.finishes[t.id]]
            if sum(t.gear[name] for t in there) > network.gear.get(name, 0) and any(t.fixed is None for t in there):
                yield "gear", name, task.id


def closed(network: Network, plan: Solution) -> list[tuple[Task, Off, int, int]]:
    """Every stay-off with its task, from when and until when it lasts."""
    found = []
    for task in network.tasks:
        start, finish = plan.starts[task.id], plan.finishes[task.id]
        for off in task.off:
            ends = [plan.finishes[name] for name in off.until if name in plan.finishes]
            over = max(finish, *ends) if ends else finish + (0 if off.until else look_up(off.ticks, finish))
            found.append((task, off, start, over))
    return found


def _floors(network: Network, plan: Solution) -> Iterator[Fact]:
    for owner, off, start, over in closed(network, plan):
        for task in network.tasks:
            if task is owner or (task.fixed is not None and owner.fixed is not None) or task.id in off.until:
                continue
            if task.piece_of is not None and task.piece_of == owner.piece_of and task.piece > owner.piece:
                continue
            places = {"walk": task.ways[plan.ways[task.id]], "wet": task.wet_on, "heavy": task.heavy_on}[off.what]
            if off.floor in places and plan.starts[task.id] < over and start < plan.finishes[task.id]:
                yield off.what, owner.id, task.id


def _nights(network: Network, plan: Solution) -> Iterator[Fact]:
    offs = closed(network, plan)
    begun = {task.id for task in network.tasks if task.fixed is not None}
    for night in network.nights:
        start = max(night.start, network.now)
        if start >= night.finish or not network.toilets:
            continue
        sure = [
            each for each in offs if each[0].id in begun and all(n in begun for n in each[1].until if n in plan.starts)
        ]
        if not any(_serves(plan, toilet, sure, start, night.finish, begun) for toilet in network.toilets):
            continue
        if not any(_serves(plan, toilet, offs, start, night.finish, None) for toilet in network.toilets):
            yield "night", str(night.start)


def _serves(
    plan: Solution,
    toilet: Toilet,
    offs: list[tuple[Task, Off, int, int]],
    start: int,
    finish: int,
    only: set[str] | None,
) -> bool:
    """Does the toilet work from `start` to `finish`? With `only`, by what these tasks do; the others may still help."""
    back = plan.finishes.get(toilet.back or "", 1 << 50)
    for name in toilet.out:
        counts = name in plan.starts and (
            only is None or (name in only and (toilet.back is None or toilet.back in only))
        )
        if counts and plan.starts[name] < finish and back > start:
            return False

    def is_off(floor: str) -> bool:
        return any(off.what == "walk" and off.floor == floor and a < finish and b > start for _, off, a, b in offs)

    return any(not any(is_off(floor) for floor in way) for way in toilet.ways)
