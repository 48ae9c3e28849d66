"""Which step a trouble hurts: the one that was named, else the newest layer or test on that floor at that time."""

from collections.abc import Iterator

from planning.job.events import Event
from planning.job.step import Step
from planning.job.words import WET_KINDS, Instant
from planning.trade.mending.bench import Bench
from planning.trade.references import find_steps
from planning.trade.troubles import Trouble


def hurt_layer(bench: Bench, event: Event, trouble: Trouble) -> Step | None:
    """The layer or test that a trouble hurts and a recovery is known for; None when it hurts nothing that is laid."""
    named = bench.step(str(event.body.get("step", "")))
    if named is not None:
        step = bench.newest(named)
        return step if _laid(bench, step, event.minute_up) and trouble.cure(step.kind) is not None else None
    floors = floors_of(bench, event)
    laid = [step for step in _on(bench, floors, event.minute_up) if _can_be_hurt(bench, step, trouble)]
    return max(laid, key=lambda step: _laid_at(bench, step), default=None)


def floors_of(bench: Bench, event: Event) -> tuple[str, ...]:
    """The floors of the room (or of the step's part) that an event names."""
    named = bench.step(str(event.body.get("step", "")))
    if named is not None and named.works_on:
        return named.works_on
    room_id, _, part = str(event.body.get("room", "")).partition(".")
    room = next((room for room in bench.job.rooms if room.id == room_id), None)
    if room is None:
        return ()
    return (f"{room_id}.{part}",) if part else room.floors


def running_pour(bench: Bench, event: Event) -> Step | None:
    """The pour or float that ran when bags of this class were found short; None: none did."""
    named, material = str(event.body.get("step", "")), str(event.body.get("class", ""))
    at = event.minute_up
    for step in bench.steps:
        start, finish = bench.started(step), bench.finished(step)
        runs = start is not None and start <= at and (finish is None or finish >= at)
        uses = any(amount.material == material for amount in step.amounts)
        if step.kind in ("pour", "float") and runs and (step.id == named.partition("#")[0] or (not named and uses)):
            return step
    return None


def seen_step(bench: Bench, visit_id: str) -> Step | None:
    """The step that a visit came to see: the last that is to be shown, of those it is booked for."""
    for visit in bench.job.visits:
        if visit.id == visit_id:
            found = find_steps(bench.steps, visit.room, visit.sees) if visit.sees else ()
            shown = [step for step in found if step.sees is not None]
            return shown[-1] if shown else None
    _, _, rest = visit_id.partition("/")
    room, _, key = rest.partition("/")
    return next((step for step in bench.steps if (step.room, step.key) == (room, key) and step.sees), None)


def _on(bench: Bench, floors: tuple[str, ...], at: Instant) -> Iterator[Step]:
    for step in bench.steps:
        if set(step.works_on) & set(floors) and _laid(bench, step, at):
            yield step


def _laid(bench: Bench, step: Step, at: Instant) -> bool:
    start = bench.started(step)
    return start is not None and start <= at


def _laid_at(bench: Bench, step: Step) -> tuple[Instant, Instant, int]:
    start = bench.started(step) or 0
    return bench.finished(step) or start, start, bench.steps.index(step)


def _can_be_hurt(bench: Bench, step: Step, trouble: Trouble) -> bool:
    if trouble.cure(step.kind) is None or (trouble.hits == "test") != (step.kind == "test"):
        return False
    return not any(
        later.kind in WET_KINDS and bench.begun(later) and any(link.step == step.id for link in later.after)
        for later in bench.steps
    )
