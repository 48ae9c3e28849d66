"""What the household's nights forbid in every plan: work that takes the last toilet away.

A block (a toilet out until it is back, a floor on the only way to it off) covers a night when it overlaps it. No block
that takes away all toilets may cover any; of two toilets, blocks of the one and of the other may not cover the same.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

from planning.schedule.availability import FAR, after, latest_from
from planning.schedule.network import Tick, Toilet
from planning.schedule.order.served import nights_unspoiled
from planning.schedule.proof.pairs import Block
from planning.schedule.proof.trial import Trial
from planning.schedule.shape import Shape


@dataclass(frozen=True, slots=True)
class Lasting:
    """A block and the least ticks it lasts in any plan."""

    block: Block
    least: int


class NightRules:
    """Blocks that may cover no night (`alone`) and pairs of blocks that may cover no night together (`apart`)."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        nights = sorted((n.start, n.finish) for n in nights_unspoiled(shape))
        self.starts = [start for start, _ in nights]
        self.ends = [finish for _, finish in nights]
        toilets = shape.network.toilets if nights else ()
        blocks = [list(_blocks(shape, toilet)) for toilet in toilets]
        common = [b for b in blocks[0] if all(b in other for other in blocks[1:])] if blocks else []
        self.alone = common
        self.apart: list[tuple[Lasting, Lasting]] = []
        if len(blocks) == 2:
            self.apart = [
                (a, b) for a in blocks[0] if a not in common for b in blocks[1] if b not in common
                and not {a.block.first, a.block.last} & {b.block.first, b.block.last}
            ]  # fmt: skip

    def force(self, trial: Trial) -> bool:
        """Narrow the trial; True when anything changed. Raises Refuted."""
        changed = False
        for lasting in self.alone:
            changed |= self._avoid(trial, lasting)
        for one, other in self.apart:
            if self.surely(trial, one) and self.surely(trial, other):
                forth, back = self.fits(trial, one, other), self.fits(trial, other, one)
                if not forth:
                    changed |= self.put(trial, other, one)
                if not back:
                    changed |= self.put(trial, one, other)
        trial.settle()
        return changed

    def undecided(self, trial: Trial) -> Iterator[tuple[Tick, tuple[Lasting, Lasting]]]:
        """Blocks that must not cover the same night and may still go in either order, with the room the better order
        leaves.
        """
        for one, other in self.apart:
            if not self.surely(trial, one) or not self.surely(trial, other):
                continue
            forth, back = self.room(trial, one, other), self.room(trial, other, one)
            settled = self._apart_already(trial, one, other) or self._apart_already(trial, other, one)
            if min(forth, back) >= 0 and not settled:
                yield max(forth, back), (one, other)

    def room(self, trial: Trial, before: Lasting, behind: Lasting) -> Tick:
        """How much later `before` could be over, and the nights of `behind` still come after its."""
        ends = after(before.block.curve, trial.ef[before.block.last])
        return trial.ls[behind.block.first] - self.over(ends)

    def _apart_already(self, trial: Trial, before: Lasting, behind: Lasting) -> bool:
        """Do their nights come in this order wherever the trial lets them lie?"""
        ends = trial.lf[before.block.last]
        return ends < FAR and self.over(after(before.block.curve, ends)) <= trial.es[behind.block.first]

    def surely(self, trial: Trial, lasting: Lasting) -> bool:
        """Does the block cover some night wherever the trial lets it lie?"""
        first, last = trial.es[lasting.block.first], trial.ls[lasting.block.first]
        at = bisect_right(self.ends, first)
        if at >= len(self.starts) or last >= self.ends[-1]:
            return False
        longest = self.starts[at] - first
        while at + 1 < len(self.starts) and self.ends[at] <= last:
            longest = max(longest, self.starts[at + 1] - self.ends[at])
            at += 1
        return lasting.least > longest

    def over(self, tick: Tick) -> Tick:
        """The finish of the last night that starts before that tick."""
        at = bisect_left(self.starts, tick)
        return self.ends[at - 1] if at else 0

    def fits(self, trial: Trial, before: Lasting, behind: Lasting) -> bool:
        """Can the nights of `behind` all come after those of `before`?"""
        ends = after(before.block.curve, trial.ef[before.block.last])
        return self.over(ends) <= trial.ls[behind.block.first]

    def put(self, trial: Trial, before: Lasting, behind: Lasting) -> bool:
        """Let the nights of `behind` come after those of `before`; both surely cover some. Raises Refuted."""
        changed = trial.start_from(
            behind.block.first, self.over(after(before.block.curve, trial.ef[before.block.last]))
        )
        last = trial.ls[behind.block.first]
        at = bisect_right(self.ends, last) if last < FAR else len(self.ends)
        if at < len(self.starts):
            changed |= trial.end_by(before.block.last, latest_from(before.block.curve, self.starts[at]))
        return changed

    def _avoid(self, trial: Trial, lasting: Lasting) -> bool:
        """Move the block's first place past every night it would cover."""
        first = trial.es[lasting.block.first]
        at = bisect_right(self.ends, first)
        while at < len(self.starts) and first + lasting.least > self.starts[at]:
            first = max(first, self.ends[at])
            at += 1
        return trial.start_from(lasting.block.first, first)


def _blocks(shape: Shape, toilet: Toilet) -> Iterator[Lasting]:
    """What surely takes that toilet away while it lasts."""
    back = shape.index.get(toilet.back or "")
    for n in (shape.index[name] for name in toilet.out if name in shape.index):
        if back is not None and shape.delay(n, back) > 0 and shape.tasks[n].fixed is None:
            yield Lasting(Block(n, back), shape.tasks[n].ticks + shape.delay(n, back))
    always = set.intersection(*(set(way) for way in toilet.ways)) if toilet.ways else set()
    for n, task in enumerate(shape.tasks):
        for off in task.off:
            if off.what == "walk" and off.floor in always and not off.until and task.fixed is None:
                yield Lasting(Block(n, n, off.ticks), task.ticks + shape.least(off.ticks))
