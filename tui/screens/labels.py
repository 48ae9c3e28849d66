"""Label numbers: what the setter's own bags and pails say, for every wait that still counts by common practice."""

from collections.abc import Sequence
from typing import Any

from planning.job.problem import UnreadableError
from tui.screens.number_line import text_line
from tui.screens.page import Deck, RowsPage, window_of
from tui.widgets.lines import Line, line, texts
from tui.words import shorten, wrap

OURS = "ours"


class Labels(RowsPage[dict[str, Any]]):
    """The page. `of`: only what this step waits by; None for the whole job."""

    name = "labels"
    fills = ("labels",)

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.of: str | None = None

    def rows(self) -> list[dict[str, Any]]:
        """The numbers that are still ours, those of the step first asked about only."""
        filled = self.wall.pages.get("labels") or {}
        ours = list(filled.get("ours", []))
        if self.of is None:
            return ours
        mine = filled.get("by_step", {}).get(self.of, [])
        return [each for each in ours if each["class"] in mine]

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """A row a number."""
        filled, rows = self.wall.pages.get("labels"), self.rows()
        made: list[Line] = [(), line(("LABEL NUMBERS", "head"), "   what your own bags and pails say"), ()]
        if filled is None:
            return [*made[:-1], *self.waiting(width, "The list is being made.")]
        own = ", ".join(str(title) for _, title in filled.get("own", []))
        tail = wrap(f"Yours already: {own}." if own else "None is yours yet.", width)
        tail += wrap("A label counts for this job and for the next ones. U takes it back.", width)
        if not rows:
            return [*made, *texts(["Nothing here counts by common practice.", "", *tail])][:height]
        self.at = max(0, min(self.at, len(rows) - 1))
        made.append(line((f"     {'CLASS':<28}COMMON PRACTICE SAYS", "dim")))
        first, last = window_of(len(rows), self.at, max(1, height - len(made) - len(tail) - 2))
        for n in range(first, last):
            title = "" if n > first and rows[n - 1]["class"] == rows[n]["class"] else shorten(rows[n]["title"], 27)
            text = f"{'>' if n == self.at else ' '}{n + 1:>3} {title:<28}{rows[n]['says']}"
            made.append(line((text[:width], "mark" if n == self.at else "")))
        if last - first < len(rows):
            made.append(line((f"{len(rows) - last + first} more: up, down".rjust(width), "dim")))
        return [*made, (), *texts(tail)][:height]

    def space_words(self) -> str | None:
        """SPACE types the marked number."""
        each = self.marked()
        return "" if each is None else f"type {each['called']} of {shorten(each['title'], 20)}"

    def space(self) -> bool:
        """As ENTER."""
        self.enter()
        return True

    def enter(self) -> None:
        """Type the marked number."""
        each = self.marked()
        if each is not None:
            asks = f"{shorten(each['title'], 18)}, {each['called']} (18 h, or 2 h to 24 h, or ours):"
            self.deck.ask(text_line(asks, lambda text: self._typed(each, text)))

    def _typed(self, each: dict[str, Any], text: str) -> None:
        plain = text.lower() == OURS or text[0].isalpha()
        said = text if plain else f"{each['called']} {text}"
        body: dict[str, object] = {"class": each["class"], "value": said}
        try:
            kept = self.deck.report("label", body, f"{each['title']}: {said}. Kept for the next jobs too.")
        except UnreadableError as wrong:
            self.deck.say(str(wrong))
            return
        if kept:
            self.wall.pages.pop("labels", None)
