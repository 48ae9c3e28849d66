"""When the inner acts and the batches of a pour or float come, in the room's own air, counted from its start.

coming = coming_batch(step.batches, waters_in)       # bucket 5 of 12 on mixer 2, next at 8:41, in place by 9:01
"""

from collections.abc import Sequence
from dataclasses import dataclass

from planning.job.plan import Act, PlannedBatch
from planning.job.step import InnerAct, StepBatch
from planning.job.words import Instant
from planning.trade.air import SiteAir, act_opens_at, act_shuts_at


def acts_from(acts: Sequence[InnerAct], air: SiteAir, start: Instant) -> tuple[Act, ...]:
    """Each act with its window, the first water-in at `start` and each earlier act done as soon as it may be."""
    opened: dict[str, Instant] = {}
    found = []
    for act in acts:
        base = opened.get(act.counts_from, start)
        opens = base if act.opens is None else act_opens_at(act.opens, air, base)
        shuts = opens
        if act.shuts is not None:
            shuts = act_shuts_at(act.shuts, air, base)
        elif act.opens is not None:
            shuts = act_opens_at(act.opens, air, base, "high")
        opened[act.key] = opens
        found.append(Act(act.title, opens, max(opens, shuts)))
    return tuple(found)


def batches_from(batches: Sequence[StepBatch], air: SiteAir, start: Instant) -> tuple[PlannedBatch, ...]:
    """Each batch with the moment at which it begins and the one by which it must be in place."""
    found = []
    for batch in batches:
        begins = start + batch.begins_min
        use_by = None if batch.use is None else act_shuts_at(batch.use, air, begins)
        found.append(PlannedBatch(batch.n, batch.mixer, batch.bags, begins, start + batch.lands_min, use_by))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class ComingBatch:
    """The batch whose turn it is next: number `n` of `count`, how many bags, on which mixer, from when, and by when it
    must be in place (None: not known)."""

    n: int
    count: int
    mixer: int
    bags: float
    at: Instant
    use_by: Instant | None


def coming_batch(batches: Sequence[PlannedBatch], waters_in: Sequence[Instant]) -> ComingBatch | None:
    """The next batch of a step as it runs: `waters_in` are the noted water-ins in order, batches thrown away left out.

    A mixer takes its next batch when its last one, counted from the noted moment, is in place; so a late bucket moves
    those behind it and no others. None: all are mixed.
    """
    if len(waters_in) >= len(batches):
        return None
    batch = batches[len(waters_in)]
    before = next((n for n in reversed(range(len(waters_in))) if batches[n].mixer == batch.mixer), None)
    at = batch.begins
    if before is not None:
        at = waters_in[before] + batches[before].lands - batches[before].begins
    elif waters_in:
        at = waters_in[0] + batch.begins - batches[0].begins
    lasts = None if batch.use_by is None else batch.use_by - batch.begins
    return ComingBatch(batch.n, len(batches), batch.mixer, batch.bags, at, None if lasts is None else at + lasts)
