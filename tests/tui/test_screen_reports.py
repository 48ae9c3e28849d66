"""Reports from the other pages, counted in keys: who left, a visit moved, air read, a tick, the note, a room added."""

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from planning.job.events import Event, standing
from planning.job.hours import local
from tests.tui.bench import ZONE, at
from tests.tui.screen_bench import clock, grid, opened, press, still_app
from tui.app import MuddayApp
from tui.screens.number_line import NumberLine


def last(app: MuddayApp) -> Event:
    assert app.wall.session is not None
    return [each for each in standing(app.wall.session.events) if each.kind != "job_file"][-1]


async def after(folder: Path, keys: str) -> tuple[MuddayApp, str]:
    frozen = clock()
    app = still_app(folder, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, keys)
        return app, grid(app)


async def test_the_helper_leaves_now_in_three_keys(tmp_path: Path) -> None:
    app, _ = await after(tmp_path, "w g enter")
    assert last(app).kind == "gone"
    assert last(app).body["who"] == "helper"


async def test_the_helper_leaves_at_two(tmp_path: Path) -> None:
    app, _ = await after(tmp_path, "w g 2 0 0 enter")
    assert local(ZONE, last(app).minute).strftime("%H:%M") == "14:00"


async def test_the_next_visit_is_moved_to_half_past_ten_of_its_own_day(tmp_path: Path) -> None:
    app, _ = await after(tmp_path, "w v 1 0 3 0 enter")
    assert app.wall.plan is not None
    visit = app.wall.plan.visits[0]
    moved = local(ZONE, last(app).body["until"])
    assert moved.date() == local(ZONE, visit.start).date()
    assert moved.strftime("%H:%M") == "10:30"


async def test_the_air_is_read_in_one_line_of_three_numbers(tmp_path: Path) -> None:
    app, _ = await after(tmp_path, "a g 5 0 space 8 6 space 4 8 enter")
    value = last(app).body["value"]
    assert value["air_c"] == pytest.approx(10.0)
    assert value["humidity"] == pytest.approx(0.86)
    assert value["surface_c"] == pytest.approx(8.8889, abs=1e-3)


async def test_air_that_cannot_be_read_keeps_nothing_and_says_how_to_write_it(tmp_path: Path) -> None:
    app, shown = await after(tmp_path, "a g 5 0 enter")
    assert app.wall.session is not None
    assert "Write three numbers" in shown
    assert not [e for e in app.wall.session.events if e.kind == "reading"]


async def test_a_line_of_the_pull_list_is_ticked_with_one_key_and_the_mark_goes_on(tmp_path: Path) -> None:
    app, shown = await after(tmp_path, "p g space")
    assert last(app).kind == "ticked"
    assert "√" in shown
    assert app.pages["pull"].at == 1


async def test_the_note_is_saved_in_two_keys(tmp_path: Path) -> None:
    app, _ = await after(tmp_path, "e enter")
    assert (tmp_path / "guest-house.2026-06-01.owner.txt").read_text(encoding="utf-8").startswith("GUEST HOUSE")
    assert last(app).kind == "told"


async def test_a_room_is_added_to_the_file_and_the_comments_stay(tmp_path: Path) -> None:
    app, shown = await after(tmp_path, "j i 1 2 6 x 5 enter enter")
    text = (tmp_path / "guest-house.toml").read_text(encoding="utf-8")
    assert text.startswith("# A guest house behind a main house")
    assert 'size = "6x5"' in text
    assert app.page == "morning"
    assert "room 5 added. A new plan is being made." in shown


@pytest.mark.parametrize(
    ("counts", "typed", "now", "meant"),
    [
        ("late", "4", (9, 0), (9, 40)),
        ("late", "45", (9, 0), (9, 45)),
        ("late", "145", (9, 0), (13, 45)),
        ("ago", "2", (7, 22), (7, 2)),
        ("ago", "705", (7, 22), (7, 5)),
        ("ago", "1145", (13, 5), (11, 45)),
        ("from", "200", (9, 20), (14, 0)),
        ("at", "1030", (0, 0), (10, 30)),
        ("at", "145", (0, 0), (13, 45)),
        ("at", "12", (0, 0), (12, 0)),
    ],
)
def test_a_number_means_what_a_setter_means(
    counts: Any, typed: str, now: tuple[int, int], meant: tuple[int, int]
) -> None:
    taken: list[int] = []
    asked = NumberLine("when:", counts, at(*now), ZONE, taken.append)
    for digit in typed:
        asked.key(digit, digit)
    assert asked.enter()
    assert taken == [at(*meant)]


def test_what_is_no_time_is_not_taken() -> None:
    asked = NumberLine("when:", "late", at(9), ZONE, lambda _: None)
    for digit in "975":
        asked.key(digit, digit)
    assert not asked.enter()
    assert "not a time" in asked.text()
    assert datetime.fromtimestamp(at(9) * 60, ZONE).hour == 9
