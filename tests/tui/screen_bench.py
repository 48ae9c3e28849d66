"""The screen with a frozen clock and a planner of a few lines, for tests: no solver, no helper process.

`Story` plans the one-room job of tests.tui.bench as events come in. `Still` shows one stored plan of four rooms, and
fills its pages as the helper does; run `python -m tests.tui.screen_bench` to store the plan anew from the real planner
(then look at every golden).
"""

import json
import re
from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import asynccontextmanager
from datetime import UTC, datetime, time
from functools import cache
from pathlib import Path
from typing import Any

from textual.worker import WorkerCancelled

from planning.job.choice import Choice
from planning.job.events import Event, standing
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.step import Step
from planning.job.words import Instant
from planning.records.clock import FrozenClock
from planning.records.saved_plan import write_saved
from planning.schedule.no_plan import NoPlan
from tests.any_job import any_record
from tests.tui.bench import JOB, ZONE, ChainPlanner
from tui.app import MuddayApp
from tui.job_changes import change_job, menu
from tui.job_read import JobRead
from tui.plan_client import HelperLost, HelperWrong
from tui.plan_lines import plan_from, plan_table
from tui.standing import with_states

DATA = Path(__file__).parent / "data"
STORED = DATA / "guest-house.screen.json"
JOB_FILE = DATA / "guest-house.toml"
PATIENCE = 20
MORNING = time(7, 5)


class Story:
    """Answers like the helper, with `ChainPlanner`. `lost`: so many questions are lost first; `wrong`: what fails."""

    def __init__(self) -> None:
        self.planner = ChainPlanner()
        self.lost = 0
        self.wrong = ""
        self.filled: dict[str, Any] = {}
        self.closed = False

    async def read(self) -> JobRead:
        return JOB, [], ()

    async def plans(self, events: Sequence[Event], now: Instant) -> AsyncIterator[tuple[Plan, bool]]:
        if self.lost:
            self.lost -= 1
            raise HelperLost("the planner stopped")
        if self.wrong:
            raise HelperWrong(self.wrong)
        yield self.planner.plan(JOB, events, now), True

    async def choices(self, events: Sequence[Event], now: Instant) -> list[Choice]:
        return self.planner.choices(JOB, events, now)

    async def more_choices(self, events: Sequence[Event], now: Instant) -> AsyncIterator[list[Choice]]:
        yield self.planner.choices(JOB, events, now)

    async def broken(self, plan: Plan, events: Sequence[Event]) -> list[str]:
        return ["coat 2 would start before coat 1 is dry"]

    async def page(self, name: str, plan: Plan, events: Sequence[Event], now: Instant) -> Any:
        return self.filled.get(name, {})

    async def menu(self) -> Any:
        return []

    async def change(self, edits: Sequence[Mapping[str, Any]], about: str, now: Instant, write: bool) -> Any:
        return {"problems": ["size is not clear; write it as 5 x 5 ft"], "steps": [], "written": False}

    async def close(self) -> None:
        self.closed = True


class Still:
    """Answers with the stored plan, states as of now, and its pages; `pages` can hold made-up ones instead."""

    def __init__(self) -> None:
        self.plan = plan_from(json.loads(STORED.read_text(encoding="utf-8")))
        self.pages: dict[str, Any] = {}
        self.job, self.steps = read_stored_job()
        self.path = JOB_FILE

    async def read(self) -> JobRead:
        return self.job, [], self.steps

    async def plans(self, events: Sequence[Event], now: Instant) -> AsyncIterator[tuple[Plan, bool]]:
        yield with_states(self.plan, self.job, events, now), True

    async def choices(self, events: Sequence[Event], now: Instant) -> list[Choice]:
        raise NoPlan(["the stored plan is the only one"])

    async def more_choices(self, events: Sequence[Event], now: Instant) -> AsyncIterator[list[Choice]]:
        yield await self.choices(events, now)

    async def broken(self, plan: Plan, events: Sequence[Event]) -> list[str]:
        return []

    async def page(self, name: str, plan: Plan, events: Sequence[Event], now: Instant) -> Any:
        if name not in self.pages:
            self.pages[name] = json.loads(stored_page(name))
        return self.pages[name]

    async def menu(self) -> Any:
        return menu(self.job)

    async def change(self, edits: Sequence[Mapping[str, Any]], about: str, now: Instant, write: bool) -> Any:
        return change_job(self.path, edits, about, now, write)

    async def close(self) -> None:
        pass


def read_stored_job() -> tuple[Job, tuple[Step, ...]]:
    """The job of the stored plan."""
    from planning.records.job_file import read_job
    from planning.trade.expand import expand

    job, problems = read_job(JOB_FILE)
    assert job is not None, problems
    return job, expand(job).steps


def clock(hour: int = 7, minute: int = 5, day: int = 1, boot_id: str = "") -> FrozenClock:
    """A clock that stands at that time of the site in June 2026."""
    return FrozenClock(datetime(2026, 6, day, hour, minute, tzinfo=ZONE).astimezone(UTC), 1000.0, boot_id)


def story_app(folder: Path, frozen: FrozenClock, client: Story | None = None) -> MuddayApp:
    """The app on the one-room job."""
    path = folder / "job.toml"
    path.write_text("[job]\n", encoding="utf-8")
    return MuddayApp(path, frozen, client or Story())


def still_app(folder: Path, frozen: FrozenClock, client: Still | None = None) -> MuddayApp:
    """The app on the stored plan, which lies there from last time too."""
    known = client or Still()
    path = folder / "guest-house.toml"
    path.write_bytes(JOB_FILE.read_bytes())
    known.path = path
    write_saved(path, known.plan, "from last time")
    return MuddayApp(path, frozen, known)


def grid(app: MuddayApp) -> str:
    """What stands on the screen, without any style."""
    return "\n".join(strip.text.rstrip() for strip in app.screen._compositor.render_strips())


def kinds(app: MuddayApp) -> list[str]:
    """What was noted and stands, in order, without the marks of a changed job file."""
    assert app.wall.session is not None
    return [event.kind for event in standing(app.wall.session.events) if event.kind != "job_file"]


async def settle(app: MuddayApp, pilot: Any) -> None:
    """Wait until the helpers' answers are in and painted."""
    await pilot.pause()
    for _ in range(PATIENCE):
        # A newer wish gives an older one up: that is no failure, but the newer one has to be waited for too.
        try:
            await app.workers.wait_for_complete()
            break
        except WorkerCancelled:
            await pilot.pause()
    await pilot.pause()


@asynccontextmanager
async def opened(app: MuddayApp, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Any]:
    """The app on a screen of that size, with the helpers' first answers painted; gives what presses its keys."""
    async with app.run_test(size=size) as pilot:
        await settle(app, pilot)
        yield pilot


async def press(app: MuddayApp, pilot: Any, frozen: FrozenClock, keys: str, apart_s: float = 3.0) -> None:
    """Press keys (separated by spaces) one after the other, so far apart that the drip guard lets them through."""
    for key in keys.split():
        frozen.advance(apart_s)
        await pilot.press(key)
        await settle(app, pilot)


def normal_svg(svg: str) -> str:
    """An SVG picture without the number that differs from run to run."""
    return re.sub(r"terminal-\d+-", "terminal-", svg)


def at_its_time(name: str, plan: Plan, morning: Instant) -> tuple[Sequence[Event], Instant]:
    """The record and the time at which a page is looked at: Evening after a day worked as planned."""
    if name != "evening":
        return (), morning
    end = morning + (15 - 7) * 60 + 25
    return any_record(plan, end, late_min=1), end


@cache
def stored_page(name: str) -> str:
    """A page of the stored plan on its first morning, as it comes from the helper: JSON."""
    from planning.job.hours import instant
    from tui.pages import fill

    plan = plan_from(json.loads(STORED.read_text(encoding="utf-8")))
    job, steps = read_stored_job()
    now = instant(job.zone, job.start, MORNING)
    return json.dumps(fill(name, plan, job, steps, *at_its_time(name, plan, now)), default=str)


def store() -> None:
    """Plan the stored job with the real planner, and keep the plan: a line for each thing in it."""
    from planning.job.hours import instant
    from planning.schedule.make_plan import make_plan

    job, _ = read_stored_job()
    table = plan_table(make_plan(job, (), instant(job.zone, job.start, MORNING)))
    STORED.write_text(by_line(table) + "\n", encoding="utf-8")


def by_line(table: Any, deep: int = 3) -> str:
    """JSON in which what lies so deep has a line of its own, so that a changed step is a changed line."""
    if not deep or not table or not isinstance(table, dict | list):
        return json.dumps(table)
    if isinstance(table, list):
        return "[\n" + ",\n".join(by_line(each, deep - 1) for each in table) + "\n]"
    return "{\n" + ",\n".join(f"{json.dumps(key)}: {by_line(each, deep - 1)}" for key, each in table.items()) + "\n}"


if __name__ == "__main__":
    store()
