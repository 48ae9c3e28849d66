"""kill -9 in the middle of a session in a real terminal: the next start shows the running clocks as they are."""

import re
from collections.abc import Callable, Iterator
from datetime import timedelta
from math import ceil
from pathlib import Path

import pytest

from planning.job.hours import local
from planning.records.clock import FrozenClock, SystemClock
from planning.records.job_file import read_job
from planning.records.record import Record
from planning.records.saved_plan import read_saved
from tests.job_files import floor
from tests.journeys.small_job import job_where_it_is_nine
from tests.journeys.terminal import Terminal, tmux_there

pytestmark = pytest.mark.skipif(not tmux_there(), reason="tmux is not installed")

PRIME, POUR = "pantry/level-and-tile-floor/prime", "pantry/level-and-tile-floor/pour"
AXIS_MIN = 5
"""Plans round waits up to so many minutes."""
BEFORE = ("protect", "tear-out", "screws", "dams", "heights")
CLOCK = re.compile(r"POUR\s+(?P<state>[A-Z ]+?)\s+(?P<at>\d+:\d\d)\s+(?P<left>\d+ (?:min|h ?\d*))", re.MULTILINE)
MINUTES = re.compile(r"(?:(\d+) h)? ?(?:(\d+)(?: min)?)?")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A job whose pantry is ready for its prime coat, after which the pour has a window."""
    pantry = floor("pantry", "6 x 5 ft", "level-and-tile-floor", depth="1/4 in", joint="1/8 in")
    path = job_where_it_is_nine(tmp_path, "corner house", pantry)
    now = SystemClock().wall()
    with Record.open(path, FrozenClock(now)) as record:
        for number, step in enumerate(BEFORE):
            begun = now - timedelta(minutes=100 - 15 * number)
            name = f"pantry/level-and-tile-floor/{step}"
            record.append("started", {"step": name}, at=begun)
            record.append("finished", {"step": name}, at=begun + timedelta(minutes=12))
            record.append("note", {"step": name, "value": "as it should be"})
    return path


@pytest.fixture
def terminal(job: Path) -> Iterator[Terminal]:
    made = Terminal("killed", 80, 24, job)
    made.start()
    yield made
    made.close()


def minutes(words: str) -> int:
    found = MINUTES.match(words)
    assert found is not None
    return 60 * int(found[1] or 0) + int(found[2] or 0)


def opens_at(job: Path) -> str:
    """When the pour opens, from the record and the wait of the saved plan alone."""
    read, problems = read_job(job)
    assert read is not None, problems
    with Record.open(job, SystemClock(), read_only=True) as record:
        assert record.trouble is None
        (noted,) = [e for e in record.events() if e.kind == "finished" and e.body.get("step") == PRIME]
    saved = read_saved(job)
    assert saved is not None
    # Not the link's own wait: it is rounded to the axis from the finish of its plan, and that plan may be an older one.
    wait = next(ceil(link.label_min * link.factor) for link in saved.plan.step(POUR).after if link.id == PRIME)
    opens = local(read.zone, -(-(noted.minute + wait) // AXIS_MIN) * AXIS_MIN)
    return f"{(opens.hour + 11) % 12 + 1}:{opens.minute:02d}"


def clock_of_the_pour(terminal: Terminal, at: str) -> tuple[str, int, int]:
    """(state, minutes left, minute of the hour now) of the pour's clock on the screen, once it says that time."""
    terminal.press_till("c", "Closing the lid is fine")
    shown = terminal.sees(f" {at} ")
    found = CLOCK.search(shown)
    assert found is not None, shown
    assert found["at"] == at, shown
    now = re.search(r"(\d+):(\d\d)", shown.splitlines()[0])
    assert now is not None
    return found["state"], minutes(found["left"]), int(now[2])


def test_after_kill_9_the_next_start_shows_the_clocks_that_run(
    terminal: Terminal, job: Path, tell: Callable[[str], None]
) -> None:
    terminal.sees("SPACE start PRIME")
    terminal.press_till("Space", "started 9:")
    terminal.press_till("Space", "SPACE = finish, U = it never started.")
    terminal.press_till("Space", " done 9:")
    at = opens_at(job)
    state, left, then = clock_of_the_pour(terminal, at)

    terminal.kill()
    terminal.sees("LEFT WITH 137")
    assert opens_at(job) == at
    terminal.start_again()
    terminal.sees("saved 9:")
    again, left_again, now = clock_of_the_pour(terminal, at)
    passed = (now - then) % 60
    assert left_again == left - passed, "the clock ran on while nobody looked"
    assert again == state or passed > 0
    tell(f"kill -9 in a session: POUR opens {at}, {left} min left; after the next start {left_again} min left")
    terminal.press_till("q", "LEFT WITH 0")
