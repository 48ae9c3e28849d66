"""Stuck: why no plan fits. The old plan stays in force."""

from collections.abc import Sequence

from tui.screens.page import Deck, Page
from tui.widgets.lines import Line, line
from tui.words import wrap


class Stuck(Page):
    """The page. `reasons`: the facts that clash, as the planner found them."""

    name = "stuck"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.reasons: tuple[str, ...] = ()

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """What clashes, and what can be done here."""
        made: list[Line] = [(), line(("NO PLAN FITS", "alarm")), (), line(("  THESE CLASH", "head"))]
        for each in self.reasons:
            made += [line(f"    {row}") for row in wrap(each, max(10, width - 6))]
        old = "Old plan stays in force." if self.wall.plan is not None else "There is no plan yet."
        return [
            *made,
            (),
            line(f"  {old}"),
            line("  U takes back the last thing. L, B, W change a time, or change the job file."),
        ]

    def space_words(self) -> str | None:
        """Nothing here."""
        return ""

    def space(self) -> bool:
        """Nothing here."""
        self.deck.say("ESC goes back to the plan on the wall.")
        return True

    def enter(self) -> None:
        """Back."""
        self.deck.back()
