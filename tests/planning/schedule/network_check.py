"""A judge of solutions, written from the network's own words: tick by tick, exact curves, no solver code."""

from collections.abc import Iterator
from itertools import combinations

from planning.schedule.network import Network, Off, Overrun, Solution, Task, at


def broken(network: Network, solution: Solution) -> list[str]:
    """Every rule of the network that the solution breaks, but for what its `overrun` admits. Empty: it keeps all."""
    missing = [task.id for task in network.tasks if task.id not in solution.starts]
    if missing:
        return [f"not planned: {', '.join(missing)}"]
    judge = _Judge(network, solution)
    return [
        *judge.hours(),
        *judge.lags(),
        *judge.people(),
        *judge.gear(),
        *judge.floors(),
        *judge.wet(),
        *judge.nights(),
    ]


class _Judge:
    def __init__(self, network: Network, solution: Solution) -> None:
        self.network = network
        self.solution = solution
        self.tasks = {task.id: task for task in network.tasks}
        self.admitted = {(o.what, o.before, o.task, o.at) for o in solution.overrun if o.ticks > 0 or o.what == "night"}

    def admits(self, over: Overrun) -> bool:
        return (over.what, over.before, over.task, over.at) in self.admitted

    def ticks(self, task: Task) -> range:
        return range(self.solution.starts[task.id], self.solution.finishes[task.id])

    def people_of(self, task: Task) -> tuple[str, ...]:
        return task.crews[self.solution.crews[task.id]].people

    def way_of(self, task: Task) -> tuple[str, ...]:
        return task.ways[self.solution.ways[task.id]]

    def hours(self) -> Iterator[str]:
        for task in self.network.tasks:
            start, finish = self.solution.starts[task.id], self.solution.finishes[task.id]
            if task.fixed is not None:
                if (start, finish) != task.fixed:
                    yield f"{task.id} happened at {task.fixed}, planned at {(start, finish)}"
                continue
            if start < max(self.network.now, task.release):
                yield f"{task.id} starts before now or its release"
            if finish > self.network.horizon:
                yield f"{task.id} ends beyond the horizon"
            crew = task.crews[self.solution.crews[task.id]]
            unbroken = any(a <= start <= b for a, b in crew.starts) and finish == start + task.ticks
            paused = any(a <= start <= b and finish == start + task.ticks + extra for a, b, extra in crew.pauses)
            if not unbroken and not paused and not self.admits(Overrun("visit", task.id)):
                yield f"{task.id} is outside the hours of {crew.people}: {start} to {finish}"

    def lags(self) -> Iterator[str]:
        for lag in self.network.lags:
            if self.tasks[lag.after].fixed is not None:
                continue
            counted = (self.solution.starts if lag.from_start else self.solution.finishes)[lag.before]
            start = self.solution.starts[lag.after]
            if start < counted + at(lag.wait, counted):
                yield f"{lag.after} starts at {start}, too early after {lag.before}"
            late = lag.within is not None and start > counted + at(lag.within, counted)
            if late and not self.admits(Overrun("within", lag.after, lag.before)):
                yield f"{lag.after} starts at {start}, too late after {lag.before}"
        for one, other in combinations(self.network.tasks, 2):
            if one.piece_of is not None and one.piece_of == other.piece_of:
                first, second = sorted((one, other), key=lambda task: task.piece)
                late = self.solution.finishes[first.id] > self.solution.starts[second.id]
                if second.fixed is None and late:
                    yield f"{second.id} begins before {first.id} is done"

    def pairs(self) -> Iterator[tuple[Task, Task]]:
        """Every two tasks that are not both settled."""
        for one, other in combinations(self.network.tasks, 2):
            if one.fixed is None or other.fixed is None:
                yield one, other

    def meet(self, one: Task, other: Task) -> bool:
        return bool(set(self.ticks(one)) & set(self.ticks(other)))

    def people(self) -> Iterator[str]:
        for one, other in self.pairs():
            shared = set(self.people_of(one)) & set(self.people_of(other))
            if shared and self.meet(one, other):
                yield f"{', '.join(sorted(shared))} at {one.id} and {other.id} at once"

    def gear(self) -> Iterator[str]:
        for name in sorted({name for task in self.network.tasks for name in task.gear}):
            most = self.network.gear.get(name, 0)
            running: dict[int, int] = {}
            planned: dict[int, int] = {}
            for task in self.network.tasks:
                for tick in self.ticks(task):
                    use = running if task.fixed is not None else planned
                    use[tick] = use.get(tick, 0) + task.gear.get(name, 0)
            for tick, use_then in planned.items():
                if use_then and use_then + min(running.get(tick, 0), most) > most:
                    yield f"more than {most} {name} at {tick}"
                    break

    def closure(self, task: Task, off: Off) -> range:
        start, finish = self.solution.starts[task.id], self.solution.finishes[task.id]
        until = [self.solution.finishes[name] for name in off.until if name in self.tasks]
        return range(start, max([finish, *until]) if until else finish + at(off.ticks, finish))

    def floors(self) -> Iterator[str]:
        for task in self.network.tasks:
            for off in task.off:
                closed = self.closure(task, off)
                for other in self.network.tasks:
                    both_fixed = task.fixed is not None and other.fixed is not None
                    if other is task or both_fixed or other.id in off.until or self.later_piece(task, other):
                        continue
                    there = {"walk": self.way_of(other), "wet": other.wet_on, "heavy": other.heavy_on}[off.what]
                    if off.floor in there and set(closed) & set(self.ticks(other)):
                        yield f"{other.id} is on {off.floor} while {task.id} keeps {off.what} off ({closed})"

    @staticmethod
    def later_piece(task: Task, other: Task) -> bool:
        return task.piece_of is not None and task.piece_of == other.piece_of and other.piece > task.piece

    def wet(self) -> Iterator[str]:
        for one, other in self.pairs():
            if set(one.wet_on) & set(other.wet_on) and self.meet(one, other):
                yield f"two wet trades at once: {one.id} and {other.id}"

    def nights(self) -> Iterator[str]:
        for night in self.network.nights:
            hours = range(max(night.start, self.network.now), night.finish)
            if not len(hours) or not self.network.toilets or self.admits(Overrun("night", at=night.start)):
                continue
            if all(self.spoiled(toilet, hours) for toilet in self.network.toilets):
                continue
            if not any(self.serves(toilet, hours) for toilet in self.network.toilets):
                yield f"no toilet on the night from {night.start}"

    def serves(self, toilet, hours: range, settled: bool = False) -> bool:  # type: ignore[no-untyped-def]  # test helper
        """Does the toilet serve? With `settled`, only what has happened counts, all else is taken as harmless."""
        for name in toilet.out:
            start = self.solution.starts[name]
            back = self.tasks[toilet.back] if toilet.back else None
            returned = back is not None and self.solution.finishes[back.id] <= hours.start
            counts = not settled or (self.tasks[name].fixed is not None and (back is None or back.fixed is not None))
            if counts and start < hours.stop and not returned:
                return False
        return any(all(not self.green(floor, hours, settled) for floor in way) for way in toilet.ways)

    def spoiled(self, toilet, hours: range) -> bool:  # type: ignore[no-untyped-def]  # test helper
        return not self.serves(toilet, hours, settled=True)

    def green(self, floor: str, hours: range, settled: bool) -> bool:
        for task in self.network.tasks:
            for off in task.off:
                known = task.fixed is not None and all(
                    self.tasks[name].fixed is not None for name in off.until if name in self.tasks
                )
                if off.floor == floor and off.what == "walk" and (known or not settled):
                    closed = self.closure(task, off)
                    if closed.start < hours.stop and closed.stop > hours.start:
                        return True
        return False
