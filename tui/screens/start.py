"""First run: no job yet. What can be opened, and how to begin."""

from collections.abc import Sequence

from tui.screens.page import Page
from tui.widgets.lines import Line, line, texts


class Start(Page):
    """The page when no job was named."""

    name = "start"

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """How to get a job onto the screen."""
        return [
            (),
            line("No job is open."),
            (),
            line(("  mudday JOB", "bold"), "      opens JOB.toml in this folder"),
            line(("  mudday --demo", "bold"), "   copies a made-up job here and opens it: look round"),
            (),
            *texts(["What you will see: one line that says what to do next, when the next coat",
                    "or pour opens, and what to carry in.", "",
                    "Everything you do is saved as you do it. U takes back the last thing.",
                    "Any key you need is on the last two lines."]),
        ]  # fmt: skip

    def space_words(self) -> str | None:
        """Nothing to start."""
        return ""

    def space(self) -> bool:
        """Nothing to start."""
        self.deck.say("No job is open. Q leaves.")
        return True
