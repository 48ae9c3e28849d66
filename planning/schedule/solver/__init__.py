"""The solver: a network in, the best plan it can find and prove out. The engine is loaded on the first solve only."""

from collections.abc import Callable

from planning.schedule.network import Network, Solution
from planning.schedule.solver.limits import Limits, StopFlag

NORMAL = Limits()

__all__ = ["Limits", "StopFlag", "solve"]


def solve(
    network: Network,
    hint: Solution | None = None,
    limits: Limits = NORMAL,
    on_better: Callable[[Solution], None] | None = None,
    stop: StopFlag | None = None,
) -> Solution:
    """The best plan for the network within the limits, and how good it is proved to be.

    The same network, hint and limits give the same plan, in every process, unless the wall clock or `stop` ended the
    search (`cut_short`). `hint` is a plan to start from; it need not be whole or even valid. `on_better` is called
    with each better plan, on a thread of the solver's: take the value and leave. With an accepted plan in the
    network (`before`) the plan changes as little as it can, and if no plan keeps every window, visit and night, it
    breaks as few as it can and says which (`overrun`).

    Raises ValueError for a network that makes no sense (a lag to a task that is not there). It does not move
    everything as early as it goes; that is propagation's work.
    """
    from planning.schedule.solver.stages import solve_in_stages

    return solve_in_stages(network, hint, limits, on_better, stop or StopFlag())
