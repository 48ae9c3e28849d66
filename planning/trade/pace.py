"""The setter's own pace: attended labour of a kind of work stretched or shortened by what he wrote in the job file.

His own minutes for a single step outweigh it. Pours and tests have none: bags, mixers and the test set their minutes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from planning.job.step import Step
from planning.job.words import KINDS, Kind
from planning.trade.rates import scaled

PACED: frozenset[Kind] = frozenset(KINDS) - {"pour", "test"}
"""The kinds of work that have a pace."""


def paced(steps: Sequence[Step], pace: Mapping[str, float]) -> list[Step]:
    """The steps with low, typical and high labour times the pace of their kind; never less than a minute."""
    if not pace:
        return list(steps)
    return [_at(step, pace.get(step.kind, 1.0)) if step.kind in PACED else step for step in steps]


def _at(step: Step, times: float) -> Step:
    return step if times == 1.0 else replace(step, labour=scaled(step.labour, times))
