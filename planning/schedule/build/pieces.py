"""Divisible work (setting tile is; poured, coated, floated work never) cut into pieces before solving."""

from dataclasses import dataclass

from planning.job.step import Step
from planning.job.words import AXIS_MIN, Minutes

MOST_PIECES = 4
SHORTEST_PIECE_MIN: Minutes = 45
GOOD_PIECE_MIN: Minutes = 150
"""About half a working day: shorter pieces cost the solver more than they give the setter (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One piece: its id, number (from 1; 0 when the step is whole), length on the axis, and its share of the labour."""

    id: str
    of: Step
    n: int
    minutes: Minutes
    share: float

    @property
    def ticks(self) -> int:
        """The length in ticks of the axis."""
        return self.minutes // AXIS_MIN


def on_axis(minutes: Minutes) -> Minutes:
    """Minutes rounded up to the planning axis, at least one tick."""
    return max(AXIS_MIN, -(-minutes // AXIS_MIN) * AXIS_MIN)


def cut(step: Step, longest_min: Minutes) -> tuple[Cut, ...]:
    """The pieces of a step in order. `longest_min` is the longest stretch anybody works in one day.

    At most four pieces of at least 45 minutes; more only when four would not fit into a day each.
    """
    whole = on_axis(step.labour.typical)
    if not step.divisible or whole < 2 * SHORTEST_PIECE_MIN or longest_min <= 0:
        return (Cut(step.id, step, 0, whole, 1.0),)
    wanted = min(MOST_PIECES, -(-whole // GOOD_PIECE_MIN), whole // SHORTEST_PIECE_MIN)
    count = max(wanted, -(-whole // longest_min))
    if count == 1:
        return (Cut(step.id, step, 0, whole, 1.0),)
    ticks = whole // AXIS_MIN
    sizes = [ticks // count + (1 if n < ticks % count else 0) for n in range(count)]
    return tuple(Cut(f"{step.id}#{n}", step, n, size * AXIS_MIN, size / ticks) for n, size in enumerate(sizes, start=1))
