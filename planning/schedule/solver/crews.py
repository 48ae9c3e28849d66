"""People in one place at a time, and no more gear than there is."""

from itertools import pairwise

from planning.schedule.network import Network, Tick
from planning.schedule.solver.model import Model, Span, TaskVars


def add_people(model: Model) -> None:
    """One stretch at a time for each person; kept for counting days on site."""
    spans: dict[str, list[Span]] = {}
    for task in model.tasks.values():
        for name, some in person_spans(task).items():
            spans.setdefault(name, []).extend(some)
    for name in sorted(spans):
        model.person_spans[name] = spans[name]
        model.no_overlap(spans[name])


def person_spans(task: TaskVars) -> dict[str, list[Span]]:
    """Person -> the stretches of this task that may be his."""
    crews = {n: task.task.crews[n].people for n in task.crews}
    everybody = [set(people) for people in crews.values()]
    always = set.intersection(*everybody) if everybody else set()
    found = {name: [task.span] for name in sorted(always)}
    for n, people in crews.items():
        for name in people:
            if name not in always:
                found.setdefault(name, []).append(task.crew_spans[n])
    return found


def add_gear(model: Model) -> None:
    """No more of each gear at work at any time than the job has."""
    for name in sorted({name for task in model.tasks.values() for name in task.task.gear}):
        users = [task for task in model.tasks.values() if task.task.gear.get(name, 0) > 0]
        _limit(model, name, users, model.network.gear.get(name, 0))


def _limit(model: Model, name: str, users: list[TaskVars], capacity: int) -> None:
    free = [(task.span.interval, task.task.gear[name]) for task in users if task.span.interval is not None]
    if not free:
        return
    taken = _fixed_use(model.network, name, users, capacity)
    intervals = [span for span, _ in free if span is not None]
    if capacity == 1 and all(demand == 1 for _, demand in free):
        spans = [Span(span) for span in intervals] + [Span(None, a, b) for a, b, _ in taken]
        model.no_overlap(spans)
        return
    demands = [demand for _, demand in free]
    for start, finish, use in taken:
        intervals.append(model.cp.new_fixed_size_interval_var(start, finish - start, ""))
        demands.append(use)
    model.cp.add_cumulative(intervals, demands, capacity)


def _fixed_use(network: Network, name: str, users: list[TaskVars], capacity: int) -> list[tuple[Tick, Tick, int]]:
    """What running tasks hold from now on, never more than there is: they do not constrain each other."""
    steps: dict[Tick, int] = {}
    for task in users:
        if task.task.fixed is not None and task.task.fixed[1] > network.now:
            start, finish = max(task.task.fixed[0], network.now), task.task.fixed[1]
            steps[start] = steps.get(start, 0) + task.task.gear[name]
            steps[finish] = steps.get(finish, 0) - task.task.gear[name]
    ticks, use, found = sorted(steps), 0, []
    for start, finish in pairwise(ticks):
        use += steps[start]
        if use > 0:
            found.append((start, finish, min(use, capacity)))
    return found
