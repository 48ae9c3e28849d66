"""Reading and planning beside the keys: what is asked of the helper, and what comes of its answers."""

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from planning.job.choice import Choice
from planning.job.events import Event
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.schedule.no_plan import NoPlan
from tui.plan_client import HelperLost, HelperWrong, JobRead
from tui.wall import Wall, WallSession

TRIES = 3


class Client(Protocol):
    """Whoever answers: a helper process, or in tests a planner of a few lines."""

    async def read(self) -> JobRead:
        """The job file."""
        ...

    def plans(self, events: Sequence[Event], now: Instant) -> Any:
        """An async iterator of (plan, is it final)."""
        ...

    async def choices(self, events: Sequence[Event], now: Instant) -> list[Choice]:
        """The ways to go on."""
        ...

    async def broken(self, plan: Plan, events: Sequence[Event]) -> list[str]:
        """What a plan breaks."""
        ...

    async def page(self, name: str, plan: Plan, events: Sequence[Event], now: Instant) -> Any:
        """What a page shows."""
        ...

    async def try_text(self, text: str) -> Any:
        """What a changed job file would come to."""
        ...

    async def close(self) -> None:
        """End it."""
        ...


class Replan:
    """Asks, and puts up what comes back. `changed` repaints, `offered` opens Late, `stuck` opens Stuck."""

    def __init__(
        self, wall: Wall, client: Client, *, changed: Callable[[], None], say: Callable[[str], None],
        offered: Callable[[list[Choice]], None], stuck: Callable[[Sequence[str]], None],
    ) -> None:  # fmt: skip
        self.wall = wall
        self.client = client
        self._changed = changed
        self._say = say
        self._offered = offered
        self._stuck = stuck

    async def read(self) -> bool:
        """Read the job file (again) and the record. False when the file leaves no job."""
        path = self.wall.job_path
        assert path is not None
        read = await self._tried(self.client.read)
        if read is None:
            return False
        session = self.wall.session
        if session is None:
            session = WallSession(path, self.wall.clock, read)
            session.extra = dict(self.wall.kept)
        session.read = read
        session.load()
        # Only now: until here the wall shows the plan of last time.
        self.wall.session = session
        self.wall.file_trouble = tuple(str(each) for each in session.problems) if session.job is None else ()
        if session.plan is None:
            session.plan = self.wall.first if session.job is not None else None
        self._changed()
        return session.job is not None

    async def plan(self) -> None:
        """Make a new plan; the instant one is shown first. Opens Late when the setter must choose."""
        session = self.wall.session
        if session is None or session.job is None:
            return
        self.wall.planning = True
        self._changed()
        try:
            for _ in range(TRIES):
                try:
                    await self._plan(session)
                    return
                except HelperLost:
                    self._say("The planner stopped and is started again. The plan on the wall stays.")
                except HelperWrong as wrong:
                    self.wall.no_planner = str(wrong)
                    return
        finally:
            self.wall.planning = self.wall.still_looking = False
            self._changed()

    async def _plan(self, session: WallSession) -> None:
        now = self.wall.now()
        inputs = session.inputs_hash(now)
        try:
            async for plan, final in self.client.plans(session.events, now):
                self.wall.still_looking = not final
                self.wall.old_kept, self.wall.no_planner = (), ""
                session.show(plan, inputs)
                self._changed()
                if session.offered is not None:
                    await self._choose(session, now, plan)
                    return
        except NoPlan as none_fits:
            if inputs == session.inputs_hash(now):
                session.stuck(none_fits, now)
                self._stuck(none_fits.reasons)

    async def _choose(self, session: WallSession, now: Instant, plan: Plan) -> None:
        """The first way to go on shows at once; the others when they are found."""
        self.wall.still_looking = True
        broke = tuple(each.words for each in plan.broken)
        moves = f"{len(plan.moved)} step{'s move' if len(plan.moved) != 1 else ' moves'}"
        self._put(session, [Choice("Keep the order, all later", moves, plan.finish, plan, (), broke)])
        offers = await self.client.choices(session.events, now)
        if session.offered is not None and offers:
            self.wall.still_looking = False
            self._put(session, offers)

    def _put(self, session: WallSession, offers: list[Choice]) -> None:
        # An offer has the fields of the planner's choice; the class itself would bring the planner in here.
        session.offers = offers
        self._offered(offers)
        self._changed()

    async def judge_old(self) -> None:
        """What the plan that was kept breaks now, for the third line."""
        session = self.wall.session
        if session is None or session.plan is None:
            return
        plan = session.plan
        broken = await self._tried(lambda: self.client.broken(plan, session.events))
        self.wall.old_kept = tuple(f"Old plan kept: {each}" for each in broken or ())
        self._changed()

    async def fill(self, name: str) -> None:
        """Have a page's numbers filled in."""
        session = self.wall.session
        if session is None or session.job is None or session.plan is None:
            return
        plan = session.plan
        filled = await self._tried(lambda: self.client.page(name, plan, session.events, self.wall.now()))
        if filled is not None:
            self.wall.pages[name] = filled
            self._changed()

    async def try_text(self, text: str) -> None:
        """Have a changed job file tried."""
        tried = await self._tried(lambda: self.client.try_text(text))
        if tried is not None:
            self.wall.pages["try"] = tried
            self._changed()

    async def _tried(self, ask: Callable[[], Any]) -> Any:
        for _ in range(TRIES):
            try:
                return await ask()
            except HelperLost:
                self._say("The helper stopped and is started again.")
            except (HelperWrong, NoPlan) as wrong:
                self._say(str(wrong))
                return None
        return None
