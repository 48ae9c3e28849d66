"""A morning through the real program: read, started, finished, late, the new plan taken, undone; killed and back."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journeys.small_job import job_where_it_is_nine
from tests.journeys.terminal import Terminal, tmux_there

pytestmark = pytest.mark.skipif(not tmux_there(), reason="tmux is not installed")


@pytest.fixture(params=[(80, 24), (120, 40)], ids=["80x24", "120x40"])
def terminal(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Terminal]:
    width, height = request.param
    made = Terminal(f"morning-{width}", width, height, job_where_it_is_nine(tmp_path, "corner house"))
    made.start()
    yield made
    made.close()


def test_read_started_finished_late_taken_undone_killed_and_back(terminal: Terminal) -> None:
    shown = terminal.sees("HOW IT STANDS")
    assert "corner house" in shown.splitlines()[0]
    assert "READY" in shown
    assert "SPACE start" in terminal.sees("SPACE start")
    terminal.press_till("Space", "started 9:")
    assert "SPACE finish" in terminal.screen()

    terminal.press("l")
    terminal.sees("late by:")
    terminal.press("4")
    terminal.sees("40 min later")
    terminal.press_till("Enter", "PICK ONE")
    assert "JOB DONE" in terminal.screen()
    terminal.press_till("Enter", "Taken. U brings the old plan back whole.")
    terminal.press_till("u", "Undone: plan taken")
    terminal.sees("A choice waits")
    terminal.press_till("u", "40 min late. H = have it back")

    terminal.press_till("Space", "SPACE = finish, U = it never started.")
    terminal.press_till("Space", " done 9:")

    terminal.kill()
    terminal.sees("LEFT WITH 137")
    terminal.start_again()
    shown = terminal.sees("saved 9:")
    assert "HOW IT STANDS" in shown or "pantry" in shown
    terminal.press_till("y", "DONE")

    terminal.press_till("q", "LEFT WITH 0")
