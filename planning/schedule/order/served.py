"""By which toilet a plan serves each promised night, and what must therefore stay before or after that night."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from planning.schedule.availability import FAR, after, latest_from
from planning.schedule.network import Curve, Night, Tick, Toilet
from planning.schedule.shape import Shape

NO_WAIT: Curve = ((0, 0),)


@dataclass(frozen=True, slots=True)
class Guard:
    """A night [start, finish) that stays served while the tasks `after` begin no sooner than its finish and those
    `before` end by their tick.
    """

    start: Tick
    finish: Tick
    after: tuple[int, ...]
    before: tuple[tuple[int, Tick], ...]

    @property
    def tightness(self) -> tuple[int, int]:
        """How much the guard asks: first what must hurry, then what must wait."""
        return len(self.before), len(self.after)


def guards(shape: Shape, start: Sequence[Tick], finish: Sequence[Tick]) -> Iterator[Guard]:
    """For every night that is served: the guard that asks least. Nights not served have none."""
    nights = list(nights_left(shape))
    if not nights:
        return
    ways = services(shape, start, finish)
    for night in nights:
        found = [guard for way in ways if (guard := way.guard(night)) is not None]
        if found:
            yield min(found, key=lambda guard: guard.tightness)


def nights_left(shape: Shape) -> Iterator[Night]:
    """The nights still to come, what is left of them."""
    now = shape.network.now
    if shape.network.toilets:
        yield from (Night(max(now, n.start), n.finish) for n in shape.network.nights if n.finish > now)


def services(shape: Shape, start: Sequence[Tick], finish: Sequence[Tick]) -> list["Service"]:
    """Every toilet by every way in, as the plan has them."""
    return [Service(shape, toilet, way, start, finish) for toilet in shape.network.toilets for way in toilet.ways]


def nights_unspoiled(shape: Shape) -> list[Night]:
    """The nights still to come that what has happened does not leave without a toilet whatever is done now."""
    nights = list(nights_left(shape))
    if not nights:
        return []
    places = [task.fixed or (FAR, FAR) for task in shape.tasks]
    ways = services(shape, [start for start, _ in places], [finish for _, finish in places])
    return [night for night in nights if not all(way.spoiled(night) for way in ways)]


class Service:
    """One toilet by one way in, and the spans in which it is out or not reached."""

    def __init__(
        self, shape: Shape, toilet: Toilet, way: Iterable[str], start: Sequence[Tick], finish: Sequence[Tick]
    ) -> None:  # fmt: skip
        self.spans: list[tuple[Tick, Tick, int, tuple[int, ...], Curve]] = []
        """(from, until, task that begins it, tasks that end it, curve after their finish)"""
        back = shape.index.get(toilet.back or "")
        for n in (shape.index[name] for name in toilet.out if name in shape.index):
            over = FAR if back is None else finish[back]
            self.spans.append((start[n], over, n, () if back is None else (back,), NO_WAIT))
        floors = set(way)
        for n, task in enumerate(shape.tasks):
            for at, off in enumerate(task.off):
                if off.what == "walk" and off.floor in floors:
                    ends = (n, *shape.until(n, at)) if off.until else (n,)
                    curve = NO_WAIT if off.until else off.ticks
                    over = max(after(curve, finish[each]) for each in ends)
                    self.spans.append((start[n], over, n, ends, curve))
        self.free = [task.fixed is None for task in shape.tasks]

    def guard(self, night: Night) -> Guard | None:
        """What keeps this toilet working that night as it does now; None when it does not work."""
        later: list[int] = []
        sooner: dict[int, Tick] = {}
        for begin, over, n, ends, curve in self.spans:
            if begin >= night.finish:
                later.append(n)
            elif over > night.start:
                return None
            else:
                for each in ends:
                    tick = latest_from(curve, night.start)
                    sooner[each] = min(tick, sooner.get(each, tick))
        held = tuple((n, tick) for n, tick in sooner.items() if self.free[n])
        return Guard(night.start, night.finish, tuple(n for n in dict.fromkeys(later) if self.free[n]), held)

    def works(self, night: Night) -> bool:
        """Does this toilet work that night?"""
        return not any(span[0] < night.finish and span[1] > night.start for span in self.spans)

    def spoiled(self, night: Night) -> bool:
        """Is it by what has happened alone that this toilet does not work that night?"""
        return any(
            begin < night.finish and over > night.start and not any(self.free[each] for each in (n, *ends))
            for begin, over, n, ends, _ in self.spans
        )

    def blockers(self, night: Night) -> list[int]:
        """The tasks that take this toilet away that night."""
        return [n for begin, over, n, _, _ in self.spans if begin < night.finish and over > night.start]
