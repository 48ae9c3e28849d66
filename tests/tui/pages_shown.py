"""Every page as it looks at a fixed moment of a fixed job, for goldens and for pictures."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from planning.job.choice import Choice
from planning.job.plan import Moved
from tests.tui.screen_bench import Still, clock, grid, press, settle, still_app
from tui.app import MuddayApp

SIZES = ((60, 18), (80, 24), (120, 40))


@dataclass(frozen=True)
class Scene:
    """When, what was pressed, and what is put up before."""

    keys: str = ""
    at: tuple[int, int, int] = (7, 5, 1)
    prepare: Callable[[MuddayApp], None] | None = None


def _late(app: MuddayApp) -> None:
    plan = app.wall.plan
    assert plan is not None
    moved = tuple(
        Moved(s.id, s.start, s.start + 40, "Not sooner: you said so.") for s in plan.steps[4:8]
    )  # fmt: skip
    pushed = replace(plan, moved=moved, finish=plan.finish + 24 * 60)
    app.offered(
        [
            Choice("Stay till 4:10", "40 min each, tonight", plan.finish, replace(plan, moved=moved[:2])),
            Choice("Keep the order, all later", "4 steps move", pushed.finish, pushed, (), ("the visit is missed",)),
        ]
    )


def _stuck(app: MuddayApp) -> None:
    app.stuck(
        [
            "the inspector comes Wed 9:00, and the flood test must stand 24 h before",
            "coat 2 is dry Thu 11:00 at the soonest",
        ]
    )


def _done(app: MuddayApp, count: int) -> None:
    """So many of the first steps are started and finished as planned, so that something cures."""
    session, plan = app.wall.session, app.wall.plan
    assert session is not None
    assert plan is not None
    for step in plan.steps[:count]:
        session.start(step.id, step.start)
        session.finish(step.id, step.finish)
    app.noted()


def _mid_job(app: MuddayApp) -> None:
    plan = app.wall.plan
    assert plan is not None
    _done(app, sum(1 for step in plan.steps if step.finish <= app.wall.now()))


SHOWN: dict[str, Scene] = {
    "morning": Scene(),
    "rooms": Scene("r", (10, 58, 4), _mid_job),
    "clocks": Scene("c", (10, 58, 4), _mid_job),
    "clocks-far": Scene("c f", (10, 58, 4), _mid_job),
    "pull": Scene("p"),
    "evening": Scene("e", (15, 30, 1), _mid_job),
    "days": Scene("d"),
    "air": Scene("a"),
    "who": Scene("w"),
    "job": Scene("j"),
    "step": Scene("enter"),
    "late": Scene("", (7, 5, 1), _late),
    "stuck": Scene("", (7, 5, 1), _stuck),
    "help": Scene("f1"),
    "words": Scene("f1 f1"),
    "number": Scene("l 4"),
    "own": Scene("o"),
    "add": Scene("j i"),
    "away": Scene("", (9, 30, 1), lambda app: app.away(app.wall.now() - 150)),
}


async def shown(name: str, size: tuple[int, int], folder: Path, theme: str = "") -> tuple[str, str]:
    """A page as text and as SVG."""
    scene = SHOWN[name]
    hour, minute, day = scene.at
    frozen = clock(hour, minute, day)
    app = still_app(folder, frozen, Still())
    async with app.run_test(size=size) as pilot:
        await settle(app, pilot)
        if theme:
            app.theme = theme
        if scene.prepare is not None:
            scene.prepare(app)
            await settle(app, pilot)
        await press(app, pilot, frozen, scene.keys)
        app.wall.said = ""
        app.repaint()
        await settle(app, pilot)
        return grid(app), app.export_screenshot()
