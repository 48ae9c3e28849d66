"""How long a recovery's row takes, what it uses and how long it needs, measured like the step it mends."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from planning.job.job import Job
from planning.job.problem import UnreadableError
from planning.job.scope import Scope
from planning.job.step import Amount, Band, Step, StepBatch, Wait
from planning.job.words import WINDOW_NAMES
from planning.quantities import units
from planning.trade.amounts import amounts
from planning.trade.materials import material_classes
from planning.trade.measures_of_room import Measured, measure
from planning.trade.methods import AmountRow, Method, Row, all_methods
from planning.trade.own_rows import with_added
from planning.trade.quantity_of import quantity
from planning.trade.rates import Rate, labour
from planning.trade.recoveries import RecoveryRow
from planning.trade.rows import step_id
from planning.trade.tables import NO_SOURCE

UNMEASURED = Band(15, 30, 60)
"""Labour of a mend on a step of which no measure is known (ours, no source)."""


def band_of(job: Job, like: Step, row: RecoveryRow) -> Band:
    """The labour of a recovery's row in the place of the step it mends."""
    if all(rate.per == "once" for rate in row.labour):
        return labour(dict.fromkeys(row.labour, 1.0))
    found = _measured(job, like)
    if found is None:
        return UNMEASURED
    measured, own = found
    share = _bay_share(measured, own, like)
    summed: dict[Rate, float] = {}
    for rate in row.labour:
        much = quantity(measured, rate.per, own.place, measured.material(own.lays))
        much *= 1.0 if rate.per == "once" else share
        summed[rate] = summed.get(rate, 0.0) + much
    return labour(summed)


def lays_of(job: Job, like: Step, row: RecoveryRow) -> tuple[Amount, ...]:
    """What a row takes of the class it lays, where the table says by what it is counted."""
    found = _measured(job, like)
    if row.use_per is None or row.lays is None or found is None:
        return ()
    measured, own = found
    whole = amounts(measured, own.model_copy(update={"amounts": {row.lays: (AmountRow(per=row.use_per),)}}))
    return share_of(whole, _bay_share(measured, own, like))


def share_of(amounts: Iterable[Amount], share: float) -> tuple[Amount, ...]:
    """A share of what a step takes; none of it is nothing to carry."""
    return tuple(replace(each, quantity=each.quantity * share) for each in amounts if share > 0)


def batches_of(batches: Sequence[StepBatch], share: float) -> tuple[StepBatch, ...]:
    """The first batches of a pour, as many as make that share of it."""
    wanted = share * sum(each.bags for each in batches)
    found: list[StepBatch] = []
    for each in batches:
        if sum(batch.bags for batch in found) < wanted - 1e-9:
            found.append(each)
    return tuple(found)


def window_of(job: Job, room: str, row: RecoveryRow) -> Wait | None:
    """What comes after the row waits for that: a window of the class it lays, or a length of time."""
    if row.wait is None:
        return None
    if row.wait in WINDOW_NAMES:
        material = material_classes(job).get(row.lays or "")
        return None if material is None else material.wait(row.wait, room)
    return Wait("fixed", units.band(row.wait), room=room, source=NO_SOURCE)


def _measured(job: Job, like: Step) -> tuple[Measured, Row] | None:
    """The method's own row of a step, and its method measured in the room; None for a step of no method."""
    room = next((room for room in job.rooms if room.id == like.room), None)
    methods = all_methods(job)
    for scope in room.do if room is not None else ():
        if scope.method != like.method or (method := _with_own(methods.get(scope.method), scope)) is None:
            continue
        assert room is not None
        measured, unread = measure(job, room, method, scope, material_classes(job), False)
        own = method.by_key(like.bay_of or like.key)
        if not unread and own is not None and _front(step_id(measured, own)) == _front(like.id):
            return measured, own
    return None


def _front(name: str) -> str:
    """The place and method of an id."""
    return name.rpartition("/")[0]


def _bay_share(measured: Measured, own: Row, like: Step) -> float:
    """The share of its layer that a bay is, by what it takes; 1 for a whole layer."""
    whole = {each.material: each.quantity for each in amounts(measured, own)} if like.bay_of else {}
    shares = [each.quantity / whole[each.material] for each in like.amounts if whole.get(each.material)]
    return min(1.0, max(shares, default=1.0))


def _with_own(method: Method | None, scope: Scope) -> Method | None:
    try:
        return None if method is None else with_added(method, scope.add)
    except UnreadableError:
        return None
