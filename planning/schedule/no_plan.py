"""Nothing fits: the facts that clash, in trade words."""

from collections.abc import Sequence


class NoPlan(Exception):
    """No plan fits. `reasons` are sentences for the setter: the facts that clash, and what would help."""

    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = tuple(reasons)
