"""The setter's own numbers for single steps: labor, wait, window, crew, title."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from planning.job.problem import UnreadableError
from planning.job.scope import StepChange
from planning.job.step import Band, Link, Step, Wait

OWN = "the job file"
Told = Callable[[StepChange, UnreadableError], None]


def changed(steps: Sequence[Step], changes: Sequence[StepChange], told: Told) -> list[Step]:
    """The steps with the setter's changes. What cannot be changed so is told and left as it was."""
    found = {step.key: step for step in steps}
    for change in changes:
        step = found.get(change.step)
        if step is None:
            continue
        try:
            found[change.step] = _one(step, change)
        except UnreadableError as wrong:
            told(change, wrong)
    return [found[step.key] for step in steps]


def _one(step: Step, change: StepChange) -> Step:
    if change.title is not None:
        step = replace(step, title=change.title)
    if change.crew is not None:
        step = replace(step, crew=change.crew)
    if change.labor_min is not None:
        step = replace(step, labour=_exactly(change.labor_min))
    if change.wait_min is not None or change.within_min is not None:
        step = replace(step, after=_links(step, change))
    return step


def _links(step: Step, change: StepChange) -> tuple[Link, ...]:
    """His wait stands in every link that has one, else in the first; the same with his window."""
    if not step.after:
        raise UnreadableError(
            f'"{step.key}" is the first step: it waits for nothing', "take the wait out, or change a later step"
        )
    waits = [link.wait is not None for link in step.after]
    withins = [link.within is not None for link in step.after]
    links = []
    for n, link in enumerate(step.after):
        if change.wait_min is not None and (waits[n] or (n == 0 and not any(waits))):
            link = replace(link, wait=_own(link.wait, change.wait_min, step.room))
        if change.within_min is not None and (withins[n] or (n == 0 and not any(withins))):
            link = replace(link, within=_own(link.within or link.wait, change.within_min, step.room))
        if link.wait and link.within and link.within.label.typical < link.wait.label.typical:
            raise UnreadableError(
                f'"{step.key}" may not begin before {link.wait.label.typical} min but must within '
                f"{link.within.label.typical} min",
                "make the wait shorter than the window",
            )
        links.append(link)
    return tuple(links)


def _own(ours: Wait | None, minutes: int, room: str) -> Wait:
    if ours is None:
        return Wait("fixed", _exactly(minutes), room=room, source=OWN, own_label=True)
    return replace(ours, label=_exactly(minutes), source=OWN, own_label=True)


def _exactly(minutes: int) -> Band:
    return Band(minutes, minutes, minutes)
