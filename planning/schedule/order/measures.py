"""What laid tasks are worth, and how they are handed out as a solution."""

from collections.abc import Mapping, Sequence

from planning.schedule.availability import after
from planning.schedule.network import Network, Overrun, Solution, Tick
from planning.schedule.shape import Shape


def lateness(network: Network, finishes: Mapping[str, int]) -> int:
    """How many ticks the dues are late, all together."""
    late = 0
    for due in network.dues:
        over = [after(curve, finishes[name]) for name, curve in due.ends if name in finishes]
        late += max(0, max(over, default=0) - due.tick)
    return late


def person_days(shape: Shape, start: Sequence[Tick], finish: Sequence[Tick], crew: Sequence[int]) -> int:
    """On how many days, person by person, somebody has anything to do."""
    work: dict[str, list[tuple[Tick, Tick]]] = {}
    for n, task in enumerate(shape.tasks):
        for name in task.crews[crew[n]].people:
            work.setdefault(name, []).append((start[n], finish[n]))
    found = 0
    for name, stretches in work.items():
        stretches.sort()
        at = 0
        for first, last in shape.network.person_days.get(name, ()):
            while at < len(stretches) and stretches[at][1] <= first:
                at += 1
            found += at < len(stretches) and stretches[at][0] < last
    return found


def solution_from(
    shape: Shape, start: Sequence[Tick], finish: Sequence[Tick], crew: Sequence[int], way: Sequence[int],
    overrun: tuple[Overrun, ...] = (),
) -> Solution:  # fmt: skip
    """Places by task number as a solution, with its stage values."""
    names = [task.id for task in shape.tasks]
    finishes = dict(zip(names, finish, strict=True))
    last = max((finish[n] for n, task in enumerate(shape.tasks) if task.counts), default=0)
    stages = {
        "late": lateness(shape.network, finishes),
        "finish": last,
        "person_days": person_days(shape, start, finish, crew),
    }
    return Solution(
        status="good",
        starts=dict(zip(names, start, strict=True)),
        finishes=finishes,
        crews=dict(zip(names, crew, strict=True)),
        ways=dict(zip(names, way, strict=True)),
        finish=last,
        stages=stages,
        overrun=overrun,
    )
