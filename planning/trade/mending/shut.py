"""Windows that have shut: the recovery of the layer comes between it and the step that came too late."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from planning.job.events import Event
from planning.job.step import Link, Step, Wait
from planning.job.words import Instant
from planning.trade.air import shuts_at
from planning.trade.air_course import SiteAir, site_air
from planning.trade.mending.bench import Bench, Repair
from planning.trade.recoveries import late_recovery

MOST_ROUNDS = 19
"""One layer is recovered at most so often; then the record is of no work that is done like this."""


def mend_shut_windows(bench: Bench, events: Iterable[Event], now: Instant) -> None:
    """For each step not begun whose window has shut by `now`, the rows of the recovery of what lies under it.

    A recovered layer opens a window of its own, which may shut again: then it is recovered again.
    """
    air: SiteAir | None = None
    for _ in range(MOST_ROUNDS):
        windows = list(_windows(bench))
        if not windows:
            return
        air = air or site_air(bench.job, events)
        shut = {layer.id: layer for layer, within, since in windows if shuts_at(within, air, since) < now}
        if not shut:
            return
        for layer in shut.values():
            _recover(bench, layer, now)


def _windows(bench: Bench) -> Iterator[tuple[Step, Wait, Instant]]:
    """Each window from a layer that is done into something not begun: the layer, the window, when it began."""
    for step in bench.steps:
        if bench.begun(step):
            continue
        for link in step.after:
            layer = None if link.within is None else bench.step(link.step)
            since = None if layer is None else _counts_from(bench, layer, link)
            if layer is not None and link.within is not None and since is not None:
                yield layer, link.within, since


def _counts_from(bench: Bench, before: Step, link: Link) -> Instant | None:
    """The instant a window counts from: the first piece of the earlier step; None while that is not there."""
    times = bench.progress.started if link.on == "start" else bench.progress.finished
    first = f"{before.id}#1"
    return times.get(before.id, times.get(first))


def _recover(bench: Bench, layer: Step, now: Instant) -> None:
    """Rows between the layer and the late steps. A row laid in the layer's place opens its window anew."""
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
