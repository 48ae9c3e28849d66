"""The full-screen program: the first picture from the saved plan, then keys to reports and reports to new plans."""

import sys
from collections.abc import Callable, Coroutine, Iterable, Sequence
from pathlib import Path
from typing import Any, ClassVar

from textual import events
from textual.app import App, ComposeResult, SystemCommand
from textual.screen import Screen

from planning.job.plan import Plan
from planning.records.clock import Clock, SystemClock
from planning.records.not_saved import NotSaved
from tui import commands
from tui.acts import Acts
from tui.bells import Bells
from tui.plan_client import Offer, PlanClient
from tui.replan import Client, Replan
from tui.screens import head
from tui.screens.book import make_pages
from tui.screens.guard import AFTER_LATE_S, DripGuard
from tui.screens.help import Help
from tui.screens.late import Late
from tui.screens.number_line import NumberLine
from tui.screens.page import Page
from tui.screens.rooms import Rooms
from tui.screens.stuck import Stuck
from tui.session import Session
from tui.themes import THEMES
from tui.wall import Wall
from tui.widgets.lines import Line, Lines, line
from tui.widgets.timeline import Timeline

TICK_S = 1.0
MORNING_HOUR_MIN = 10 * 60
SILENT_KEYS = frozenset(("ctrl+c", "ctrl+q", "ctrl+p"))


class MuddayApp(App[int]):
    """One job on the screen. Every time comes from `clock`; every plan from `client`."""

    CSS_PATH = "look.tcss"
    TITLE = "mudday"
    ENABLE_COMMAND_PALETTE = True
    AUTO_FOCUS: ClassVar[str | None] = ""

    def __init__(self, job_path: Path | None, clock: Clock | None = None, client: Client | None = None) -> None:
        super().__init__()
        self.wall = Wall(job_path, clock or SystemClock())
        self.guard = DripGuard(self.wall.clock)
        self.acts = Acts(self, self.guard, self._noted)
        self.bells = Bells()
        self.question: NumberLine | None = None
        self.pages: dict[str, Page] = make_pages(self)
        self.page = "morning"
        self._before: list[str] = []
        self._minute = -1
        self._leaving = False
        self.went_wrong: Exception | None = None
        self.replan: Replan | None = None
        if job_path is not None:
            self.replan = Replan(
                self.wall, client or PlanClient(job_path), changed=self.repaint, say=self.say,
                offered=self._offered, stuck=self._stuck,
            )  # fmt: skip
            saved = Session.first_frame(job_path)
            if saved is not None:
                self.wall.first = saved.plan
                self.page = self._opening_page(saved.plan, str(saved.extra.get("page", "")))
        else:
            self.page = "start"

    def _opening_page(self, plan: Plan, last: str) -> str:
        """Morning before ten with nothing begun; else the page that was left."""
        minute = self.wall.now() - commands_day(plan, self.wall.now())
        untouched = all(step.state in ("wait", "ready", "hold", "missed") for step in plan.steps)
        if (minute < MORNING_HOUR_MIN and untouched) or last not in self.pages or last in ("late", "stuck", "start"):
            return "morning"
        return last

    # Painting

    def compose(self) -> ComposeResult:
        """Three lines, the page, the line that is said, two lines."""
        yield Lines(lambda w, h: head.top(self.wall, w), id="top")
        yield Timeline(id="picture")
        yield Lines(lambda w, h: self.pages[self.page].lines(w, h), id="body")
        yield Lines(self._said_line, id="said")
        yield Lines(self._foot, id="foot")

    def _said_line(self, width: int, height: int) -> list[Line]:
        if self.question is not None:
            tail = "ENTER take   ESC leave"
            text = self.question.text()
            return [head.both_ends(line((text, "entry")), line((tail, "key")), width)]
        said = self.wall.said
        if not said and self.wall.planning:
            said = (
                "A new plan is being made; this one stays till then." if self.wall.plan is not None else "planning..."
            )
        return [line((said, "bold"))]

    def _foot(self, width: int, height: int) -> list[Line]:
        return head.foot(self.wall, self.page, width, self.pages[self.page].space_words())

    def repaint(self) -> None:
        """Everything on the screen anew."""
        if not self.is_mounted or not self.screen.is_mounted:
            return
        self._lay_picture()
        for each in self.query(Lines):
            each.repaint()

    def _lay_picture(self) -> None:
        rooms = self.pages["rooms"]
        assert isinstance(rooms, Rooms)
        picture, body = self.query_one(Timeline), self.query_one("#body", Lines)
        width, plan = self.size.width, self.wall.plan
        shown = self.page == "rooms" and width >= head.SMALL and plan is not None and self.size.height > 16
        picture.display = shown
        body.styles.height = rooms.below(width) if shown else "1fr"
        if shown and plan is not None:
            target = self.wall.target()
            marked = None if target is None else target.id
            picture.show_plan(plan, self.wall.now(), marked, rooms.cells_per_hour(width), rooms.gutter(width))

    # Life

    def on_mount(self) -> None:
        """Paint what is known; read and plan only after that picture stands."""
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = THEMES[0].name
        rooms = self.pages["rooms"]
        assert isinstance(rooms, Rooms)
        rooms.picture = self.query_one(Timeline)
        self.set_interval(TICK_S, self.tick)
        self.repaint()
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        if self.replan is not None:
            self._in_background(self._read_and_plan, "plan")

    async def _read_and_plan(self) -> None:
        assert self.replan is not None
        if not await self.replan.read():
            return
        session = self.wall.session
        assert session is not None
        self.bells.read(session.events)
        self._fill_pages()
        if session.needs_plan() or self._old_guess(session):
            await self.replan.plan()
            self._fill_pages()

    def _old_guess(self, session: Session) -> bool:
        """Nobody works to this plan yet and its first hours have passed."""
        if session.plan is None or session.accepted is not None:
            return False
        return any(s.start < session.now() and s.state in ("wait", "ready") for s in session.plan.steps)

    def _in_background(self, work: Callable[[], Coroutine[Any, Any, None]], group: str) -> None:
        self.run_worker(work(), group=group, exclusive=True, exit_on_error=True)

    def plan_again(self) -> None:
        """Have a new plan made; an older wish for one is given up."""
        if self.replan is not None:
            self._in_background(self._plan_and_fill, "plan")

    async def _plan_and_fill(self) -> None:
        assert self.replan is not None
        await self.replan.plan()
        self._fill_pages()

    def _fill_pages(self) -> None:
        for name in self.pages[self.page].fills:
            self.fill(name)

    def fill(self, name: str) -> None:
        """Have the helper fill in what a page shows."""
        if self.replan is not None:
            replan = self.replan
            self._in_background(lambda: replan.fill(name), f"fill-{name}")

    def tick(self) -> None:
        """Once a second: bells, another window's reports, and with each new minute the states."""
        now, plan, session = self.wall.now(), self.wall.plan, self.wall.session
        if session is not None and session.changed_elsewhere():
            self._begin()
        if now == self._minute:
            return
        self._minute = now
        if session is not None:
            session.stand_at(now)
            if session.needs_plan(now) and session.offered is None and not self.wall.planning:
                self.plan_again()
        if plan is not None and self.wall.session is not None:
            for _ in range(self.bells.due(plan, now)):
                self.bell()
        self.repaint()

    # Keys

    async def on_key(self, event: events.Key) -> None:
        """Every key comes here: big and small letters are the same."""
        if event.key in SILENT_KEYS:
            return
        event.prevent_default()
        event.stop()
        key = event.key.lower()
        key = key.removeprefix("upper_")
        if self.question is not None:
            self._question_key(key, event.character)
        else:
            self.press(key)
        self.repaint()

    def _question_key(self, key: str, character: str | None) -> None:
        question = self.question
        assert question is not None
        if key == "escape":
            self.question = None
        elif key != "enter":
            question.key(key, character)
        elif self.guard.lets("enter"):
            # The answer is taken first: a question may ask the next one.
            self.question = None
            if not question.enter() and self.question is None:
                self.question = question

    def press(self, key: str) -> None:
        """One key that is not typed into a question."""
        command = commands.find(key, self.page)
        if not command:
            self.say(f"{key.upper()} does nothing here. F1 shows the keys." if len(key) < 10 else "")
            return
        if not command.twice and not self.guard.lets(key):
            return
        if command.id != "quit":
            self._leaving = False
        if command.id != "space":
            self.acts.forget_question()
        self.wall.said = ""
        self.run_command(command)

    def run_command(self, command: commands.Command) -> None:
        """Do what a command says."""
        page = self.pages[self.page]
        if command.page == commands.GO:
            self.go(command.id.removeprefix("go-"))
        elif command.page != commands.EVERYWHERE:
            page.do(command.id)
        elif command.id.startswith("pick-"):
            page.pick(int(command.key))
        else:
            getattr(self, f"_on_{command.id}")(page)

    def _on_space(self, page: Page) -> None:
        if not page.space():
            self.acts.space()

    def _on_enter(self, page: Page) -> None:
        page.enter()

    def _on_escape(self, page: Page) -> None:
        plan = self.wall.plan
        if plan is not None and self.bells.unheard(plan, self.wall.now()) and self.page not in ("late", "stuck"):
            for step, key in self.bells.hear(plan, self.wall.now()):
                self.acts.report("heard", {"step": step, "value": key}, "Heard. The line stays until it is over.")
            return
        page.escape()

    def _on_late(self, page: Page) -> None:
        if self.wall.session is not None and self.wall.session.offered is not None:
            self.go("late")
        else:
            self.acts.late()

    def _on_tacky(self, page: Page) -> None:
        self.acts.tacky()

    def _on_really(self, page: Page) -> None:
        self.acts.really()

    def _on_undo(self, page: Page) -> None:
        self.acts.undo()

    def _on_redo(self, page: Page) -> None:
        self.acts.redo()

    def _on_note(self, page: Page) -> None:
        self.acts.note()

    def _on_help(self, page: Page) -> None:
        helping = self.pages["help"]
        assert isinstance(helping, Help)
        if self.page == "help":
            helping.again()
        else:
            helping.of = self.page
            helping.words = False
            self.go("help")

    def _on_quit(self, page: Page) -> None:
        session = self.wall.session
        if session is not None and session.not_saved is not None and not self._leaving:
            self._leaving = True
            self.say("The last thing is NOT SAVED. Q again leaves anyway.")
            return
        self.exit(0)

    def _on_up(self, page: Page) -> None:
        page.move(-1)

    def _on_down(self, page: Page) -> None:
        page.move(1)

    def _on_left(self, page: Page) -> None:
        page.turn(-1)

    def _on_right(self, page: Page) -> None:
        page.turn(1)

    # What pages may ask (see tui.screens.page.Deck)

    def say(self, text: str) -> None:
        """One line above the bottom lines."""
        self.wall.said = text
        self.repaint()

    def go(self, page: str) -> None:
        """Show another page."""
        if page != self.page:
            self._before.append(self.page)
            del self._before[:-20]
            self.page = page
            if self.wall.session is not None:
                self.wall.session.extra["page"] = page
        self._lay_picture()
        self.pages[page].opened()
        self._fill_pages()
        self.repaint()

    def back(self) -> None:
        """Show the page from before; from the first one, Morning."""
        self.page = self._before.pop() if self._before else ("morning" if self.wall.job_path else "start")
        self.repaint()

    def ask(self, question: NumberLine) -> None:
        """Open the line for an answer."""
        self.question = question
        self.repaint()

    def report(self, kind: str, body: dict[str, object], said: str) -> bool:
        """Note something."""
        return self.acts.report(kind, body, said)

    def _noted(self) -> None:
        self.wall.old_kept = ()
        if self.wall.session is not None and self.wall.session.needs_plan():
            self.plan_again()
        self._fill_pages()

    def _offered(self, offers: list[Offer]) -> None:
        page = self.pages["late"]
        assert isinstance(page, Late)
        session = self.wall.session
        last = session.events[-1] if session is not None and session.events else None
        said = "" if session is None or last is None else f"{session.words(last)}."
        page.offer(offers, said)
        if self.page != "late":
            self.guard.hold("enter", AFTER_LATE_S)
            self.question = None
            self.go("late")

    def _stuck(self, reasons: Sequence[str]) -> None:
        page = self.pages["stuck"]
        assert isinstance(page, Stuck)
        page.reasons = tuple(reasons)
        if self.page not in ("stuck", "help") and self.question is None:
            self.go("stuck")

    def take_choice(self, number: int) -> None:
        """Take a choice that waits, and go back."""
        session = self.wall.session
        if session is None:
            return
        try:
            session.take(number)
        except NotSaved as wrong:
            self.say(f"NOT SAVED, nothing was taken. {wrong.reason}")
            return
        self.wall.marked = None
        self.back()
        self.say("Taken. U brings the old plan back whole.")
        if session.needs_plan():
            self.plan_again()

    def keep_old(self) -> None:
        """Keep the old plan, and go back."""
        session = self.wall.session
        if session is not None and session.offered is not None and self.replan is not None:
            session.keep_old()
            self._in_background(self.replan.judge_old, "plan")
            self.say("The old plan is kept.")
        self.back()

    # Around

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        """The palette: every command that has no place of its own on the keyboard only."""
        for each in commands.COMMANDS:
            if each.page in (commands.GO, commands.EVERYWHERE, self.page):
                yield SystemCommand(f"{each.cap}  {each.label or each.help}", each.help, lambda c=each: self._chosen(c))

    def _chosen(self, command: commands.Command) -> None:
        self.run_command(command)
        self.repaint()

    def _fatal_error(self) -> None:
        """Whatever went wrong: leave; `run` says it in one line. Nothing noted is lost, it is on disk."""
        self.went_wrong = self._exception
        self._close_messages_no_wait()

    async def on_unmount(self) -> None:
        """End the helper and let go of the record."""
        if self.replan is not None:
            await self.replan.client.close()
        if self.wall.session is not None:
            self.wall.session.close()


def commands_day(plan: Plan, now: int) -> int:
    """The instant of the midnight before."""
    from planning.job.hours import local
    from tui.words import zone_of

    return int(local(zone_of(plan), now).replace(hour=0, minute=0, second=0, microsecond=0).timestamp() // 60)


def run(job_path: Path | None, demo: bool = False) -> int:
    """Show the screen; returns the exit code: 0, or 1 with one line on stderr when the program went wrong inside.

    `demo`: the job is a made-up one of the user's own copy; it is used like any other.
    """
    app = MuddayApp(job_path)
    code = app.run()
    if app.went_wrong is not None:
        wrong = app.went_wrong
        if sys.flags.dev_mode:
            raise wrong
        line_of = " ".join(str(wrong).split())
        print(
            f"mudday: this went wrong inside: {type(wrong).__name__}: {line_of}. All you noted is kept.",
            file=sys.stderr,
        )
        return 1
    return code or app.return_code or 0
