"""Other ways through the real program: a room of one's own, no color and a small window, two windows, no job named."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journeys.small_job import job_where_it_is_nine
from tests.journeys.terminal import Terminal, tmux_there

pytestmark = pytest.mark.skipif(not tmux_there(), reason="tmux is not installed")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return job_where_it_is_nine(tmp_path, "corner house")


@pytest.fixture
def windows() -> Iterator[list[Terminal]]:
    opened: list[Terminal] = []
    yield opened
    for each in opened:
        each.close()


def opened(windows: list[Terminal], name: str, job: Path | None, **extra: str) -> Terminal:
    made = Terminal(name, 80, 24, job, extra)
    windows.append(made)
    made.start()
    return made


def once(window: Terminal, key: str, words: str) -> None:
    """One press on a page for dry hands, where each counts at once."""
    window.press(key)
    window.sees(words)


def test_a_room_of_ones_own_is_added_without_a_file_and_planned(windows: list[Terminal], job: Path) -> None:
    window = opened(windows, "room", job)
    window.sees("HOW IT STANDS")
    window.press_till("j", "I add room")
    window.press_till("i", "WHAT IS IT")
    once(window, "1", "Plain tile floor")
    once(window, "2", "Size (")
    window.type("5' 3 1/2\" x 4'")
    once(window, "Enter", "Read as: 5'-3 1/2\" x 4'-0\"")
    once(window, "Up", "change: air")
    for line in ("speed", "toilet", "reached by", "name"):
        once(window, "Up", f"change: {line}")
    once(window, "Enter", "Name (")
    window.type("bar nook")
    once(window, "Enter", "bar nook")
    for line in ("toilet", "speed", "air"):
        once(window, "Down", f"change: {line}")
    once(window, "Down", "SPACE add bar nook")
    window.sees("HANDS")
    once(window, "Enter", "bar nook added.")
    window.press_till("d", "bar nook")
    assert "# kept" in job.read_text(encoding="utf-8")


def test_without_color_in_a_small_window_the_words_are_all_there(windows: list[Terminal], job: Path) -> None:
    window = opened(windows, "plain", job, NO_COLOR="1", TERM="xterm-16color")
    window.sees("HOW IT STANDS")
    window.resize(60, 18)
    shown = window.sees("M R C P E  go")
    assert "NEXT DUE" in shown
    assert "READY" in shown
    window.resize(30, 6)
    window.sees("NEXT DUE")
    window.resize(80, 24)
    window.sees("HOW IT STANDS")


def test_what_one_window_notes_the_other_shows(windows: list[Terminal], job: Path) -> None:
    one = opened(windows, "one", job)
    one.sees("HOW IT STANDS")
    one.sees("AIR")
    other = opened(windows, "other", job)
    other.sees("HOW IT STANDS")
    one.press_till("Space", "started 9:")
    other.sees("HANDS")


def test_a_job_of_ones_own_is_set_up_from_nothing_and_planned(windows: list[Terminal], tmp_path: Path) -> None:
    window = opened(windows, "own", None, FOLDER=str(tmp_path))
    window.sees("Start a job")
    once(window, "1", "question 1 of 6")
    window.type("corner house")
    once(window, "Enter", "question 2 of 6")
    once(window, "Enter", "question 3 of 6")
    once(window, "Enter", "question 4 of 6")
    once(window, "Enter", "question 5 of 6")
    once(window, "Enter", "question 6 of 6")
    once(window, "Enter", "WHAT IS IT")
    once(window, "1", "Level and tile a floor")
    once(window, "1", "Size (")
    window.type("5x4'6\"")
    once(window, "Enter", "SPACE add room 1")
    once(window, "Enter", "Put your own bag numbers in")
    window.sees("HOW IT STANDS")
    assert 'name = "corner house"' in (tmp_path / "corner-house.toml").read_text(encoding="utf-8")


def test_without_a_job_named_the_made_up_one_is_opened_with_one_key(windows: list[Terminal], tmp_path: Path) -> None:
    window = opened(windows, "first", None, FOLDER=str(tmp_path))
    window.sees("Look round a made-up job")
    window.press_till("2", "NEXT DUE")
    window.sees("HOW IT STANDS")
    assert (tmp_path / "guest-house.toml").exists()
