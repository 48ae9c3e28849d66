"""Waits and windows between tasks, also those whose length depends on when they begin."""

from collections.abc import Sequence

from planning.schedule.network import Lag, at
from planning.schedule.solver.model import Expr, Model, Places, TaskVars
from planning.schedule.solver.values import wait_values, within_values

LONGEST_OVERRUN = 288 * 60
"""Two months in ticks: no window is worth breaking by more."""


def add_lags(model: Model, lags: Sequence[Lag]) -> None:
    """All lags into tasks that have not begun."""
    for lag in lags:
        before, after = model.tasks[lag.before], model.tasks[lag.after]
        _wait(model, lag, before, after)
        if lag.within is not None:
            _within(model, lag, before, after)


def _wait(model: Model, lag: Lag, before: TaskVars, after: TaskVars) -> None:
    cp = model.cp
    tick = before.start if lag.from_start else before.finish
    if before.fixed:
        done = before.reach.low if lag.from_start else before.reach.first_finish
        cp.add(after.start >= done + at(lag.wait, done))
        return
    values = wait_values(lag.wait, before.starts if lag.from_start else before.finishes, after.starts)
    # Also said without a literal, where the solver's reasoning on orders can use it.
    cp.add(after.start >= tick + values[0].ticks)
    parts = model.ticks_in(before, lag.from_start, tuple(value.when for value in values))
    for value, part in list(zip(values, parts, strict=True))[1:]:
        if part is not None:
            cp.add(after.start >= tick + value.ticks).only_enforce_if(part)


def _within(model: Model, lag: Lag, before: TaskVars, after: TaskVars) -> None:
    over = _overrun(model, lag) if model.elastic else 0
    for latest, part in latest_starts(model, lag, before, after):
        row = model.cp.add(after.start <= latest + over)
        if part is not None:
            row.only_enforce_if(part)


def latest_starts(model: Model, lag: Lag, before: TaskVars, after: TaskVars) -> list[tuple[Expr, Expr | None]]:
    """The last tick at which `after` may start, as (expression, literal under which it holds) pairs."""
    assert lag.within is not None
    if before.fixed:
        done = before.reach.low if lag.from_start else before.reach.first_finish
        return [(done + at(lag.within, done), None)]
    tick = before.start if lag.from_start else before.finish
    ticks = before.starts if lag.from_start else before.finishes
    values = within_values(lag.within, ticks, after.starts, model.elastic)
    parts = model.ticks_in(before, lag.from_start, tuple(value.when for value in values))
    last = values[-1].ticks
    bounds: list[tuple[Expr, Expr | None]] = [(tick + last, None)]
    pairs = zip(values[:-1], parts[:-1], strict=True)
    return bounds + [(tick + value.ticks, part) for value, part in pairs if part is not None]


def _overrun(model: Model, lag: Lag) -> Expr:
    """By how much this window is broken, if it has to be."""

    def read(places: Places) -> int:
        assert lag.within is not None
        before = places[lag.before]
        tick = before.start if lag.from_start else before.finish
        return max(0, places[lag.after].start - tick - at(lag.within, tick))

    over = model.int_var(0, LONGEST_OVERRUN, read)
    model.overruns.append((over, 1))
    return over
