"""Nothing fits: the facts that clash, in trade words."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ClashFact:
    """One of the facts that cannot all be kept. `about`: whose or where, a word or two; `words`: what is asked.

    `key` is the fact as the program knows it, such as ("visit", id), ("within", step, step) or ("hours",).
    """

    about: str
    words: str
    key: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.about}: {self.words}"


class NoPlan(Exception):
    """No plan fits. `reasons` are sentences for the setter: the facts that clash, and what would help.

    `clash`: the same facts with their keys, when it is known which clash; dropping any one of them lets the others be
    kept together if `smallest`.
    """

    def __init__(self, reasons: Sequence[str], clash: Sequence[ClashFact] = (), smallest: bool = False) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = tuple(reasons)
        self.clash = tuple(clash)
        self.smallest = smallest
