"""Stuck: the facts that clash, the ways out, and taking one of them, on the screen and on the command line."""

from collections.abc import Sequence
from datetime import time
from pathlib import Path

import pytest

from planning.job.choice import Choice, Cost, EventDraft
from planning.job.events import Event
from planning.job.hours import instant
from planning.job.job import Job
from planning.job.words import Instant
from planning.records.job_file import read_job
from planning.schedule.latest import latest_in_any_order
from planning.schedule.make_plan import make_plan
from tests.planning.schedule.test_make_plan import ONE_TOILET
from tests.tui.bench import JOB, ChainPlanner, at
from tests.tui.screen_bench import Story, clock, grid, opened, press, story_app
from tui.__main__ import main
from tui.plan_lines import choice_from, choice_table


class OneWayOut(ChainPlanner):
    """Nothing fits until somebody stays."""

    def choices(self, job: Job, events: Sequence[Event], now: Instant) -> list[Choice]:
        self.stuck = False
        plan = self.plan(job, events, now)
        stay = EventDraft("stay_until", {"who": "you", "until": now + 600, "value": 40})
        return [Choice("Stay till 4:10", "40 min, you, tonight", plan.finish, plan, (stay,), (), Cost(40), "stay")]


async def test_the_ways_out_show_under_the_clash_and_enter_takes_the_marked_one(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    client = Story()
    client.planner = OneWayOut()
    app = story_app(tmp_path, frozen, client)
    async with opened(app) as pilot:
        client.planner.stuck = True
        await press(app, pilot, frozen, "space")
        shown = grid(app)
        assert "NO PLAN FITS" in shown
        assert "inspector comes before the coat is dry" in shown
        assert "> 1  Stay till 4:10" in shown
        assert "Costs: 40 min, you, tonight." in shown
        frozen.advance(2)
        await press(app, pilot, frozen, "2")
        assert "There are only 1 ways out." in grid(app)
        await press(app, pilot, frozen, "enter")
        session = app.wall.session
        assert session is not None
        assert [event.kind for event in session.events[-2:]] == ["stay_until", "plan_accepted"]
        assert app.page == "morning"


def test_a_choice_goes_over_the_pipe_and_comes_back_whole() -> None:
    (choice,) = OneWayOut().choices(JOB, (), at(7, 20))
    assert choice_from(choice_table(choice)) == choice


@pytest.fixture(name="toilet")
def _toilet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "toilet.toml"
    path.write_text(ONE_TOILET, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return path


NOW = ("--now", "2026-06-01 6:58")


def test_check_names_the_clash_and_the_ways_out_and_take_lets_a_plan_in(
    toilet: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "toilet", *NOW]) == 1
    out = capsys.readouterr().out
    assert "THESE CLASH (give way on any one of them)" in out
    assert "house: a toilet that works each promised night" in out
    assert "1  No toilet on Mon 1 Jun" in out
    assert "ask the household" in out
    assert main(["take", "toilet", "1", *NOW]) == 0
    capsys.readouterr()
    assert main(["check", "toilet", *NOW]) == 0
    assert "The plan keeps every rule." in capsys.readouterr().out


def test_the_latest_start_in_any_order_is_never_sooner_than_in_the_order_of_the_plan(
    toilet: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = ONE_TOILET.replace('toilet_nights = "mon-sun"\n', "")
    toilet.write_text(text, encoding="utf-8")
    job, _ = read_job(toilet)
    assert job is not None
    plan = make_plan(job, (), instant(job.zone, job.start, time(6, 58)), improve=False)
    for step in plan.steps[::3]:
        found = latest_in_any_order(job, (), plan, step.id)
        assert found is not None
        if step.latest_start is not None:
            assert found.latest >= step.latest_start
    assert main(["plan", "toilet", "--latest", "set", *NOW]) == 0
    assert "in any order: start by" in capsys.readouterr().out
