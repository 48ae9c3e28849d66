"""What the draws of a plan came to: how often each day, step and finish holds, what fails first, what would lift it."""

from collections.abc import Mapping, Sequence
from datetime import date
from math import ceil

import numpy as np
import numpy.typing as npt

from planning.job.chance import DayChance
from planning.job.words import AXIS_MIN, Minutes
from planning.schedule.chance.draws import Draw
from planning.schedule.chance.runs import Runs
from planning.schedule.chance.scene import Scene

LIKELY = 0.8
"""How often a finish that is told as likely is met: eight times in ten."""

LIFTED = 0.9
"""How often the weakest step holds with its buffer."""

LONGEST_BUFFER_MIN: Minutes = 240
"""More than half a day is no buffer but another plan (our own rule)."""

Fails = npt.NDArray[np.bool_]


def share(held: object) -> float:
    """The share of draws that hold, to the nearest thousandth."""
    return round(float(np.asarray(held, np.float64).mean()), 3)


def day_chances(scene: Scene, known: Runs, unknown: Runs, days: Mapping[int, date]) -> tuple[DayChance, ...]:
    """The chance of each day. `known`, `unknown`: runs day by day with labels read or not; `days`: the planned day of
    each work that counts, by its place in the scene.
    """
    on: dict[date, list[int]] = {}
    for n, day in sorted(days.items()):
        on.setdefault(day, []).append(n)
    return tuple(_day(scene, known, unknown, day, on[day]) for day in sorted(on))


def _day(scene: Scene, known: Runs, unknown: Runs, day: date, works: Sequence[int]) -> DayChance:
    late = np.stack([known.late[n] for n in works])
    any_label = share((np.stack([unknown.late[n] for n in works]) <= 0).all(axis=0))
    fails = late > 0
    fallen = fails.any(axis=0)
    if not fallen.any():
        return DayChance(day, 1.0, any_label)
    first = np.bincount(fails.argmax(axis=0)[fallen], minlength=len(works))
    weakest = int(first.argmax())
    buffer = _buffer(late, weakest)
    allowed = np.where(np.arange(len(works)) >= weakest, buffer, 0)[:, None]
    lifted = share((late <= allowed).all(axis=0))
    return DayChance(day, share(~fallen), any_label, scene.work[works[weakest]].id, buffer, lifted)


def _buffer(late: npt.NDArray[np.float64], weakest: int) -> Minutes:
    """The least minutes, on the axis, by which the weakest step is in time nine times in ten.

    Only draws count in which nothing before it has failed: what came too late for another step is that one's matter.
    """
    reached = ~(late[:weakest] > 0).any(axis=0)
    needed = float(np.quantile(late[weakest][reached], LIFTED, method="higher"))
    minutes = ceil(max(0.0, needed) / AXIS_MIN) * AXIS_MIN
    return minutes if minutes <= LONGEST_BUFFER_MIN else 0


def last_of(runs: Runs, works: Sequence[int]) -> Draw:
    """When the last of these works is done, in each draw."""
    found: Draw = np.max(np.stack([runs.finish[n] for n in works]), axis=0)
    return found


def likely(ends: Draw) -> float:
    """The minute by which eight draws in ten are done."""
    return float(np.quantile(ends, LIKELY, method="higher"))
