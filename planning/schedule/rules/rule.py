"""What a rule is: one thing that a plan may never do, with a sentence for each time that a plan does it."""

from abc import ABC, abstractmethod
from collections.abc import Iterator
from typing import ClassVar

from planning.job.plan import Broken
from planning.schedule.rules.case import Case


class Rule(ABC):
    """One rule. Several rules may share a number: they are sides of the same promise to the setter.

    A rule says nothing of what can no longer be changed: two things that have both begun are never named.
    """

    number: ClassVar[int]
    """1 to 15; 0 for a plan that is not a plan of this job, or that contradicts itself."""
    never: ClassVar[str]
    """What the plan may never do, to be read after "a plan may never"."""

    @abstractmethod
    def broken(self, case: Case) -> Iterator[Broken]:
        """Each place in which the plan breaks this rule, the step that should move first."""

    def says(self, words: str, *steps: str) -> Broken:
        """One break of this rule."""
        return Broken(self.number, tuple(dict.fromkeys(steps)), words)
