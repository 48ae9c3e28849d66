"""Which time is right: the computer's clock was set while floors cured, and only the setter can say what is so."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from planning.job.words import Instant
from planning.quantities.show import show_moment
from planning.records.not_saved import NotSaved
from tui.screens.page import RowsPage
from tui.widgets.lines import Line, line, texts
from tui.words import clock_went, wrap, zone_of

if TYPE_CHECKING:
    from planning.records.clock_change import Answer

WAITS = "Till you say it, no wait is called over and no window is called open, unless it is so by both times."


class WhichTime(RowsPage["tuple[Answer, Instant, str, str]"]):
    """The page. Comes up by itself; nothing is changed until ENTER."""

    name = "time"

    def rows(self) -> "list[tuple[Answer, Instant, str, str]]":
        """(answer, the time it is then, in a few words, what comes of it), the likeliest first."""
        clock, counted = self.wall.clock_says(), self.wall.now()
        return [
            ("clock", clock, "the clock; it was wrong before",
             "What you noted before moves along: 40 min ago stays 40 min ago."),
            ("counted", counted, "counted on; the clock is wrong",
             "The computer's clock is left out from now on. Set it right when you can."),
            ("stays", clock, "the clock; all noted stays",
             "What you noted before stays as it is: the computer slept, or was set right."),
        ]  # fmt: skip

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """What happened, the answers, and what the marked one does."""
        plan, choices = self.wall.plan, self.rows()
        if plan is None or not self.wall.doubt:
            return [(), line("The computer's clock is in no doubt. ESC goes back.")]
        self.at = min(self.at, len(choices) - 1)
        head = [*wrap(clock_went(self.wall.doubt), max(20, width - 2)), "Which time is right?"]
        made: list[Line] = [(), *texts(head, "bold"), ()]
        for n, (_, at, words, _) in enumerate(choices):
            text = f"{'>' if n == self.at else ' '} {n + 1}  {show_moment(at, zone_of(plan)):<18} {words}"
            made.append(line((text, "mark" if n == self.at else "")))
        tells = [choices[self.at][3], WAITS, "Nothing is changed until ENTER."]
        return [*made, (), *[line(row) for each in tells for row in wrap(each, max(20, width - 2))]]

    def space_words(self) -> str | None:
        """Nothing: a thumb on SPACE must not answer this."""
        return ""

    def space(self) -> bool:
        """Nothing: a thumb on SPACE must not answer this."""
        self.deck.say("1 2 3 look at an answer, ENTER takes it.")
        return True

    def enter(self) -> None:
        """Take the marked answer."""
        session, since = self.wall.session, self.wall.now()
        if session is None or session.job is None:
            self.deck.say(self.wall.not_read())
            return
        if not self.wall.doubt:
            self.deck.back()
            return
        answer = self.rows()[self.at][0]
        try:
            session.settle_clock(answer)
        except NotSaved as wrong:
            self.deck.say(f"NOT SAVED, the question is still open. {wrong.reason}")
            return
        self.deck.back()
        self.deck.noted()
        self.deck.say("Noted which time is right.")
        if answer == "stays":
            self.deck.away(since)

    def on_take(self) -> None:
        """ENTER: take the marked answer."""
        self.enter()
