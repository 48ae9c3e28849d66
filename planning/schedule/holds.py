"""On hold, in words: wet work that the air forbids and all behind it; what waits for somebody who is overdue."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from planning.job.counted_on import is_overdue
from planning.job.plan import PlannedStep
from planning.job.words import AXIS_MIN, WET_KINDS
from planning.quantities.show import show_when
from planning.schedule.build.network_of import Built
from planning.schedule.build.visits import delivered_to
from planning.trade.air import hold_reason
from planning.trade.evidence import unproved
from planning.trade.expand import find_steps

OPEN_STATES = frozenset(("wait", "ready", "missed", "hold"))


def with_holds(built: Built, steps: Sequence[PlannedStep]) -> list[PlannedStep]:
    """The planned steps, those on hold named so: their times are the planner's guess and are shown nowhere.

    A wet step is on hold when its room is outside the air limits at its start; a step not begun that waits for one on
    hold is on hold too, and says for which. A step whose delivery or answer is overdue, or that nobody has said yes to,
    is on hold by itself: what follows it is planned as if it came the next working morning.
    """
    steps = [_on_hold(step, _owed_says(built, step)) for step in steps]
    steps = [_with_evidence(built, step) for step in steps]
    words = {step.id: said for step in steps if (said := _air_says(built, step)) is not None}
    return [_on_hold(step, words.get(step.id) or behind) for step, behind in _behind(built, steps, words)]


def _air_says(built: Built, step: PlannedStep) -> str | None:
    if step.kind not in WET_KINDS or step.state not in OPEN_STATES:
        return None
    site = built.site
    reason = hold_reason(step.kind, site.air.at(step.room, step.start), site.job.units)
    return None if reason is None else f"HOLD, {site.job.room(step.room).name}: {reason}"


def _owed_says(built: Built, step: PlannedStep) -> str | None:
    """Who owes what to a step not begun, when it is overdue or needs a yes; None when it can be counted on."""
    site = built.site
    whole = site.step_by_id.get(step.id.partition("#")[0])
    if whole is None or step.state not in OPEN_STATES:
        return None
    for answer in site.job.answers:
        late = is_overdue(answer.by, site.now)
        if answer.id in site.progress.answered or not (late or answer.yes):
            continue
        if whole in find_steps(site.steps, answer.room, answer.holds):
            since = f" since {show_when(answer.by, site.job.zone, site.now)}" if late else ""
            return f"HOLD: the {answer.owed_by} owes {answer.what}{since}. Ask."
    for delivery in site.job.deliveries:
        due = site.progress.delivery_due.get(delivery.id, delivery.latest)
        if delivery.id not in site.progress.delivered and is_overdue(due, site.now) and delivered_to(delivery, whole):
            return f"HOLD: {delivery.of} was to be here {show_when(due, site.job.zone, site.now)}. Ask where it is."
    return None


def _with_evidence(built: Built, step: PlannedStep) -> PlannedStep:
    """A step that would cover work without its evidence: on hold when it is to begin now, later only told so."""
    site = built.site
    whole, _, piece = step.id.partition("#")
    full = site.step_by_id.get(whole)
    if full is None or step.state not in OPEN_STATES or piece not in ("", "1"):
        return step
    done = {name.partition("#")[0] for name in site.progress.finished}
    missing = [each for each in unproved(full, site.step_by_id, site.progress.proofs) if each[0].id in done]
    if not missing:
        return step
    earlier, asks = missing[0]
    said = f"note of {earlier.title} first, or why not: {asks}."
    if step.start < site.now + AXIS_MIN:
        return _on_hold(step, f"HOLD: {said}")
    return replace(step, reason=f"{step.reason} {said[:1].upper()}{said[1:]}".strip())


def _behind(
    built: Built, steps: Sequence[PlannedStep], words: Mapping[str, str]
) -> list[tuple[PlannedStep, str | None]]:  # fmt: skip
    """Each step with why it waits for something on hold, if it does; `steps` are in order of time."""
    by_id = {step.id: step for step in steps}
    held = set(words)
    found: list[tuple[PlannedStep, str | None]] = []
    for step in steps:
        before = [link.id for link in step.after]
        if step.piece is not None and step.piece.n > 1:
            before.append(f"{step.piece.of}#{step.piece.n - 1}")
        cause = next((name for name in before if name in held), None)
        says = None
        if cause is not None and step.id not in words and step.state in OPEN_STATES:
            held.add(step.id)
            says = f"Waits for {by_id[cause].title} in the {built.site.job.room(by_id[cause].room).name}, on hold."
        found.append((step, says))
    return found


def _on_hold(step: PlannedStep, says: str | None) -> PlannedStep:
    if says is None:
        return step
    return replace(step, state="hold", reason=says, latest_start=None, lost_then=None)
