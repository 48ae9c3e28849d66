"""Wet work that the air forbids, and everything behind it: on hold, in words, without a clock time."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from planning.job.plan import PlannedStep
from planning.job.words import WET_KINDS
from planning.schedule.build.network_of import Built
from planning.trade.air import hold_reason

OPEN_STATES = frozenset(("wait", "ready", "missed", "hold"))


def with_holds(built: Built, steps: Sequence[PlannedStep]) -> list[PlannedStep]:
    """The planned steps, those on hold named so: their times are the planner's guess and are shown nowhere.

    A wet step is on hold when its room is outside the air limits at its start; a step not begun that waits for one on
    hold is on hold too, and says for which.
    """
    words = {step.id: said for step in steps if (said := _air_says(built, step)) is not None}
    return [_on_hold(step, words.get(step.id) or behind) for step, behind in _behind(built, steps, words)]


def _air_says(built: Built, step: PlannedStep) -> str | None:
    if step.kind not in WET_KINDS or step.state not in OPEN_STATES:
        return None
    site = built.site
    reason = hold_reason(step.kind, site.air.at(step.room, step.start), site.job.units)
    return None if reason is None else f"HOLD, {site.job.room(step.room).name}: {reason}"


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
