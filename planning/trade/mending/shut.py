"""Windows that have shut: the recovery of the layer comes between it and the step that came too late."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from planning.job.events import Event
from planning.job.step import Link, Step
from planning.job.words import Instant
from planning.trade.air import shuts_at
from planning.trade.air_course import SiteAir, site_air
from planning.trade.mending.bench import Bench, Repair
from planning.trade.recoveries import late_recovery

MOST_ROUNDS = 20
"""One layer is recovered at most so often; then the record is of no work that is done like this."""


def mend_shut_windows(bench: Bench, events: Iterable[Event], now: Instant) -> None:
    """For each step not begun whose window has shut by `now`, the rows of the recovery of what lies under it.

    A recovered layer opens a window of its own, which may shut again: then it is recovered again.
    """
    air: SiteAir | None = None
    for n in range(1, MOST_ROUNDS):
        late = [pair for pair in _windows(bench) if bench.step(pair[1].step) is not None]
        if not late:
            return
        air = air or site_air(bench.job, events)
        shut = [(step, link) for step, link in late if _shut(bench, link, air) < now]
        if not shut:
            return
        for step, link in shut:
            _recover(bench, step, link, now)
        if n == MOST_ROUNDS - 1:
            return


def _windows(bench: Bench) -> Iterator[tuple[Step, Link]]:
    """Each link with a window from something done into something not begun."""
    for step in bench.steps:
        if bench.begun(step):
            continue
        for link in step.after:
            if link.within is not None and _counts_from(bench, link) is not None:
                yield step, link


def _counts_from(bench: Bench, link: Link) -> Instant | None:
    """The instant a window counts from: the first piece of the earlier step; None while that is not there."""
    before = bench.step(link.step)
    if before is None:
        return None
    times = bench.progress.started if link.on == "start" else bench.progress.finished
    first = f"{before.id}#1"
    return times.get(before.id, times.get(first))


def _shut(bench: Bench, link: Link, air: SiteAir) -> Instant:
    since = _counts_from(bench, link)
    assert since is not None
    assert link.within is not None
    return shuts_at(link.within, air, since)


def _recover(bench: Bench, step: Step, link: Link, now: Instant) -> None:
    """Rows between the layer and the late step. A row laid in the layer's place opens its window anew."""
    layer = bench.step(link.step)
    assert layer is not None
    cure = replace(late_recovery(layer.kind), again=())
    repair = Repair(bench, layer, cure, "-late", now)
    made = repair.rows()
    anew = repair.takes_place(made[-1])

    def follow(each: Step) -> Step:
        if bench.begun(each) or all(link.step != layer.id or link.within is None for link in each.after):
            return each
        return replace(each, after=tuple(_behind(old, layer.id, made[-1].id, anew) for old in each.after))

    bench.change(follow)
    bench.add(layer, made)


def _behind(old: Link, layer: str, mended: str, anew: bool) -> Link:
    if old.step != layer or old.within is None:
        return old
    return replace(old, step=mended) if anew else Link(mended)
