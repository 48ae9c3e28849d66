"""Floors that are off: which stay-off binds whom."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from planning.job.step import KeepOff, Wait
from planning.job.words import Barrier, Instant
from planning.schedule.rules.placed import Placed


@dataclass(frozen=True, slots=True)
class Bar:
    """One floor off for one reason, from the start of its step until its wait is over (or another step is done)."""

    floor: str
    what: Barrier
    start: Instant
    until: Instant
    by: Placed
    ends_with: str | None
    """The step whose finish ends it; that step itself is not kept off."""

    def binds(self, each: Placed) -> bool:
        """Does it keep this one off? Not its own crew, not later pieces of its step, not the step that ends it."""
        return self.by.step_id != each.step_id and self.ends_with != each.step_id


class Bars:
    """Every stay-off of a plan, by kind and floor. `placed` in order of start; `until` says when one is over."""

    def __init__(self, placed: Sequence[Placed], until: Callable[[KeepOff, Placed], Instant]) -> None:
        self._found: dict[tuple[Barrier, str], list[Bar]] = {}
        for each in placed:
            for keep in each.step.keeps_off if each.step is not None else ():
                ends_with = None if isinstance(keep.until, Wait) else keep.until
                over = until(keep, each)
                for floor in keep.floors:
                    bar = Bar(floor, keep.what, each.start, over, each, ends_with)
                    self._found.setdefault((keep.what, floor), []).append(bar)

    def all(self) -> Iterator[Bar]:
        """All of them."""
        for bars in self._found.values():
            yield from bars

    def on(self, what: Barrier, floor: str, start: Instant, finish: Instant) -> Iterator[Bar]:
        """Those on a floor that touch a span, whoever they bind."""
        for bar in self._found.get((what, floor), ()):
            if bar.start >= finish:
                return
            if start < bar.until:
                yield bar

    def against(self, what: Barrier, floor: str, each: Placed) -> Bar | None:
        """The first that keeps this one off a floor while it works, where one of the two can still be moved."""
        for bar in self.on(what, floor, each.start, each.finish):
            if bar.binds(each) and not (each.begun and bar.by.begun):
                return bar
        return None
