"""The full-screen program: the first picture from the saved plan, then keys to reports and reports to new plans."""

import gc
import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events
from textual.app import ComposeResult, SystemCommand
from textual.screen import Screen

from planning.job.hours import local
from planning.job.plan import Plan
from planning.quantities.show import show_minutes
from planning.records.clock import Clock
from tui import commands
from tui.deck import COME_UP_BY_THEMSELVES, DeckApp
from tui.keys import Keyboard
from tui.screens import head
from tui.themes import THEMES, theme_of_terminal
from tui.widgets.lines import Line, Lines, both_ends, line, width_of
from tui.widgets.timeline import Timeline
from tui.words import zone_of

if TYPE_CHECKING:
    from tui.replan import Client

TICK_S = 1.0
MORNING_TILL = 10
"""Before this hour, with nothing begun, the program opens on Morning."""
LEFT_ALONE = frozenset(("ctrl+c", "ctrl+q", "ctrl+p"))
LEAST_PICTURE_ROWS = 17
AWAY_MIN = 5
"""After so many minutes in which nobody could look, what came due is listed."""


class MuddayApp(DeckApp):
    """One job on the screen. Every time comes from `clock`; every plan from `client`."""

    CSS_PATH = "look.tcss"
    TITLE = "mudday"
    AUTO_FOCUS: ClassVar[str | None] = ""

    def __init__(self, job_path: Path | None, clock: Clock | None = None, client: "Client | None" = None) -> None:
        super().__init__(job_path, clock, client)
        for theme in THEMES:
            self.register_theme(theme)
        self.keyboard = Keyboard(self)
        self.first_shown: Callable[[], None] = lambda: None
        """Called once the first picture stands."""
        self.went_wrong: Exception | None = None
        self._minute = -1
        self._paint_due = False
        self.watch_clock = self.wall.clock
        self._seen = self.wall.now()
        if self.wall.first is not None:
            self.page = self._opening_page(self.wall.first, str(self.wall.kept.get("page", "")))
        self._live_by_ways()

    def _opening_page(self, plan: Plan, last: str) -> str:
        """Morning before ten with nothing begun; else the page that was left."""
        untouched = all(step.state in ("wait", "ready", "hold", "missed") for step in plan.steps)
        early = local(zone_of(plan), self.wall.now()).hour < MORNING_TILL
        if (early and untouched) or last not in self.pages or last in COME_UP_BY_THEMSELVES:
            return "morning"
        return last

    # Painting

    def compose(self) -> ComposeResult:
        """Three lines, the page, the line that is said, two lines."""
        yield Lines(lambda width, height: head.top(self.wall, width), id="top")
        yield Timeline(id="picture")
        yield Lines(lambda width, height: self.pages[self.page].lines(width, height), id="body")
        yield Lines(self._said_line, id="said")
        yield Lines(self._foot, id="foot")

    def _said_line(self, width: int, height: int) -> list[Line]:
        if self.question is not None:
            keys = line(("ENTER", "key"), " take   ", ("ESC", "key"), " leave")
            # Whatever is asked, what is typed stays in view.
            asked = line((self.question.text()[-width:], "entry"))
            return [both_ends(asked, keys, width) if width_of(asked) + width_of(keys) < width else asked]
        said = self.wall.said
        if not said and self.wall.planning and self.wall.plan is not None:
            said = "A new plan is being made; this one stays till then."
        return [line((said, "bold"))]

    def _foot(self, width: int, height: int) -> list[Line]:
        return head.foot(self.wall, self.page, width, self.pages[self.page].space_words())

    def repaint(self) -> None:
        """Everything on the screen anew, once for all that is wished for before the next turn."""
        if self.is_running and not self._paint_due:
            self._paint_due = True
            self.call_later(self._paint)

    def _paint(self) -> None:
        self._paint_due = False
        if not self.is_running or not self.screen.is_mounted or not self.query(Timeline):
            return
        self._lay_picture()
        for each in self.query(Lines):
            each.repaint()

    def _lay_picture(self) -> None:
        picture, body = self.query_one(Timeline), self.query_one("#body", Lines)
        (width, height), plan = self.size, self.wall.plan
        shown = self.page == "rooms" and width >= head.SMALL and height >= LEAST_PICTURE_ROWS and plan is not None
        picture.display = shown
        if not shown or plan is None:
            body.styles.height = "1fr"
            return
        from tui.screens.rooms import Rooms

        rooms = self.pages["rooms"]
        assert isinstance(rooms, Rooms)
        rooms.picture = picture
        body.styles.height = rooms.below(width)
        target = self.wall.target()
        marked = None if target is None else target.id
        picture.show_plan(plan, self.wall.now(), marked, rooms.cells_per_hour(width), rooms.names_width(width))

    def on_resize(self) -> None:
        """Another size may give or take the picture."""
        self._paint()

    # Life

    def on_mount(self) -> None:
        """Paint what is known; read and plan only after that picture stands."""
        self.set_interval(TICK_S, self.tick)
        self._paint()
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self.first_shown()
        self.pages[self.page].opened()
        self.repaint()
        self.read_again()

    def tick(self) -> None:
        """Once a second: another window's reports; and with each new minute the bells, the states, a stale plan."""
        now, session = self.wall.now(), self.wall.session
        self._look_at_clock(now)
        if session is not None and session.changed_elsewhere():
            self.read_again()
        if now == self._minute:
            self._each_second()
            return
        self._minute = now
        if session is not None:
            session.stand_at(now)
            if session.needs_plan(now) and session.offered is None and not self.wall.planning:
                self.plan_again()
            for _ in range(self.bells.due(self.wall.running(), self.wall.earliest())):
                self.bell()
        self.repaint()

    def _each_second(self) -> None:
        """Clocks that count seconds, and the far view of Clocks when nobody pressed a key for a while."""
        if self.page != "clocks":
            return
        from tui.screens.clock_rows import SECONDS_BELOW, due_at
        from tui.screens.clocks import Clocks

        page = self.pages["clocks"]
        assert isinstance(page, Clocks)
        was, second = page.far, self.wall.second().timestamp()
        page.idle(self.wall.clock.boot() - self.keyboard.last_at)
        if was != page.far or any(0 <= due_at(each) * 60 - second < SECONDS_BELOW for each in self.wall.running()):
            self.repaint()

    def _look_at_clock(self, now: int) -> None:
        """After a gap (the lid was shut) or a jump of the clock: one bell, one list, nothing marked by itself."""
        news, since, self._seen = self.watch_clock.look(), self._seen, now
        if news is None:
            return
        if news.jump_s:
            way = "ahead" if news.jump_s > 0 else "back"
            far = show_minutes(max(1, round(abs(news.jump_s) / 60)))
            self.say(f"Clock moved {far} {way}. Waits are counted from the true start.")
            self.clock_set()
        if now - since >= AWAY_MIN:
            self.bell()
            self.away(since)

    def _live_by_ways(self) -> None:
        wanted = str(self.wall.ways["theme"])
        self.theme = theme_of_terminal(os.environ) if wanted == "auto" else wanted
        super()._live_by_ways()

    def on_key(self, event: events.Key) -> None:
        """Every key comes here."""
        if event.key not in LEFT_ALONE:
            event.prevent_default()
            event.stop()
            self.keyboard.take(event.key, event.character)

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The palette: every command that works here, from the one table."""
        for each in commands.COMMANDS:
            if each.page in (commands.GO, commands.EVERYWHERE, self.page):
                yield SystemCommand(f"{each.cap}  {each.help}", commands.where(each), lambda c=each: self._chosen(c))

    def _chosen(self, command: commands.Command) -> None:
        self.keyboard.run(command)
        self.repaint()

    def _fatal_error(self) -> None:
        """Whatever went wrong: leave; `run` says it in one line. Nothing noted is lost, it is on disk."""
        self.went_wrong = self._exception
        self._close_messages_no_wait()

    async def on_unmount(self) -> None:
        """End the helper and let go of the record."""
        if self._replan is not None:
            await self._replan.client.close()
        if self.wall.session is not None:
            self.wall.session.close()


def run_new(job_path: Path) -> int:
    """Show the screen with the six questions of a job whose file is not there yet; returns the exit code."""
    from tui.screens.new_job import NewJob

    app = MuddayApp(None)
    page = app.pages["new"]
    assert isinstance(page, NewJob)
    page.path, page.called = job_path, job_path.stem.replace("-", " ")
    app.page = "new"
    return _run(app)


def _collect_again() -> None:
    """What stood at the first picture stays for good; from here on garbage is looked for among the rest only."""
    gc.freeze()
    gc.enable()


def run(job_path: Path | None, demo: bool = False) -> int:
    """Show the screen; returns the exit code: 0, or 1 with one line on stderr when the program went wrong inside.

    `demo`: the job is the user's own copy of a made-up one; it is used like any other.
    """
    return _run(MuddayApp(job_path))


def _run(app: MuddayApp) -> int:
    app.first_shown = _collect_again
    code = app.run()
    if app.went_wrong is not None:
        wrong = app.went_wrong
        if sys.flags.dev_mode:
            raise wrong
        said = " ".join(f"{type(wrong).__name__}: {wrong}".split())
        print(f"mudday: this went wrong inside: {said}. All you noted is kept.", file=sys.stderr)
        return 1
    return code or app.return_code or 0
