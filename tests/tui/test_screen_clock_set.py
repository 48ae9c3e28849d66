"""The computer's clock is set while floors cure: what the screen says, asks, releases and keeps."""

from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from planning.job.events import Event, effective
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.states import window_state
from planning.job.words import Instant
from planning.records.clock import FrozenClock
from tests.tui.bench import ChainPlanner
from tests.tui.screen_bench import Story, clock, grid, opened, press, settle, story_app
from tui.app import MuddayApp
from tui.standing import with_states

COAT_1, COAT_2 = "wet-room/coats/coat-1", "wet-room/coats/coat-2"
WALK_MIN = 120
"""How long after its finish a coat of the made-up planner may be walked on."""


class Shutting(ChainPlanner):
    """Its coat 2 must go on within an hour of its opening."""

    def plan(self, job: Job, events: Sequence[Event], now: Instant) -> Plan:
        made = super().plan(job, events, now)
        steps = [self._shut(step, now) if step.id == COAT_2 else step for step in made.steps]
        return with_states(replace(made, steps=tuple(steps)), job, events, now)

    def _shut(self, step: PlannedStep, now: Instant) -> PlannedStep:
        opens = step.window.opens
        assert opens is not None
        shuts = opens + 60
        return replace(step, window=replace(step.window, shuts=shuts, state=window_state(opens, shuts, now)))


def booted_once() -> FrozenClock:
    """The clock at 7:20 of a computer that was booted once, so that a jump can be told from time that passed."""
    return clock(7, 20, 3, "b1")


def app_of(folder: Path, frozen: FrozenClock) -> MuddayApp:
    story = Story()
    story.planner = Shutting()
    return story_app(folder, frozen, story)


@asynccontextmanager
async def coat_1_cures(app: MuddayApp, frozen: FrozenClock) -> AsyncIterator[tuple[Any, Instant]]:
    """The app just after coat 1 was worked; gives what presses its keys, and the instant of its finish."""
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space")
        frozen.advance(70 * 60)
        app.tick()
        await settle(app, pilot)
        if app.page == "away":
            await press(app, pilot, frozen, "escape")
        app.wall.marked = COAT_1
        await press(app, pilot, frozen, "space")
        assert state(app, COAT_1) == "curing"
        yield pilot, app.wall.now()


def state(app: MuddayApp, step_id: str) -> str:
    step = app.wall.step(step_id)
    assert step is not None
    return step.state


async def jump(app: MuddayApp, pilot: Any, frozen: FrozenClock, minutes: int) -> None:
    frozen.jump_wall(minutes * 60)
    frozen.advance(1)
    app.tick()
    await settle(app, pilot)


async def test_a_clock_set_ahead_releases_nothing_asks_in_words_and_is_kept_as_asked(tmp_path: Path) -> None:
    frozen = booted_once()
    app = app_of(tmp_path, frozen)
    async with coat_1_cures(app, frozen) as (pilot, _):
        await jump(app, pilot, frozen, WALK_MIN + 60)
        assert app.page == "time"
        assert "This computer's clock went 3 h ahead at once" in grid(app)
        assert "Which time is right?" in grid(app)
        assert "1  Wed 3 Jun 11:30" in grid(app)
        assert "2  Wed 3 Jun 8:30" in grid(app)
        assert state(app, COAT_1) == "curing"
        assert app.wall.session is not None
        asked = [e.body for e in app.wall.session.events if e.kind == "clock_changed"]
        assert asked == [{"value": (WALK_MIN + 60) * 60, "trust": "asked"}]
        await press(app, pilot, frozen, "escape")
        assert "WHICH TIME IS RIGHT?" in grid(app).splitlines()[2]
        await press(app, pilot, frozen, "c k")
        assert app.page == "time"


async def test_a_clock_set_back_releases_nothing_by_the_time_counted_either(tmp_path: Path) -> None:
    frozen = booted_once()
    app = app_of(tmp_path, frozen)
    async with coat_1_cures(app, frozen) as (pilot, finish):
        await jump(app, pilot, frozen, -60)
        frozen.advance(WALK_MIN * 60)
        app.tick()
        await settle(app, pilot)
        assert app.wall.now() >= finish + WALK_MIN, "by the time counted the wait is over"
        assert state(app, COAT_1) == "curing"
        frozen.advance(65 * 60)
        app.tick()
        await settle(app, pilot)
        assert state(app, COAT_1) == "done", "now it is over by both"


async def test_the_clock_is_right_moves_what_was_noted_and_the_wait_lasts_its_time(tmp_path: Path) -> None:
    frozen = booted_once()
    app = app_of(tmp_path, frozen)
    async with coat_1_cures(app, frozen) as (pilot, finish):
        await jump(app, pilot, frozen, WALK_MIN + 60)
        await press(app, pilot, frozen, "enter")
        assert "Noted which time is right." in grid(app)
        session = app.wall.session
        assert session is not None
        (done,) = [e for e in effective(session.events) if e.kind == "finished"]
        assert done.minute == finish + WALK_MIN + 60
        assert state(app, COAT_1) == "curing", "it has cured one minute, whatever the clock said"
        assert "WHICH TIME" not in grid(app)
        await press(app, pilot, frozen, "u")
        assert "Undone: COAT 1 finished" in grid(app), "what the clock moved is no report of the setter's"


async def test_the_clock_is_wrong_leaves_it_out_and_nothing_is_asked_again(tmp_path: Path) -> None:
    frozen = booted_once()
    app = app_of(tmp_path, frozen)
    async with coat_1_cures(app, frozen) as (pilot, finish):
        await jump(app, pilot, frozen, 24 * 60)
        await press(app, pilot, frozen, "2 enter")
        assert app.page != "time"
        assert app.wall.now() - finish <= 1
        assert "8:30" in grid(app).splitlines()[0]
        assert state(app, COAT_1) == "curing"
    again = app_of(tmp_path, frozen)
    async with opened(again) as pilot:
        again.tick()
        await settle(again, pilot)
        assert again.page != "time", "the answer holds over a restart"
        assert "8:30" in grid(again).splitlines()[0]
        assert state(again, COAT_1) == "curing"


async def test_an_open_question_is_asked_again_after_a_restart_and_after_a_new_boot(tmp_path: Path) -> None:
    frozen = booted_once()
    app = app_of(tmp_path, frozen)
    async with coat_1_cures(app, frozen) as (pilot, _):
        await jump(app, pilot, frozen, WALK_MIN + 60)
    for boot_id in ("b1", "b2"):
        later = FrozenClock(frozen.wall(), frozen.boot() if boot_id == "b1" else 30.0, boot_id)
        again = app_of(tmp_path, later)
        async with opened(again) as pilot:
            again.tick()
            await settle(again, pilot)
            assert state(again, COAT_1) == "curing"
            assert again.page == "time"


async def test_a_clock_that_is_set_right_again_ends_the_question(tmp_path: Path) -> None:
    frozen = booted_once()
    app = app_of(tmp_path, frozen)
    async with coat_1_cures(app, frozen) as (pilot, _):
        await jump(app, pilot, frozen, 60)
        await jump(app, pilot, frozen, -60)
        assert "WHICH TIME" not in grid(app)
        session = app.wall.session
        assert session is not None
        asked = [e.body["value"] for e in session.events if e.kind == "clock_changed"]
        assert asked == [3600, 0]


async def test_an_answer_that_cannot_be_saved_leaves_the_question_open(tmp_path: Path) -> None:
    frozen = booted_once()
    app = app_of(tmp_path, frozen)
    async with coat_1_cures(app, frozen) as (pilot, _):
        await jump(app, pilot, frozen, 60)
        record = tmp_path / "job.record"
        away = record.rename(tmp_path / "away")
        await press(app, pilot, frozen, "enter")
        assert "NOT SAVED" in grid(app)
        assert app.wall.doubt == 60
        away.rename(record)
        await press(app, pilot, frozen, "enter")
        assert app.wall.doubt == 0


async def test_a_lid_closed_over_the_end_of_a_window_is_one_alert_and_none_after_it_was_heard(tmp_path: Path) -> None:
    frozen = booted_once()
    bells: list[int] = []
    app = app_of(tmp_path, frozen)
    app.bell = lambda: bells.append(1)  # type: ignore[method-assign]
    async with coat_1_cures(app, frozen) as (pilot, finish):
        shuts = finish + 160 + 60
        frozen.advance((shuts - 60 - app.wall.now()) * 60)
        app.tick()
        await settle(app, pilot)
        await press(app, pilot, frozen, "escape")
        bells.clear()
        frozen.advance(3 * 3600)
        app.tick()
        await settle(app, pilot)
        assert "SHUT 2 h ago" in grid(app).splitlines()[2]
        assert "COAT 2" in grid(app)
        alerts = len(bells)
        assert alerts >= 1
        app.tick()
        frozen.advance(60)
        app.tick()
        assert len(bells) == alerts, "told once"
        await press(app, pilot, frozen, "escape")
        assert "Heard." in grid(app)
    again = app_of(tmp_path, frozen)
    again.bell = lambda: bells.append(1)  # type: ignore[method-assign]
    async with opened(again) as pilot:
        for _ in range(20):
            frozen.advance(60)
            again.watch_clock.look()
            again.tick()
        await settle(again, pilot)
        assert len(bells) == alerts, "heard before the restart is heard after it"
        assert "SHUT" in grid(again).splitlines()[2], "the line stays"
