"""First run: no job is open. The job files of this folder, and a made-up job to look round in."""

from collections.abc import Sequence
from pathlib import Path

from tui.cli.demo import copy_demo
from tui.cli.wrong import WrongUse
from tui.screens.page import Deck, Page
from tui.widgets.lines import Line, line, texts

MARK = "[job]"
MOST = 8


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


class Start(Page):
    """The page when no job was named."""

    name = "start"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.folder = Path.cwd()
        self.files: list[Path] = []

    def opened(self) -> None:
        """Look what is in the folder."""
        self.files = job_files(self.folder)[:MOST]

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """What can be opened."""
        made: list[Line] = [(), line("No job is open.  ", (str(self.folder)[-max(10, width - 20) :], "dim")), ()]
        rows = [(f"Open {each.name}", "a job of yours in this folder") for each in self.files]
        rows.append(("Look round a made-up job", "copied into this folder; nothing of yours is touched"))
        for n, (what, about) in enumerate(rows):
            text = f"{'>' if n == self.at else ' '} {n + 1}  {what:<28}{about}"
            made.append(line((text[:width], "mark" if n == self.at else "")))
        return [
            *made, (),
            *texts(["What you will see: one line that says what to do next, when the next coat",
                    "or pour opens, and what to carry in.", "",
                    "Everything you do is saved as you do it. U takes back the last thing.",
                    "Any key you need is on the last two lines."]),
        ][:height]  # fmt: skip

    def space_words(self) -> str | None:
        """SPACE opens the marked line, as ENTER does."""
        return "open the marked line"

    def space(self) -> bool:
        """Open it."""
        self.enter()
        return True

    def enter(self) -> None:
        """Open the marked job."""
        if self.at < len(self.files):
            self.deck.open_job(self.files[self.at])
            return
        try:
            path, _ = copy_demo("", self.folder, self.wall.clock)
        except (WrongUse, OSError) as wrong:
            self.deck.say(str(wrong))
            return
        self.deck.open_job(path)

    def escape(self) -> None:
        """Nothing is behind this page."""
        self.deck.say("Q leaves.")

    def move(self, down: int) -> None:
        """Another line."""
        self.at = max(0, min(len(self.files), self.at + down))

    def pick(self, number: int) -> None:
        """Open that line."""
        if number <= len(self.files) + 1:
            self.at = number - 1
            self.enter()
        else:
            self.deck.say(f"There is no line {number}.")
