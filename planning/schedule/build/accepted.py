"""The accepted plan as a solution of today's network: where the setter and everybody told believe things are."""

from planning.schedule.network import Crew, Network, Solution, Task, Tick, at


def as_before(network: Network) -> Solution:
    """The accepted plan read back as a solution; what has begun lies where it was noted.

    A task the accepted plan does not know (a step added since) lies right after everything it waits for. Nothing is
    checked: the solution may break every fact that has changed. Raises ValueError without an accepted plan.
    """
    before = network.before
    if before is None:
        raise ValueError("this network carries no accepted plan")
    starts: dict[str, Tick] = {}
    finishes: dict[str, Tick] = {}
    crews: dict[str, int] = {}
    for task in _in_order(network):
        crews[task.id] = _crew(task, before.people.get(task.id))
        if task.fixed is not None:
            starts[task.id], finishes[task.id] = task.fixed
            continue
        start = before.starts.get(task.id)
        starts[task.id] = _after_all(network, task, starts, finishes) if start is None else start
        finishes[task.id] = starts[task.id] + length(task, task.crews[crews[task.id]], starts[task.id])
    finish = max((finishes[task.id] for task in network.tasks if task.counts), default=0)
    return Solution("good", starts, finishes, crews, {task.id: 0 for task in network.tasks}, finish)


def length(task: Task, crew: Crew, start: Tick) -> int:
    """The ticks from start to finish, a meal between included when that start runs across one."""
    extra = next((more for first, last, more in crew.pauses if first <= start <= last), 0)
    return task.ticks + extra


def _in_order(network: Network) -> list[Task]:
    """The tasks, each after all that it waits for (as far as the links have no circle)."""
    tasks = {task.id: task for task in network.tasks}
    waits: dict[str, list[str]] = {task.id: [] for task in network.tasks}
    for lag in network.lags:
        waits[lag.after].append(lag.before)
    ordered: dict[str, Task] = {}

    def take(name: str, above: frozenset[str]) -> None:
        if name in ordered or name in above:
            return
        for other in waits[name]:
            take(other, above | {name})
        ordered[name] = tasks[name]

    for task in network.tasks:
        take(task.id, frozenset())
    return list(ordered.values())


def _crew(task: Task, people: tuple[str, ...] | None) -> int:
    return next((n for n, crew in enumerate(task.crews) if people and set(crew.people) == set(people)), 0)


def _after_all(network: Network, task: Task, starts: dict[str, Tick], finishes: dict[str, Tick]) -> Tick:
    ends = [
        base + at(lag.wait, base)
        for lag in network.lags
        if lag.after == task.id and lag.before in starts
        for base in [starts[lag.before] if lag.from_start else finishes[lag.before]]
    ]
    return max([network.now, task.release, *ends])
