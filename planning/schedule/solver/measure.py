"""What a plan is worth, counted from its times alone: no solver, exact curves."""

from collections.abc import Mapping

from planning.schedule.network import Before, Due, Lag, Network, Overrun, Solution, Task, Tick, at
from planning.schedule.solver.ranges import Ranges, holds, normal

MARGIN = 12
"""Slack in a window beyond this many ticks (an hour) is worth nothing more."""

MOVED = 12
"""A moved step weighs as much as an hour."""

TODAY = 3
"""What was told for the first day weighs three times."""

HALF_DAY = 144

DAY_PRICE = 1000
"""A person-day; more than all the ones that others' days add, so that their number always comes first."""


def late(network: Network, finishes: Mapping[str, Tick]) -> int:
    """Ticks by which the promises are missed, all together."""
    return sum(late_of(due, finishes) for due in network.dues)


def late_of(due: Due, finishes: Mapping[str, Tick]) -> int:
    """Ticks by which one promise is missed; ends of tasks that are not there do not count."""
    ends = ((finishes[task], curve) for task, curve in due.ends if task in finishes)
    return max((max(0, tick + at(curve, tick) - due.tick) for tick, curve in ends), default=0)


def later_than_told(network: Network, finishes: Mapping[str, Tick]) -> int:
    """Ticks by which promises are missed beyond what the accepted plan already owned up to."""
    return sum(max(0, late_of(due, finishes) - owned_up(network, due)) for due in network.dues)


def owned_up(network: Network, due: Due) -> int:
    """How late the accepted plan has this promise."""
    if network.before is None:
        return 0
    names = {name for name, _ in due.ends}
    tasks = [task for task in network.tasks if task.id in names and task.id in network.before.starts]
    return late_of(due, {task.id: _told_finish(network.before, task) for task in tasks})


def _told_finish(before: Before, task: Task) -> Tick:
    start = before.starts[task.id]
    told = sorted(before.people.get(task.id, ()))
    crews = [crew for crew in task.crews if sorted(crew.people) == told]
    extras = [extra for crew in crews for first, last, extra in crew.pauses if first <= start <= last]
    return start + task.ticks + max(extras, default=0)


def finish(network: Network, finishes: Mapping[str, Tick]) -> Tick:
    """The finish of the last task that counts."""
    return max((finishes[task.id] for task in network.tasks if task.counts), default=0)


def person_days(network: Network, solution: Solution) -> int:
    """Days on which a person has anything to do on the job, all people together."""
    return len(_days(network, solution))


def _days(network: Network, solution: Solution) -> set[tuple[str, int]]:
    days = set()
    for task in network.tasks:
        start, end = solution.starts[task.id], solution.finishes[task.id]
        for name in task.crews[solution.crews.get(task.id, 0)].people:
            shifts = network.person_days.get(name, ())
            days |= {(name, n) for n, (first, last) in enumerate(shifts) if start < last and end > first}
    return days


def days_weighed(network: Network, solution: Solution) -> int:
    """Person-days, each at its price."""
    return sum(price_of_day(network, name) for name, _ in _days(network, solution))


def price_of_day(network: Network, name: str) -> int:
    """What a day of this person costs: of as many person-days, rather those of the first named, whose job it is."""
    return DAY_PRICE if name == next(iter(network.person_days), "") else DAY_PRICE + 1


def slack(lag: Lag, starts: Mapping[str, Tick], finishes: Mapping[str, Tick]) -> int:
    """Ticks left in a window when its later task starts; negative when the window has shut. Raises if it has none."""
    if lag.within is None:
        raise ValueError(f"the lag from {lag.before} to {lag.after} has no window")
    counted = starts[lag.before] if lag.from_start else finishes[lag.before]
    return counted + at(lag.within, counted) - starts[lag.after]


def margin(network: Network, starts: Mapping[str, Tick], finishes: Mapping[str, Tick]) -> int:
    """Slack in all windows still to be met, each counted up to an hour."""
    begun = {task.id for task in network.tasks if task.fixed is not None}
    windows = [lag for lag in network.lags if lag.within is not None and lag.after not in begun]
    return sum(min(MARGIN, slack(lag, starts, finishes)) for lag in windows)


def tidy(network: Network, starts: Mapping[str, Tick]) -> int:
    """The sum of all starts still to come, counted from now."""
    return sum(starts[task.id] - network.now for task in network.tasks if task.fixed is None)


def change(network: Network, solution: Solution) -> int:
    """How much what people were told changes, in ticks: moves, a price for each task moved or handed to others."""
    if network.before is None:
        return 0
    total = 0
    for task in network.tasks:
        was = network.before.starts.get(task.id)
        if task.fixed is not None or was is None:
            continue
        weight = weight_of(network, was)
        now = solution.starts[task.id]
        people = task.crews[solution.crews.get(task.id, 0)].people
        moved = now != was or not same_people(network, task.id, people)
        total += weight * (abs(now - was) + MOVED * moved)
    return total


def same_people(network: Network, task: str, people: tuple[str, ...]) -> bool:
    """Is it still done by those the accepted plan named?"""
    if network.before is None or task not in network.before.people:
        return True
    return sorted(network.before.people[task]) == sorted(people)


def weight_of(network: Network, was: Tick) -> int:
    """What was told for the first working day from now on weighs more."""
    shifts = [shift for some in network.person_days.values() for shift in some if shift[1] > network.now]
    today = min((max(first, network.now) for first, _ in shifts), default=network.now)
    return TODAY if was < today + HALF_DAY else 1


def later(network: Network, solution: Solution) -> int:
    """Ticks by which the job ends later than the accepted plan said; 0 without one."""
    return max(0, finish(network, solution.finishes) - network.before.finish) if network.before is not None else 0


def appointed(task: Task) -> Ranges:
    """Every tick at which a visit may start as agreed."""
    starts = [pair for crew in task.crews for pair in crew.starts]
    return normal(starts + [(first, last) for crew in task.crews for first, last, _ in crew.pauses])


def visit_late(task: Task, start: Tick) -> int:
    """Ticks by which a visit comes after its last appointed start; 0 when it is at an appointed time."""
    return max(0, start - max((last for _, last in appointed(task)), default=start))


def overruns(network: Network, starts: Mapping[str, Tick], finishes: Mapping[str, Tick]) -> tuple[Overrun, ...]:
    """Windows that have shut before their later task starts, and visits that are not at their time."""
    free = {task.id: task for task in network.tasks if task.fixed is None}
    found = [
        Overrun("within", lag.after, lag.before, -left)
        for lag in network.lags
        if lag.within is not None and lag.after in free and (left := slack(lag, starts, finishes)) < 0
    ]
    for task in free.values():
        visit = task.ticks > 0 and all(not crew.people for crew in task.crews)
        if visit and not holds(appointed(task), starts[task.id]):
            found.append(Overrun("visit", task.id, "", visit_late(task, starts[task.id])))
    return tuple(found)


def values(network: Network, solution: Solution) -> dict[str, int]:
    """Every stage's value for a plan."""
    found = {
        "late": late(network, solution.finishes),
        "finish": finish(network, solution.finishes),
        "person_days": person_days(network, solution),
        "margin": margin(network, solution.starts, solution.finishes),
        "tidy": tidy(network, solution.starts),
    }
    if network.before is not None:
        found["later"] = later(network, solution)
        found["change"] = change(network, solution)
    return found
