"""First run: no job is open. Start one, open one of this folder, or look round in a made-up one."""

from collections.abc import Callable, Sequence
from pathlib import Path

from tui.cli.demo import copy_demo
from tui.cli.wrong import WrongUse
from tui.screens.number_line import text_line
from tui.screens.page import Deck, RowsPage
from tui.widgets.lines import Line, both_ends, line, texts
from tui.words import wrap

MARK = "[job]"
MOST = 6
NAMED = 36
SEES = "What you will see: one line that says what to do next, when the next coat or pour opens, and what to carry in."
KEPT = ("Everything you do is saved as you do it. U takes back the last thing. Any key you need is on the last two "
        "lines.")  # fmt: skip


def job_files(folder: Path) -> list[Path]:
    """The job files of a folder, by name."""
    found = []
    for path in sorted(folder.glob("*.toml")):
        try:
            text = path.read_text(encoding="utf-8")
        except (OSError, ValueError):
            continue
        if any(row.strip() == MARK for row in text.splitlines()):
            found.append(path)
    return found


class Start(RowsPage[tuple[str, str, Callable[[], None]]]):
    """The page when no job was named."""

    name = "start"
    dry = True

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.folder = Path.cwd()
        self.files: list[Path] = []

    def opened(self) -> None:
        """Look what is in the folder."""
        self.files = job_files(self.folder)[:MOST]

    def rows(self) -> list[tuple[str, str, Callable[[], None]]]:
        """(what, about it, what it does) of every line."""
        jobs = [(f"Open {each.name}", "a job of yours in this folder", self._opens(each)) for each in self.files]
        return [
            *jobs,
            ("Start a job", "six short questions, then your first plan", lambda: self.deck.go("new")),
            ("Look round a made-up job", "a copy of it; nothing of yours is touched", self._demo),
            ("Open a job file elsewhere", "type where it is", self._elsewhere),
        ]

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """What can be done."""
        has = "No job is open." if self.files else "No job here yet."
        made: list[Line] = [
            line(("one job, many rooms", "dim")), (),
            both_ends(line(has), line((str(self.folder)[-max(10, width - 20) :], "dim")), width), (),
        ]  # fmt: skip
        for n, (what, about, _) in enumerate(self.rows()):
            text = f"{'>' if n == self.at else ' '} {n + 1}  {what:<28}"
            full = text + about if len(text) + len(about) <= width else text.rstrip()
            made.append(line((full[:width], "mark" if n == self.at else "")))
        return [
            *made, (),
            *texts(wrap(SEES, min(width, 78))), (),
            *texts(wrap(KEPT, min(width, 78))),
        ][:height]  # fmt: skip

    def space_words(self) -> str | None:
        """SPACE does the marked line, as ENTER does."""
        marked = self.marked()
        return "" if marked is None else marked[0].lower()[:NAMED]

    def space(self) -> bool:
        """Do it."""
        self.enter()
        return True

    def enter(self) -> None:
        """Do the marked line."""
        marked = self.marked()
        if marked is not None:
            marked[2]()

    def escape(self) -> None:
        """Nothing is behind this page."""
        self.deck.say("Q leaves.")

    def pick(self, number: int) -> None:
        """Do that line."""
        super().pick(number)
        if number <= len(self.rows()):
            self.enter()

    def _opens(self, path: Path) -> Callable[[], None]:
        return lambda: self.deck.open_job(path)

    def _demo(self) -> None:
        try:
            path, _ = copy_demo("", self.folder, self.wall.clock)
        except (WrongUse, OSError) as wrong:
            self.deck.say(str(wrong))
            return
        self.deck.open_job(path)

    def _elsewhere(self) -> None:
        self.deck.ask(text_line("Where is it (~/jobs/house.toml):", self._typed))

    def _typed(self, text: str) -> None:
        path = self.folder / Path(text).expanduser()
        named = path if path.suffix == ".toml" else path.with_name(path.name + ".toml")
        if named.is_file():
            self.deck.open_job(named)
        else:
            self.deck.say(f"There is no job file {named}.")
