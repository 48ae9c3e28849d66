"""What the record would change in the job file, with the number of observations behind it. Offered, never imposed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planning.job.job import Job
from planning.job.step import Step
from planning.job.words import AXIS_MIN
from planning.learning.observed import Observation
from planning.learning.pace import Pace, pace_of
from planning.quantities.plain_words import LEAST_PACE, MOST_PACE
from planning.trade.materials import MaterialClass, Window, material_classes

LEAST_CHANGE = 0.05
"""A pace nearer to the written one than this is not worth a change."""
GRAIN = 0.05
FILE_WORDS = {"water": "water_use"}
"""Windows whose key in the job file differs from their name."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A change of the job file: the value at `path` becomes `value` (a number, or words of a window).

    `title`: of what; `was` and `now` in words; `steps`: how many steps of the job, not begun yet, it touches.
    """

    key: str
    title: str
    path: tuple[str, ...]
    value: float | str
    was: str
    now: str
    pace: Pace
    steps: int


def learned(seen: Iterable[Observation]) -> dict[str, Pace | None]:
    """Every kind and every wait that was seen, by key; None where it was seen too seldom to say."""
    groups: dict[str, list[float]] = {}
    for each in seen:
        groups.setdefault(each.key, []).append(each.ratio)
    return {key: pace_of(ratios) for key, ratios in sorted(groups.items())}


def differs(pace: Pace, written: float) -> bool:
    """Is it another pace than the written one, by more than chance and by enough to write it down?"""
    ratio = pace.ratio / written
    return abs(ratio - 1) >= LEAST_CHANGE and not 1 / pace.sure <= ratio <= pace.sure


def offers(
    job: Job, steps: Sequence[Step], begun: frozenset[str], found: Mapping[str, Pace | None]
) -> tuple[Offer, ...]:
    """What each thing learned would change in this job; nothing where it is written so already.

    `begun`: ids of the steps marked begun or done: they are as they are. A wait is only ever made longer: a shorter
    one is the label's to say.
    """
    open_steps = [step for step in steps if step.id not in begun]
    known = material_classes(job)
    made = []
    for key, pace in found.items():
        material, slash, name = key.partition("/")
        if pace is None:
            continue
        if not slash:
            made.append(_labour(job, open_steps, key, pace))
        elif material in known and (window := known[material].window(name)) is not None:
            made.append(_wait(open_steps, known[material], window, key, pace))
    return tuple(each for each in made if each is not None)


def _labour(job: Job, steps: Sequence[Step], kind: str, pace: Pace) -> Offer | None:
    was = job.pace.get(kind, 1.0)
    now = min(MOST_PACE, max(LEAST_PACE, round(round(pace.ratio / GRAIN) * GRAIN, 2)))
    if now == was or not differs(pace, was):
        return None
    mine = [step for step in steps if step.kind == kind]
    minutes = sum(step.labour.typical for step in mine)
    said = f"x{was:g}, {minutes} min of work to come", f"x{now:g}, {round(minutes * now / was)} min"
    return Offer(kind, f"labour, {kind}", ("pace", kind), now, *said, pace, len(mine))


def _wait(steps: Sequence[Step], known: MaterialClass, window: Window, key: str, pace: Pace) -> Offer | None:
    """A longer minimum, never past the maximum: the label number that the setter's own waits speak for."""
    if window.minimum is None or pace.ratio < 1 or not differs(pace, 1.0):
        return None
    was = window.minimum.typical
    now = -(-round(was * pace.ratio) // AXIS_MIN) * AXIS_MIN
    most = window.maximum.typical if window.maximum is not None else None
    now = now if most is None else min(now, most)
    if now <= was:
        return None
    waits = {step.id for step in steps for link in step.after if link.wait is not None
             and (link.wait.material, link.wait.window) == (known.key, window.name)}  # fmt: skip
    value = f"{now} min" if most is None or not window.own_label else f"{now} min to {most} min"
    path = "material", known.key, FILE_WORDS.get(window.name, window.name)
    title = f"wait, {known.title}, {window.name.replace('_', ' ')}"
    return Offer(key, title, path, value, f"{was} min", f"{now} min", pace, len(waits))
