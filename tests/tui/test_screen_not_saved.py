"""The record cannot be written: the screen says NOT SAVED and why, shows nothing as done, and the next press works."""

import resource
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from planning.job.events import standing
from tests.tui.screen_bench import clock, grid, opened, press, story_app

COAT_1 = "wet-room/coats/coat-1"
Trouble = Callable[[Path], Iterator[None]]


@contextmanager
def another_window_holds_it(record: Path) -> Iterator[None]:
    other = sqlite3.connect(record, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    yield
    other.execute("ROLLBACK")
    other.close()


@contextmanager
def the_disk_is_full(_record: Path) -> Iterator[None]:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@contextmanager
def the_folder_was_taken_away(record: Path) -> Iterator[None]:
    away = record.rename(record.with_suffix(".away"))
    yield
    away.rename(record)


@pytest.mark.parametrize(
    ("trouble", "why"),
    [(another_window_holds_it, "another window is writing"), (the_disk_is_full, "make room"),
     (the_folder_was_taken_away, "is gone; put it back")],
)  # fmt: skip
async def test_what_is_not_saved_is_said_so_and_the_next_press_saves_it_once(
    trouble: Trouble, why: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("planning.records.record_file.TIMEOUT_S", 0.05)
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app, (120, 24)) as pilot:
        session = app.wall.session
        assert session is not None
        session.note("note", {"value": "there is a record"})
        with trouble(tmp_path / "job.record"):
            await press(app, pilot, frozen, "space")
            shown = grid(app).splitlines()
            assert shown[0].endswith("NOT SAVED")
            assert why in shown[2]
            step = app.wall.step(COAT_1)
            assert step is not None
            assert step.state in ("wait", "ready")
        await press(app, pilot, frozen, "space")
        assert "NOT SAVED" not in grid(app)
        assert [e.kind for e in standing(session.events)].count("started") == 1
        step = app.wall.step(COAT_1)
        assert step is not None
        assert step.state == "hands"
