"""One act of the plan laid beside the step or errand that it stands for."""

from dataclasses import dataclass

from planning.job.job import Errand
from planning.job.plan import PlannedStep
from planning.job.step import Step
from planning.job.words import AXIS_MIN, WET_KINDS, Instant, Minutes


def on_axis(minutes: Minutes) -> Minutes:
    """Minutes rounded up to the planning axis, at least one tick of it."""
    return max(AXIS_MIN, -(-minutes // AXIS_MIN) * AXIS_MIN)


@dataclass(frozen=True, slots=True)
class Placed:
    """A step, a piece of one, or an errand, where the plan has it (or, when the plan leaves it out, the record)."""

    id: str
    step: Step | None
    errand: Errand | None
    n: int
    """The piece's number from 1; 0 when the step is whole."""
    start: Instant
    finish: Instant
    people: tuple[str, ...]
    begun: bool
    done: bool
    planned: PlannedStep | None

    @property
    def step_id(self) -> str:
        """The id of the whole step, or of the errand."""
        return self.step.id if self.step is not None else self.id

    @property
    def pauses(self) -> bool:
        """May the work stop for a meal?"""
        return self.step is not None and self.step.pause

    @property
    def wet(self) -> bool:
        """Is it a wet trade?"""
        return self.step is not None and self.step.kind in WET_KINDS

    def overlaps(self, start: Instant, finish: Instant) -> bool:
        """Is it being worked at any moment between the two?"""
        return self.start < finish and start < self.finish
