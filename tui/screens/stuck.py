"""Stuck: why no plan fits, and the ways out with what each costs. The old plan stays in force until one is taken."""

from collections.abc import Sequence

from planning.job.choice import Choice
from tui.screens.page import Deck, RowsPage
from tui.widgets.lines import Line, both_ends, line
from tui.words import day, shorten, wrap

ABOUT = 12
SMALL = 80
TITLE = 34
TIGHT = 16
"""Below so many rows the headings stand close, and only the marked way says its cost."""
LEAST_CLASH = 4


class Stuck(RowsPage[Choice]):
    """The page. `reasons`: the facts that clash, each "whose: what"; `offers`: the ways out, the best first."""

    name = "stuck"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.reasons: tuple[str, ...] = ()
        self.offers: tuple[Choice, ...] = ()

    def rows(self) -> Sequence[Choice]:
        """The ways out."""
        return self.offers

    def show(self, reasons: Sequence[str], offers: Sequence[Choice]) -> None:
        """Take what clashes, and the ways out found so far; the mark stays on the same number where it can."""
        self.reasons, self.offers = tuple(reasons), tuple(offers)
        self.at = min(self.at, max(0, len(self.offers) - 1))

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """What clashes, the ways out, and what becomes of the old plan."""
        old = "Old plan stays in force." if self.wall.plan is not None else "There is no plan yet."
        tight = height < TIGHT
        head: list[Line] = [line(("NO PLAN FITS", "alarm"))] if tight else [(), line(("NO PLAN FITS", "alarm")), ()]
        tail: list[Line] = [line(f"  {self._how()}")] if tight else [(), line(f"  {old}"), line(f"  {self._how()}")]
        ways = self._ways(width, tight)
        room = max(LEAST_CLASH, height - len(head) - len(ways) - len(tail))
        return [*head, *self._clash(width, room), *ways, *tail]

    def _how(self) -> str:
        if self.offers:
            return "ENTER takes the marked way.  1 2 3: mark another."
        if self.wall.still_looking:
            return "Looking for ways out..."
        return "U takes back the last thing. L, B, W change a time, or change the job file."

    def _clash(self, width: int, room: int) -> list[Line]:
        made: list[Line] = [line(("  THESE CLASH", "head"))]
        for each in self.reasons:
            about, colon, words = each.partition(": ")
            if not colon or len(about) > 2 * ABOUT:
                about, words = "", each
            indent = max(ABOUT, len(about) + 1) if about else 0
            rows = wrap(words, max(10, width - 4 - indent))
            made += [line(f"    {about if n == 0 else '':<{indent}}{row}") for n, row in enumerate(rows)]
        return made if len(made) <= room else [*made[: room - 1], line("    ...")]

    def _ways(self, width: int, tight: bool) -> list[Line]:
        if not self.offers:
            return []
        made: list[Line] = [line(("  WAYS OUT", "head"))] if tight else [(), line(("  WAYS OUT", "head"))]
        for n, each in enumerate(self.offers):
            mark, look = (">", "mark") if n == self.at else (" ", "")
            title = shorten(each.title, TITLE if width >= SMALL else width - 20)
            done = f"done {day(each.plan, each.finish)}"
            made.append(both_ends(line((f"{mark} {n + 1}  {title}", look)), line((done, look)), width))
            costs = wrap(f"Costs: {each.costs}.", max(10, width - 5))
            shown = 2 if n == self.at else 0 if tight else 1
            made += [line((f"     {row}", look)) for row in costs[:shown]]
        return made

    def space_words(self) -> str | None:
        """Nothing here."""
        return ""

    def space(self) -> bool:
        """SPACE takes nothing: only ENTER does."""
        self.deck.say("ENTER takes the marked way out. ESC goes back." if self.offers else
                      "ESC goes back to the plan on the wall.")  # fmt: skip
        return True

    def enter(self) -> None:
        """Take the marked way out; without one, back."""
        if self.offers:
            self.deck.take_choice(self.at + 1)
        else:
            self.deck.back()

    def no_row(self, number: int) -> str:
        """How many there are to mark."""
        return f"There are only {len(self.offers)} ways out." if self.offers else "No way out is found yet."
