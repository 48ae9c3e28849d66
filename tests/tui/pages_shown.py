"""Every page as it looks at a fixed moment of a fixed job, for goldens and for pictures."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from planning.job.choice import Choice
from planning.job.plan import Moved
from tests.tui.screen_bench import Still, clock, grid, opened, press, settle, still_app
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
    plan = app.wall.plan
    assert plan is not None
    later = replace(plan, finish=plan.finish + 24 * 60)
    app.stuck(
        [
            "inspector: comes Wed 3 Jun 9:00 to see FLOOD READ, wet room",
            "wet room: its steps and waits, one after the other, take 6 days up to FLOOD READ",
            "hours: work Mon to Fri, 7:00 to 3:30, set-up and clean-up in it",
        ],
        [
            Choice("Inspector comes Wed 10 Jun 9:00", "ask inspector", plan.finish, plan),
            Choice("Work Sat 6 Jun", "you one more day, Sat 6 Jun, 5 h 30", later.finish, later),
        ],
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


def _mixing(app: MuddayApp, kind: str, acts: list[dict[str, object]], count: int) -> None:
    """The first step of that kind is under way, with what is mixed in it."""
    session, plan = app.wall.session, app.wall.plan
    assert session is not None
    assert plan is not None
    step = next(each for each in plan.steps if each.kind == kind)
    session.start(step.id, step.start)
    app.replan.client.pages["clocks"] = {  # type: ignore[union-attr]  # the stand-in answers with these
        step.id: {"count": count, "package": "bag", "acts": acts}
    }
    app.noted()
    app.wall.marked = step.id


def _act(key: str, title: str, since: str, opens: int | None, shuts: int | None) -> dict[str, object]:
    return {"key": key, "title": title, "counts_from": since, "opens": opens, "shuts": shuts}


def _pour(app: MuddayApp) -> None:
    acts = [_act("spread", "spread this batch", "water_in", None, 15),
            _act("edge", "bring the next batch to this edge", "water_in", None, 12),
            _act("bucket", "empty this bucket", "water_in", None, 20)]  # fmt: skip
    _mid_job(app)
    _mixing(app, "pour", acts, 2)


def _float(app: MuddayApp) -> None:
    acts = [_act("rails", "screed off the rails", "water_in", 30, None),
            _act("bulk", "bulk lift onto the wet bond lift", "rails", None, 10),
            _act("skim", "skim lift to the line", "bulk", 18, 30),
            _act("trowel", "finishing trowel", "skim", 20, 30)]  # fmt: skip
    _mid_job(app)
    _mixing(app, "float", acts, 4)


SHOWN: dict[str, Scene] = {
    "morning": Scene(),
    "rooms": Scene("r", (10, 58, 4), _mid_job),
    "clocks": Scene("c", (10, 58, 4), _mid_job),
    "clocks-far": Scene("c f", (10, 58, 4), _mid_job),
    "clocks-pour": Scene("c c space s space", (11, 12, 3), _pour),
    "clocks-float": Scene("c space space", (8, 12, 3), _float),
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
    "add-list": Scene("j i"),
    "add": Scene("j i 1 1 escape"),
    "change": Scene("j 2 enter"),
    "steps": Scene("j 2 v"),
    "labels": Scene("j g"),
    "found": Scene("enter k"),
    "away": Scene("", (9, 30, 1), lambda app: app.away(app.wall.now() - 150)),
}


async def shown(name: str, size: tuple[int, int], folder: Path, theme: str = "") -> tuple[str, str]:
    """A page as text and as SVG."""
    scene = SHOWN[name]
    hour, minute, day = scene.at
    frozen = clock(hour, minute, day)
    app = still_app(folder, frozen, Still())
    async with opened(app, size) as pilot:
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
