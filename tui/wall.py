"""What the screen shows and knows: the session, the plan of the first frame, the mark, and what helpers filled in."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from planning.job.plan import Plan, PlannedStep
from planning.job.words import Instant, Minutes
from planning.records.clock import Clock
from planning.records.clock_watch import watched
from tui.pour_clock import Mix, all_running, mixes_of
from tui.running import Running
from tui.standing import due_step
from tui.words import wall as wall_clock

if TYPE_CHECKING:
    from tui.wall_session import WallSession

Made = TypeVar("Made")


class Wall:
    """Everything a page may show. Changed by the program only, never by a page.

    `marked`: the step that SPACE acts on, None for what is due next. `pages`: page name -> what the helper filled in.
    `said`: the last thing the program said, in one line. `planning`: is a plan being made?
    """

    def __init__(self, job_path: Path | None, clock: Clock) -> None:
        self.job_path = job_path
        self.clock = watched(clock)
        self.session: WallSession | None = None
        self.first: Plan | None = None
        self.marked: str | None = None
        self.pages: dict[str, Any] = {}
        self.said = ""
        self.planning = False
        self.still_looking = False
        self.old_kept: tuple[str, ...] = ()
        self.choice_seen = False
        self.best_offer = 0
        """Which of the choices shown the aim likes best: it may have been found after the others."""
        self.late_step: str | None = None
        """The step last said to be late, till it is known what that moves."""
        self.no_planner = ""
        """Why the helper could not plan, till it can again."""
        self.ways: dict[str, Any] = {}
        self._memo: dict[str, Any] = {}
        self._memo_of: tuple[Plan | None, Instant, int] = (None, 0, 0)
        self.kept: dict[str, Any] = {}
        """What was kept beside the saved plan; the session takes it over when the job is read."""
        self.file_trouble: tuple[str, ...] = ()
        self.new_job: dict[str, Any] | None = None
        """The tables of a job that is being set up and is not on disk yet."""

    def memo(self, name: str, make: Callable[[], Made]) -> Made:
        """What `make` gives, made once for each plan and minute: a key paints several lines from the same facts."""
        mark = (self.plan, self.now(), self.doubt)
        if self._memo_of[0] is not mark[0] or self._memo_of[1:] != mark[1:]:
            self._memo_of = mark
            self._memo.clear()
        if name not in self._memo:
            self._memo[name] = make()
        found: Made = self._memo[name]
        return found

    def now(self) -> Instant:
        """The instant of the clock, in whole minutes."""
        return int(self.clock.wall().timestamp() // 60)

    def earliest(self) -> Instant:
        """The earliest that it can be now: ask it before saying that a wait is over."""
        return int(self.clock.earliest().timestamp() // 60)

    def latest(self) -> Instant:
        """The latest that it can be now: ask it before saying that a window is still open."""
        return int(self.clock.latest().timestamp() // 60)

    def clock_says(self) -> Instant:
        """What the computer's clock says, right or wrong."""
        return int(self.clock.inner_wall().timestamp() // 60)

    @property
    def doubt(self) -> Minutes:
        """By how many minutes the computer's clock is ahead (+) or behind (-) while nobody said which time is right."""
        return round(self.clock.doubt_s / 60)

    def second(self) -> datetime:
        """The moment of the clock, aware, in UTC."""
        return self.clock.wall().astimezone(UTC)

    @property
    def plan(self) -> Plan | None:
        """The plan on the wall; until the job is read, the one of last time."""
        if self.session is not None and self.session.plan is not None:
            return self.session.plan
        return self.first

    @property
    def job_name(self) -> str:
        """The job's name, as far as it is known."""
        if self.session is not None and self.session.job is not None:
            return self.session.job.name
        if self.plan is not None:
            return self.plan.job
        if self.new_job is not None:
            return str(self.new_job["job"]["name"])
        return "mudday" if self.job_path is None else self.job_path.stem.replace("-", " ")

    def old_guess(self) -> bool:
        """Nobody works to this plan yet, and its first hours have passed: then it is only an old guess."""
        session = self.session
        if session is None or session.plan is None or session.accepted is not None:
            return False
        return any(step.start < self.now() and step.state in ("wait", "ready") for step in session.plan.steps)

    def mixes(self) -> dict[str, Mix]:
        """What is mixed in the steps under way, as far as the helper filled it in."""
        return self.memo("mixes", lambda: mixes_of(self.pages.get("clocks")))

    def running(self) -> list[Running]:
        """Every window that runs now, those inside a pour or float too; the worst of the plan's first."""
        plan = self.plan
        if plan is None:
            return []
        events = () if self.session is None else self.session.events
        return self.memo("running", lambda: all_running(plan, events, self.mixes(), self.earliest(), self.latest()))

    def filled(self, name: str, values: Any) -> None:
        """The helper filled in a page: what was made without it is made anew."""
        self.pages[name] = values
        self._memo.clear()

    def hindered(self) -> tuple[str, ...]:
        """What keeps pages from being filled: the mistakes of the file, or that no plan fits; () when all is well."""
        session = self.session
        if self.file_trouble or session is None or session.trouble is None or self.plan is not None:
            return self.file_trouble
        return (f"NO PLAN FITS: {session.trouble}",)

    def not_read(self) -> str:
        """Why nothing can be noted yet."""
        if self.file_trouble:
            return "The job file has a mistake. Put it right: this screen follows it."
        return "The job is being read. Press it again in a moment."

    def step(self, step_id: str | None) -> PlannedStep | None:
        """The step of that id on the wall."""
        if self.plan is None or step_id is None:
            return None
        return next((each for each in self.plan.steps if each.id == step_id), None)

    def target(self) -> PlannedStep | None:
        """The step that SPACE, L, T and B act on: the marked one, else the one due next."""
        if self.plan is None:
            return None
        plan, now = self.plan, self.now()
        return self.step(self.marked) or self.memo("due step", lambda: due_step(plan, now))

    def saved(self) -> str:
        """The right end of the first line: when the last report reached the disk, or that it did not."""
        if self.session is None or self.plan is None:
            return "" if self.plan is None else f"plan of {wall_clock(self.plan, self.plan.made_at)}"
        if self.session.not_saved is not None:
            return "NOT SAVED"
        at = self.session.saved_at
        return "nothing noted yet" if at is None else f"saved {wall_clock(self.plan, at)}"
