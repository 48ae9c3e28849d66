"""The program as pages see it: pages come and go, questions are asked, choices taken, helpers sent off.

No painting here (see tui.app) and no keys (see tui.keys).
"""

from collections.abc import Callable, Coroutine, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual.app import App
from textual.worker import Worker

from planning.job.choice import Choice
from planning.job.words import Instant
from planning.records.clock import Clock, SystemClock
from planning.records.not_saved import NotSaved
from planning.records.saved_plan import read_saved
from tui.acts import Acts
from tui.bells import Bells
from tui.screens.book import Book
from tui.screens.guard import AFTER_LATE_S, DripGuard
from tui.screens.number_line import NumberLine
from tui.screens.page import Page
from tui.screens.ways_own import known_ways, noted_ways
from tui.wall import Wall

if TYPE_CHECKING:
    from tui.replan import Client, Replan

REMEMBERED_PAGES = 20
MIXED = ("pour", "float")
"""Kinds of steps whose inner clocks ring on every page."""
COME_UP_BY_THEMSELVES = ("late", "stuck", "start", "new", "add", "help", "away", "time")


def _helper(job_path: Path) -> "Client":
    """The warm helper process of a job. It starts with the first question."""
    from tui.plan_client import PlanClient

    return PlanClient(job_path)


class DeckApp(App[int]):
    """Pages, questions, choices and the helper of one job. Fulfills tui.screens.page.Deck."""

    def __init__(self, job_path: Path | None, clock: Clock | None, client: "Client | None") -> None:
        super().__init__()
        self.wall = Wall(job_path, clock or SystemClock())
        self.guard = DripGuard(self.wall.clock)
        self.acts = Acts(self, self.guard, self.noted)
        self.bells = Bells()
        self.question: NumberLine | None = None
        self.pages = Book(self)
        self.page = "morning" if job_path is not None else "start"
        self._before: list[str] = []
        self.wall.ways = known_ways(None)
        self._client: Callable[[], Client] | None = None
        self._replan: Replan | None = None
        self._new: tuple[Path, Client] | None = None
        if job_path is not None:
            self._take_job(job_path, client)

    def _take_job(self, job_path: Path, client: "Client | None") -> str:
        """Set the job, show its saved plan if there is one; returns the page that was left last time, or ""."""
        self.wall.job_path = job_path
        self._client, self._replan = (lambda: client or _helper(job_path)), None
        saved = read_saved(job_path)
        if saved is None:
            return ""
        self.wall.first, self.wall.kept = saved.plan, dict(saved.extra)
        self.wall.ways = known_ways(saved.extra.get("ways"))
        return str(saved.extra.get("page", ""))

    @property
    def replan(self) -> "Replan | None":
        """Whoever reads and plans: made when it is first needed, after the first picture. None without a job."""
        if self._replan is None and self._client is not None:
            from tui.replan import Replan

            self._replan = Replan(
                self.wall, self._client(), changed=self.repaint, say=self.say, offered=self.offered, stuck=self.stuck
            )
        return self._replan

    def begin_job(self, path: Path, tables: dict[str, Any]) -> None:
        """A job that is not on disk yet: its helper starts, its file is written with its first room."""
        self.wall.new_job = tables
        client = _helper(path)
        self._new = (path, client)
        self._client, self._replan = (lambda: client), None

    def open_new(self) -> None:
        """The first room of a new job is written: open it."""
        if self._new is not None:
            path, client = self._new
            self._new, self.wall.new_job = None, None
            self.open_job(path, client)

    def open_job(self, path: Path, client: "Client | None" = None) -> None:
        """Open a job file in place of the page without one."""
        self._take_job(path, client)
        self.page = "morning"
        self._before.clear()
        self._live_by_ways()
        self._shown()
        self.read_again()

    def ways_changed(self) -> None:
        """Live by `wall.ways`, and keep them: in the record, and for the first picture beside the plan."""
        session = self.wall.session
        if session is not None and session.job is not None:
            self.acts.report("ways", {"value": dict(self.wall.ways)}, self.wall.said)
        self._live_by_ways()

    def _live_by_ways(self) -> None:
        """Guard, bells and what the first picture next time should know."""
        self.guard.quiet_s = float(self.wall.ways["quiet"])
        self.bells.wanted = str(self.wall.ways["bell"])
        self.bells.again_min = int(self.wall.ways["again"])
        if self.wall.session is not None:
            self.wall.session.keep_extra("ways", dict(self.wall.ways))
        self.repaint()

    def repaint(self) -> None:
        """Everything on the screen anew."""
        raise NotImplementedError

    # Pages

    def say(self, text: str) -> None:
        """One line above the bottom lines."""
        self.wall.said = text
        self.repaint()

    def go(self, page: str) -> None:
        """Show another page."""
        if page != self.page:
            self._before.append(self.page)
            del self._before[:-REMEMBERED_PAGES]
            self.page = page
            if self.wall.session is not None:
                self.wall.session.keep_extra("page", page)
        self._shown()

    def page_of(self, name: str) -> Page:
        """Another page, to be set before it is shown or to look at its mark."""
        return self.pages[name]

    def back(self) -> None:
        """Show the page from before; from the first one, Morning."""
        self.page = self._before.pop() if self._before else ("morning" if self.wall.job_path else "start")
        self._shown()

    def _shown(self) -> None:
        self.repaint()
        # A picture has its size only once it is laid out.
        self.call_after_refresh(self._opened, self.page)
        self.fill_pages()

    def _opened(self, page: str) -> None:
        if page == self.page:
            self.pages[page].opened()
            self.repaint()

    def ask(self, question: NumberLine) -> None:
        """Open the line for an answer."""
        self.question = question
        self.repaint()

    def report(self, kind: str, body: dict[str, object], said: str) -> bool:
        """Note something."""
        return self.acts.report(kind, body, said)

    def report_at(self, kind: str, body: dict[str, object], at: Instant, said: str) -> bool:
        """Note something of another time."""
        return self.acts.report(kind, body, said, at)

    # Helpers

    def in_background(self, work: Callable[[], Coroutine[None, None, None]], group: str) -> None:
        """Run beside the keys; an older one of the same group is given up."""
        _: Worker[None] = self.run_worker(work, group=group, exclusive=True, exit_on_error=True)

    def read_again(self) -> None:
        """Read the job file and the record, and plan if they ask for it."""
        if self.replan is not None:
            self.in_background(self._read_and_plan, "plan")

    async def _read_and_plan(self) -> None:
        assert self.replan is not None
        if not await self.replan.read():
            return
        session = self.wall.session
        assert session is not None
        self.bells.read(session.events)
        noted = noted_ways(session.events)
        if noted is not None and known_ways(noted) != self.wall.ways:
            self.wall.ways = known_ways(noted)
            self._live_by_ways()
        self.fill_pages()
        if session.needs_plan() or self.wall.old_guess():
            await self._plan_and_fill()

    def plan_again(self) -> None:
        """Have a new plan made; an older wish for one is given up."""
        if self.replan is not None:
            self.in_background(self._plan_and_fill, "plan")

    async def _plan_and_fill(self) -> None:
        assert self.replan is not None
        await self.replan.plan()
        self.fill_pages()

    def fill_pages(self) -> None:
        """Have the helper fill in what the page shown asks for."""
        plan = self.wall.plan
        mixed = plan is not None and any(step.state == "hands" and step.kind in MIXED for step in plan.steps)
        wanted = self.pages[self.page].fills
        for name in (*wanted, *(("clocks",) if mixed and "clocks" not in wanted else ())):
            self.fill(name)

    def fill(self, name: str) -> None:
        """Have the helper fill in `wall.pages[name]`."""
        if self.replan is not None:
            self.in_background(partial(self._fill, self.replan, name), f"fill-{name}")

    async def _fill(self, replan: "Replan", name: str) -> None:
        await replan.fill(name)
        self.pages[self.page].filled(name)

    def menu(self) -> None:
        """Have the helper fill in the methods to choose from, in `wall.pages["menu"]`."""
        if self.replan is not None:
            self.in_background(self._menu, "menu")

    async def _menu(self) -> None:
        assert self.replan is not None
        await self.replan.menu()
        self.pages[self.page].filled("menu")

    def change(
        self, edits: Sequence[Mapping[str, Any]], about: str, then: Callable[[dict[str, Any]], None] | None
    ) -> None:
        """Have the helper try (with `then`: write) a change of the job file."""
        if self.replan is not None:
            self.in_background(partial(self.replan.change, edits, about, then), "write" if then else "try")

    def noted(self, taken_back: bool = False) -> None:
        """Something was noted: plan again if plans depend on it. After an undo no choice comes up by itself."""
        self.wall.old_kept, self.wall.choice_seen = (), taken_back
        if self.page == "late" and self.wall.session is not None and self.wall.session.offered is None:
            self.back()
        if self.wall.session is not None and self.wall.session.needs_plan():
            self.plan_again()
        self.fill_pages()

    # Choices

    def offered(self, offers: list[Choice]) -> None:
        """The setter must choose: Late comes up."""
        from tui.reports import last_together
        from tui.screens.late import Late

        page = self.pages["late"]
        assert isinstance(page, Late)
        session = self.wall.session
        told = [] if session is None else last_together(session.events)
        page.offer(offers, "" if session is None or not told else f"{session.words(told[-1])}.")
        if self.page != "late" and not self.wall.choice_seen:
            self.wall.choice_seen = True
            self.guard.hold("enter", AFTER_LATE_S)
            self.question = None
            self.go("late")

    def away(self, since: Instant) -> None:
        """Nobody looked since then (the lid was shut): what came due meanwhile comes up in one list."""
        from tui.screens.away import Away

        page, plan = self.pages["away"], self.wall.plan
        assert isinstance(page, Away)
        if plan is not None and page.look(plan, since, self.wall.now()):
            self.question = None
            self.go("away")

    def clock_set(self) -> None:
        """The computer's clock was set: which time is right is asked, once for each time, and kept as asked."""
        if self.wall.session is not None:
            self.wall.session.ask_clock()
        if self.wall.doubt and self.wall.plan is not None:
            self.question = None
            self.pages["time"].at = 0
            self.go("time")

    def stuck(self, reasons: Sequence[str], offers: Sequence[Choice] = ()) -> None:
        """No plan fits: Stuck comes up with the facts that clash, and the ways out as they are found."""
        from tui.screens.stuck import Stuck

        page = self.pages["stuck"]
        assert isinstance(page, Stuck)
        # Whoever went on to another page is not called back when more is found, or when the search ends with nothing.
        again = page.reasons == tuple(reasons) and (bool(offers) or not self.wall.still_looking)
        page.show(reasons, offers)
        if self.page not in ("stuck", "help") and self.question is None and not again:
            self.guard.hold("enter", AFTER_LATE_S)
            self.go("stuck")
        self.repaint()

    def take_choice(self, number: int) -> None:
        """Take a choice that waits, and go back."""
        session = self.wall.session
        if session is None or number > len(session.offers):
            self.say("No choice waits any more. ESC goes back.")
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
        said = ""
        if session is not None and session.offered is not None and self.replan is not None:
            session.keep_old()
            self.in_background(self.replan.judge_old, "plan")
            said = "The old plan is kept."
        self.back()
        self.say(said)
