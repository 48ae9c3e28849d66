"""What every page is: lines from the wall, one marked row, and keys of its own."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Generic, Protocol, TypeVar

from planning.job.plan import PlannedStep
from planning.job.words import Instant
from tui.screens.number_line import NumberLine
from tui.wall import Wall
from tui.widgets.lines import Line, line, texts
from tui.words import wrap

Row = TypeVar("Row")


class Deck(Protocol):
    """What a page may ask the program to do. Nothing here waits."""

    wall: Wall
    question: NumberLine | None
    """What is being asked, on the line above the bottom two."""

    def say(self, text: str) -> None:
        """One line above the bottom lines."""

    def go(self, page: str) -> None:
        """Show another page."""

    def back(self) -> None:
        """Show the page from before."""

    def page_of(self, name: str) -> Any:
        """Another page, to be set before it is shown or to look at its mark."""

    def ask(self, question: NumberLine) -> None:
        """Ask for a number or a line of text; its `take` is called with the answer."""

    def fill(self, name: str) -> None:
        """Have the helper fill in what `wall.pages[name]` holds."""

    def menu(self) -> None:
        """Have the helper fill in the methods to choose from, in `wall.pages["menu"]`."""

    def change(
        self, edits: Sequence[Mapping[str, Any]], about: str, then: Callable[[dict[str, Any]], None] | None
    ) -> None:
        """Have the helper say what a changed job file comes to for a room, in `wall.pages["try"]`.

        With `then` the file is written if nothing is wrong, and the answer handed to it. Edits: see tui.job_changes.
        """

    def begin_job(self, path: Path, tables: dict[str, Any]) -> None:
        """A job that is not on disk yet: its file is written with its first room."""

    def open_new(self) -> None:
        """The first room of a new job is written: open it."""

    def read_again(self) -> None:
        """Read the job file and the record again, and plan if they ask for it."""

    def take_choice(self, number: int) -> None:
        """Take a choice that waits, and go back."""

    def keep_old(self) -> None:
        """Keep the old plan, and go back."""

    def open_job(self, path: Path) -> None:
        """Open a job file in place of the page without one."""

    def ways_changed(self) -> None:
        """`wall.ways` changed: live by it, and keep it."""

    def away(self, since: Instant) -> None:
        """Nobody looked since then: what came due meanwhile comes up in one list, if anything did."""

    def noted(self) -> None:
        """Something was noted by other ways than `report`."""

    def report(self, kind: str, body: dict[str, object], said: str) -> bool:
        """Note something; False when it is not on disk."""

    def report_at(self, kind: str, body: dict[str, object], at: Instant, said: str) -> bool:
        """Note something that happened, or will, at another time than now."""


class Page:
    """One page. `name` is its name in the table of commands."""

    name = ""
    fills: tuple[str, ...] = ()
    """What the helper fills in for this page."""
    dry = False
    """Is this page for dry hands at a table? Then every press counts at once."""

    def __init__(self, deck: Deck) -> None:
        self.deck = deck
        self.at = 0

    @property
    def wall(self) -> Wall:
        """The wall all pages show."""
        return self.deck.wall

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The lines between the top three and the bottom three."""
        raise NotImplementedError

    def waiting(self, width: int, for_what: str = "The first plan of this job is being made.") -> list[Line]:
        """What stands there while there is nothing to show yet: what hinders it, or else what is on its way."""
        hindered = self.wall.hindered()
        if not hindered:
            return texts(["", for_what], "dim")
        return [(), *[line(row) for each in hindered for row in wrap(each, width)]]

    def opened(self) -> None:
        """The page comes up."""

    def filled(self, name: str) -> None:
        """The helper filled in `wall.pages[name]`."""

    def space_words(self) -> str | None:
        """What SPACE does here; None: it starts or finishes the marked step."""
        return None

    def space(self) -> bool:
        """SPACE was pressed. False: start or finish the marked step."""
        return False

    def enter(self) -> None:
        """ENTER was pressed."""
        if self.wall.target() is not None:
            self.deck.go("step")

    def escape(self) -> None:
        """ESC was pressed and no bell rang."""
        self.deck.back()

    def move(self, down: int) -> None:
        """Up or down."""

    def turn(self, right: int) -> None:
        """Left or right."""

    def pick(self, number: int) -> None:
        """A digit."""

    def do(self, command: str) -> None:
        """A key of this page's own: the method named after the command does it."""
        getattr(self, "on_" + command.split("-", 1)[1].replace("-", "_"))()


class RowsPage(Page, Generic[Row]):
    """A page with a list of its own: up, down and a digit move the mark on its rows."""

    def rows(self) -> Sequence[Row]:
        """What may be marked, in the order shown."""
        raise NotImplementedError

    def marked(self) -> Row | None:
        """The row that keys act on; the last one when the list got shorter, None when it is empty."""
        rows = self.rows()
        return rows[min(self.at, len(rows) - 1)] if rows else None

    def mark(self, at: int) -> None:
        """The mark goes to that row."""
        self.at = at

    def move(self, down: int) -> None:
        """The mark goes up or down."""
        self.mark(max(0, min(len(self.rows()) - 1, self.at + down)))

    def pick(self, number: int) -> None:
        """Mark the row of that number."""
        if number <= len(self.rows()):
            self.mark(number - 1)
        else:
            self.deck.say(self.no_row(number))

    def no_row(self, number: int) -> str:
        """What is said when there is no row of that number."""
        return f"There is no line {number}."


class StepsPage(Page):
    """A page whose rows are steps: the marked row is the step that SPACE acts on."""

    def row_ids(self) -> list[str]:
        """The steps in the order of the rows."""
        raise NotImplementedError

    def marked_row(self) -> int:
        """The row of the step that SPACE acts on, -1 if it is not on this page."""
        target = self.wall.target()
        ids = self.row_ids()
        return ids.index(target.id) if target is not None and target.id in ids else -1

    def move(self, down: int) -> None:
        """The mark goes up or down."""
        ids = self.row_ids()
        if ids:
            self.wall.marked = ids[max(0, min(len(ids) - 1, self.marked_row() + down))]

    def pick(self, number: int) -> None:
        """Mark the row of that number."""
        ids = self.row_ids()
        if number <= len(ids):
            self.wall.marked = ids[number - 1]
        else:
            self.deck.say(f"There is no line {number} here.")


def window_of(count: int, at: int, room: int) -> tuple[int, int]:
    """Which rows to show when not all fit: (first, after last), with the marked one among them."""
    if count <= room:
        return 0, count
    first = max(0, min(at - room // 2, count - room))
    return first, first + max(room, 0)


def live(step: PlannedStep) -> bool:
    """Is there still something to do in it?"""
    return step.state not in ("done", "curing")
