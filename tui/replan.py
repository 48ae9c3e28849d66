"""Reading and planning beside the keys: what is asked of the helper, and what comes of its answers."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from typing import Any, Protocol

from planning.job.choice import Choice
from planning.job.events import Event
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.schedule.no_plan import NoPlan
from tui.job_read import JobRead
from tui.offers import best_of, merged
from tui.plan_client import HelperLost, HelperWrong
from tui.wall import Wall
from tui.wall_session import WallSession
from tui.words import MAKING

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

    def more_choices(self, events: Sequence[Event], now: Instant) -> Any:
        """An async iterator of the choices found so far."""
        ...

    async def broken(self, plan: Plan, events: Sequence[Event]) -> list[str]:
        """What a plan breaks."""
        ...

    async def page(self, name: str, plan: Plan, events: Sequence[Event], now: Instant) -> Any:
        """What a page shows."""
        ...

    async def menu(self) -> Any:
        """The methods to choose from."""
        ...

    async def change(self, edits: Sequence[Mapping[str, Any]], about: str, now: Instant, write: bool) -> Any:
        """What a changed job file comes to; written if asked and nothing is wrong."""
        ...

    async def close(self) -> None:
        """End it."""
        ...


class Replan:
    """Asks, and puts up what comes back. `changed` repaints, `offered` opens Late, `stuck` opens Stuck."""

    def __init__(
        self, wall: Wall, client: Client, *, changed: Callable[[], None], say: Callable[[str], None],
        offered: Callable[[list[Choice]], None], stuck: Callable[[Sequence[str], Sequence[Choice]], None],
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
        before = {} if session.plan is None else {step.id: step.start for step in session.plan.steps}
        try:
            async for plan, final in self.client.plans(session.events, now):
                self.wall.still_looking = not final
                self.wall.old_kept, self.wall.no_planner = (), ""
                session.show(plan, inputs)
                if self.wall.said == MAKING:
                    self._say("")
                self._changed()
                if session.offered is not None:
                    await self._choose(session, now, plan)
                    return
                if final:
                    self._say_what_moved(plan, before)
        except NoPlan as none_fits:
            if inputs == session.inputs_hash(now):
                session.stuck(none_fits, now)
                await self._ways_out(session, now, none_fits.reasons)

    def _say_what_moved(self, plan: Plan, before: Mapping[str, Instant]) -> None:
        """After a report of a delay that asked for no choice: what else moved by it."""
        step, self.wall.late_step = self.wall.late_step, None
        if step is None:
            return
        moved = sum(1 for each in plan.steps if each.id != step and before.get(each.id, each.start) != each.start)
        else_moves = f"{moved} other step{'s move' if moved > 1 else ' moves'}" if moved else "Nothing else moves"
        late = next((each.title.upper() for each in plan.steps if each.id == step), "It")
        self._say(f"Noted: {late} is late. {else_moves}. U takes it back.")

    async def _ways_out(self, session: WallSession, now: Instant, reasons: Sequence[str]) -> None:
        """What clashes shows at once; the ways out as they are found."""
        self.wall.still_looking = True
        self._stuck(reasons, ())
        with suppress(NoPlan):
            async for offers in self.client.more_choices(session.events, now):
                session.offers = offers
                self._stuck(reasons, offers)
        self.wall.still_looking = False
        self._stuck(reasons, session.offers)

    async def _choose(self, session: WallSession, now: Instant, plan: Plan) -> None:
        """The first way to go on shows at once; the others when they are found."""
        self.wall.still_looking = True
        broke = tuple(each.words for each in plan.broken)
        moves = f"{len(plan.moved)} step{'s move' if len(plan.moved) != 1 else ' moves'}"
        session.offers = []
        self._put(session, [Choice("Keep the order, all later", moves, plan.finish, plan, (), broke)])
        async for offers in self.client.more_choices(session.events, now):
            if session.offered is None:
                return
            if offers:
                self._put(session, offers)
        self.wall.still_looking = False
        self._changed()

    def _put(self, session: WallSession, offers: list[Choice]) -> None:
        session.offers = merged(session.offers, offers)
        self.wall.best_offer = best_of(session.offers, offers)
        self._offered(session.offers)
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
            self.wall.filled(name, filled)
            self._changed()

    async def menu(self) -> None:
        """Have the methods to choose from filled in."""
        if not self.wall.pages.get("menu"):
            self.wall.pages["menu"] = await self._tried(self.client.menu) or []
            self._changed()

    async def change(self, edits: Sequence[Mapping[str, Any]], about: str, then: Callable[[Any], None] | None) -> None:
        """Have a changed job file tried, into `wall.pages["try"]`; with `then` it is written, and the answer told."""
        now = self.wall.now()
        tried = await self._tried(lambda: self.client.change(edits, about, now, then is not None))
        if tried is None:
            return
        self.wall.pages["try"] = tried
        if then is not None:
            then(tried)
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
