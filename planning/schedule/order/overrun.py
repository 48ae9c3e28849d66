"""Which windows, visits, nights and hours a plan breaks, by how much: the facts an elastic answer admits."""

from collections.abc import Iterator, Sequence

from planning.schedule.availability import after, is_visit, last_start, meal_at
from planning.schedule.network import Night, Overrun, Tick
from planning.schedule.order.served import nights_left, services
from planning.schedule.shape import Shape


def overruns(shape: Shape, start: Sequence[Tick], finish: Sequence[Tick], crew: Sequence[int]) -> tuple[Overrun, ...]:
    """Everything broken, by task number: "within", "visit" and "night" as `Overrun` says, and "hours" (`task` lies so
    many `ticks` past its crew's last hours).
    """
    begins = {night.finish: night.start for night in shape.network.nights}
    return (
        *_windows(shape, start, finish),
        *_hours(shape, start, finish, crew),
        *(Overrun("night", at=begins[night.finish]) for night in lost_nights(shape, start, finish)),
    )


def _windows(shape: Shape, start: Sequence[Tick], finish: Sequence[Tick]) -> Iterator[Overrun]:
    for n, task in enumerate(shape.tasks):
        if task.fixed is not None:
            continue
        for other, lag in shape.into[n]:
            if lag.within is not None:
                late = start[n] - after(lag.within, start[other] if lag.from_start else finish[other])
                if late > 0:
                    yield Overrun("within", task.id, shape.tasks[other].id, late)


def _hours(
    shape: Shape, start: Sequence[Tick], finish: Sequence[Tick], crew: Sequence[int]
) -> Iterator[Overrun]:  # fmt: skip
    horizon = shape.network.horizon
    for n, task in enumerate(shape.tasks):
        if task.fixed is None and (meal_at(task.crews[crew[n]], start[n]) is None or finish[n] > horizon):
            last = last_start(task.crews[crew[n]], task.ticks, horizon)
            late = start[n] - (last if last is not None else shape.network.now)
            yield Overrun("visit" if is_visit(task) else "hours", task.id, "", max(1, late))


def lost_nights(shape: Shape, start: Sequence[Tick], finish: Sequence[Tick]) -> list[Night]:
    """What is left of each night that has no toilet and might have had one."""
    nights = list(nights_left(shape))
    if not nights:
        return []
    ways = services(shape, start, finish)
    return [
        night
        for night in nights
        if not any(way.works(night) for way in ways) and not all(way.spoiled(night) for way in ways)
    ]
