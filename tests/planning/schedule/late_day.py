"""A job some way along its plan, with something running late: what a reshuffle starts from."""

from dataclasses import replace
from random import Random

from planning.schedule.network import Before, Network, Solution


def late_day(network: Network, plan: Solution, seed: int, late: int) -> Network:
    """The network once some of the plan has happened, its running task `late` ticks longer, the plan accepted."""
    rng = Random(seed)
    ranked = sorted(network.tasks, key=lambda task: plan.starts[task.id])
    running = ranked[max(1, int(len(ranked) * rng.uniform(0.1, 0.5))) - 1]
    now = plan.finishes[running.id]
    tasks = []
    for task in network.tasks:
        start, finish = plan.starts[task.id], plan.finishes[task.id]
        if start < now:
            fixed = (start, finish + late) if task is running else (start, finish)
            crew, way = task.crews[plan.crews[task.id]], task.ways[plan.ways[task.id]]
            task = replace(task, fixed=fixed, crews=(crew,), ways=(way,))
        tasks.append(task)
    begun = {task.id for task in tasks if task.fixed is not None}
    people = {task.id: task.crews[plan.crews[task.id]].people for task in network.tasks}
    return replace(
        network,
        tasks=tuple(tasks),
        now=now,
        lags=tuple(lag for lag in network.lags if lag.after not in begun),
        before=Before(dict(plan.starts), people, plan.finish),
    )
