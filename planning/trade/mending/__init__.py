"""What the events of a job change in its steps: classes swapped, layers lost and mended, windows that shut, work found.

    steps of the job --> swapped --> for each trouble noted, its recovery's rows --> windows that shut --> as they stand

Nothing is kept: the steps are worked out from the events that stand, so an undone event takes its consequence along.
"""

from planning.trade.mending.asked import asked_answers
from planning.trade.mending.mended import mended

__all__ = ["asked_answers", "mended"]
