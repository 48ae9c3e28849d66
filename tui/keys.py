"""From a key to what it does: big and small letters are the same, a drip does one thing, a wrong key says so."""

from tui import commands
from tui.deck import DeckApp
from tui.pour_clock import pouring
from tui.screens.page import Page

LONG_NAME = 10
"""Keys with longer names (function keys of odd keyboards, pasted signs) are passed over in silence."""


class Keyboard:
    """Takes every key of the program."""

    def __init__(self, app: DeckApp) -> None:
        self.app = app
        self._leaving = False
        self._wet = ("", 0.0)
        self.last_at = app.wall.clock.boot()
        """When a key last came, on the clock that runs through sleep."""

    def take(self, key: str, character: str | None) -> None:
        """One key, as the terminal named it."""
        small = key.lower().removeprefix("upper_")
        self.last_at = self.app.wall.clock.boot()
        if self.app.question is not None:
            self._answer(small, character)
        else:
            self.press(small)
        self.app.repaint()

    def _answer(self, key: str, character: str | None) -> None:
        question = self.app.question
        assert question is not None
        page = self.app.pages[self.app.page]
        if key == "escape":
            self.app.question = None
        elif key in ("up", "down") and question.counts == "text":
            # Up and down leave a field that takes writing for the line above or below.
            self.app.question = None
            page.move(-1 if key == "up" else 1)
        elif key != "enter":
            question.key(key, character)
        elif page.dry or self.app.guard.lets("enter"):
            # Closed first, since the answer may ask the next question.
            self.app.question = None
            if not question.enter() and self.app.question is None:
                self.app.question = question

    def press(self, key: str) -> None:
        """One key that is not typed into a question."""
        command = commands.find(key, self.app.page)
        if command is None:
            if len(key) < LONG_NAME:
                self.app.say(f"{key.upper()} does nothing here. F1 shows the keys.")
            return
        if self.app.wall.job_path is None and not _without_job(command):
            self.app.say("No job is open yet.")
            return
        dry = command.twice or self.app.pages[self.app.page].dry
        if not dry and not self.app.guard.lets(key):
            return
        if self._wet_once(command):
            return
        if command.id != "quit":
            self._leaving = False
        if command.id != "space":
            self.app.acts.forget_question()
        self.app.wall.said = ""
        self.run(command)

    def _wet_once(self, command: commands.Command) -> bool:
        """While a pour runs: is this the first press of a key that has to be pressed twice?"""
        plan = self.app.wall.plan
        if plan is None or command.id in WET_KEYS or command.id.startswith("pick-"):
            return False
        if not self.app.wall.memo("pouring", lambda: pouring(plan)):
            return False
        before, at = self._wet
        again = before == command.id and self.last_at - at <= WET_AGAIN_S
        self._wet = ("", 0.0) if again else (command.id, self.last_at)
        if not again:
            self.app.say(f"Wet hands: {command.cap} once more does it.")
        return not again

    def run(self, command: commands.Command) -> None:
        """Do what a command says."""
        page = self.app.pages[self.app.page]
        if command.page == commands.GO:
            self.app.go(command.id.removeprefix("go-"))
        elif command.page != commands.EVERYWHERE:
            page.do(command.id)
        elif command.id.startswith("pick-"):
            page.pick(int(command.key))
        else:
            getattr(self, f"on_{command.id}")(page)

    # One method for each command of every page

    def on_space(self, page: Page) -> None:
        """SPACE: the page's own, else start or finish."""
        if not page.space():
            self.app.acts.space()

    def on_enter(self, page: Page) -> None:
        """ENTER: closer, or take it."""
        page.enter()

    def on_escape(self, page: Page) -> None:
        """ESC: heard, else back."""
        wall = self.app.wall
        if wall.plan is not None and self.app.page not in ("late", "stuck"):
            heard = self.app.bells.hear(wall.running(), wall.earliest())
            for step, key in heard:
                self.app.report("heard", {"step": step, "value": key}, "Heard. The line stays till it is over.")
            if heard:
                return
        page.escape()

    def on_late(self, page: Page) -> None:
        """L: Late if a choice waits, else how late."""
        session = self.app.wall.session
        if session is not None and session.offered is not None:
            self.app.go("late")
        else:
            self.app.acts.late()

    def on_tacky(self, page: Page) -> None:
        """T: look again in 30 min."""
        self.app.acts.tacky()

    def on_really(self, page: Page) -> None:
        """B: it was at another time."""
        self.app.acts.really()

    def on_undo(self, page: Page) -> None:
        """U: take back."""
        self.app.acts.undo()

    def on_redo(self, page: Page) -> None:
        """H: have it back."""
        self.app.acts.redo()

    def on_note(self, page: Page) -> None:
        """N: a note."""
        self.app.acts.note()

    def on_help(self, page: Page) -> None:
        """F1: keys, and again words."""
        from tui.screens.help import Help

        helping = self.app.pages["help"]
        assert isinstance(helping, Help)
        if self.app.page == "help":
            helping.again()
        else:
            helping.of, helping.words, helping.at = self.app.page, False, 0
            self.app.go("help")

    def on_quit(self, page: Page) -> None:
        """Q: leave; asks when the last thing is not saved."""
        session = self.app.wall.session
        if session is not None and session.not_saved is not None and not self._leaving:
            self._leaving = True
            self.app.say("The last thing is NOT SAVED. Q again leaves anyway.")
            return
        self.app.exit(0)

    def on_up(self, page: Page) -> None:
        """The row above."""
        page.move(-1)

    def on_down(self, page: Page) -> None:
        """The row below."""
        page.move(1)

    def on_left(self, page: Page) -> None:
        """Less, before."""
        page.turn(-1)

    def on_right(self, page: Page) -> None:
        """More, after."""
        page.turn(1)


WET_KEYS = frozenset(("space", "clocks-bucket", "clocks-stop", "undo", "escape", "help"))
"""Keys that count at once though a pour runs; so do the digits."""
WET_AGAIN_S = 5.0
NEEDS_NO_JOB = frozenset(("space", "enter", "escape", "help", "quit", "up", "down", "left", "right"))


def _without_job(command: commands.Command) -> bool:
    """May it be done while no job is open: moving about, setting one up, leaving."""
    own = command.page not in (commands.EVERYWHERE, commands.GO)
    return own or command.id in NEEDS_NO_JOB or command.id.startswith("pick-")
