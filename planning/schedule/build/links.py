"""Links between steps as lags between tasks."""

from itertools import pairwise

from planning.job.step import Link, Step
from planning.schedule.build.curves import Curves
from planning.schedule.build.site import Site
from planning.schedule.build.tasks import StepTasks, fixed_ticks
from planning.schedule.network import Lag


def step_lags(site: Site, curves: Curves, found: StepTasks) -> list[Lag]:
    """Every link as a lag into the first piece; and every piece after the one before it."""
    known = {task.id for task in found.tasks}
    lags = [
        lag
        for step in site.steps
        for link in step.after
        if link.step in found.pieces
        for lag in _lags(site, curves, found, step, link)
    ]
    for pieces in found.pieces.values():
        lags += [Lag(one.id, other.id) for one, other in pairwise(pieces)]
    return [lag for lag in lags if lag.before in known and lag.after in known]


def _lags(site: Site, curves: Curves, found: StepTasks, step: Step, link: Link) -> list[Lag]:
    """The wait counts from the last piece of the earlier step, the window from its first: the strictest of each."""
    after = found.first(step.id)
    pieces = found.pieces[link.step]
    from_start = link.on == "start"
    waits = pieces[0] if from_start else pieces[-1]
    lags = [_lag(site, curves, link, waits.id, after, found, wait=True)]
    if link.within is not None:
        lags.append(_lag(site, curves, link, pieces[0].id, after, found, wait=False))
    if len(lags) == 2 and lags[0].before == lags[1].before:
        return [Lag(lags[0].before, after, lags[0].wait, lags[1].within, from_start)]
    return lags


def _lag(
    site: Site, curves: Curves, link: Link, before: str, after: str, found: StepTasks, wait: bool
) -> Lag:  # fmt: skip
    from_start = link.on == "start"
    happened = site.progress.started.get(before) if from_start else site.progress.finished.get(before)
    piece = next(p for p in found.pieces[link.step] if p.id == before)
    fixed = fixed_ticks(site, piece)
    if happened is not None and fixed is not None:
        tick = fixed[0] if from_start else fixed[1]
        if wait:
            return Lag(before, after, curves.wait_from(link.wait, happened, tick), None, from_start)
        assert link.within is not None
        return Lag(before, after, ((0, 0),), curves.within_from(link.within, happened, tick), from_start)
    if wait:
        return Lag(before, after, curves.wait(link.wait), None, from_start)
    assert link.within is not None
    return Lag(before, after, ((0, 0),), curves.within(link.within), from_start)
