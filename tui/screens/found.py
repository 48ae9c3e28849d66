"""Something is wrong here: what was found, by number. The trade says what it asks for; a new plan follows."""

from collections.abc import Sequence

from tui.screens.number_line import text_line
from tui.screens.page import RowsPage, window_of
from tui.widgets.lines import Line, line, texts
from tui.words import room_name, title, wrap


class Found(RowsPage[tuple[str, str]]):
    """The page, about the marked step's room; a layer of the step itself when it is begun."""

    name = "found"
    fills = ("who",)

    def rows(self) -> list[tuple[str, str]]:
        """(key, title) of every trouble the trade knows."""
        return [(str(key), str(name)) for key, name in (self.wall.pages.get("who") or {}).get("troubles", [])]

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """A row a trouble."""
        plan, step, rows = self.wall.plan, self.wall.target(), self.rows()
        if plan is None or step is None or not rows:
            return self.waiting(width, "The list is being made.")
        begun = step.state in ("hands", "curing", "done")
        about = f"{title(step)}, {room_name(plan, step.room)}" if begun else room_name(plan, step.room)
        made: list[Line] = [(), line(("WHAT IS WRONG", "head"), f"   {about}"), ()]
        self.at = max(0, min(self.at, len(rows) - 1))
        first, last = window_of(len(rows), self.at, max(1, height - 6))
        for n in range(first, last):
            text = f"{'>' if n == self.at else ' '}{n + 1:>3}  {rows[n][1]}"
            made.append(line((text[:width], "mark" if n == self.at else "")))
        said = "ENTER takes it, in these words or in yours. What it asks for comes into the plan; U takes it back."
        return [*made, (), *texts(wrap(said, width))][:height]

    def space_words(self) -> str | None:
        """SPACE notes the marked one."""
        marked = self.marked()
        return "" if marked is None else f"note: {marked[1]}"

    def space(self) -> bool:
        """As ENTER."""
        self.enter()
        return True

    def enter(self) -> None:
        """Note it, in the setter's own words or in ours."""
        marked = self.marked()
        if marked is not None:
            key, name = marked
            self.deck.ask(text_line(f"{name} (ENTER, or your own words):", lambda text: self._note(key, text),
                                    filled=name))  # fmt: skip

    def _note(self, key: str, text: str) -> None:
        step = self.wall.target()
        if step is None:
            return
        body: dict[str, object] = {"room": step.room, "value": text, "trouble": key}
        if step.state in ("hands", "curing", "done"):
            body["step"] = step.piece.of if step.piece else step.id
        self.deck.back()
        self.deck.report("found", body, f"Noted: {text}. A new plan follows.")

    def pick(self, number: int) -> None:
        """That line, and note it."""
        super().pick(number)
        if number <= len(self.rows()):
            self.enter()
