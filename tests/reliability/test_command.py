"""The same promises through the real command: `mudday note` killed at random, and damaged files on its command line."""

import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from planning.records.clock import FrozenClock
from planning.records.record import Record
from tests.reliability.sizes import SIZES

ROOT = Path(__file__).parents[2]
SEVEN = datetime(2026, 6, 1, 13, tzinfo=UTC)
Tell = Callable[[str], None]

JOB = """\
[job]
name = "one floor"
zone = "America/Denver"
start = 2026-06-01
[hours]
from = "7:00"
to = "15:30"
[[person]]
name = "you"
can = ["all"]
[[room]]
id = "laundry"
size = "8 x 6 ft"
in_from = ["outside"]
  [[room.do]]
  method = "plain-tile-floor"
  tile = "12 x 24 x 3/8 in"
"""


def command(*words: object) -> list[str]:
    return [sys.executable, "-m", "tui", *map(str, words)]


def run(*words: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command(*words), capture_output=True, text=True, cwd=ROOT)


def notes(job: Path) -> list[str]:
    with Record.open(job, FrozenClock(SEVEN)) as record:
        assert record.trouble is None
        return [str(event.body.get("value")) for event in record.events() if event.kind == "note"]


def test_a_note_that_was_answered_is_there_whenever_the_command_is_killed(memory_folder: Path, tell: Tell) -> None:
    job = memory_folder / "floor.toml"
    job.write_text(JOB)
    begun = time.monotonic()
    first = run("note", job, "note", "laundry", "first")
    usual = time.monotonic() - begun
    assert first.returncode == 0, first.stderr
    moments = [0.15 + 1.85 * number / SIZES.command_kills for number in range(SIZES.command_kills)]
    random.Random(12).shuffle(moments)
    answered, killed = ["first"], 0
    for number, moment in enumerate(moments):
        child = subprocess.Popen(
            command("note", job, "note", "laundry", f"n{number}"),
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        try:
            child.communicate(timeout=usual * moment)
        except subprocess.TimeoutExpired:
            child.send_signal(signal.SIGKILL)
            child.communicate()
            killed += 1
        if child.returncode == 0:
            answered.append(f"n{number}")
        found = notes(job)
        assert [value for value in found if value in answered] == answered
        assert len(found) == len(set(found))
    last = run("note", job, "note", "laundry", "last")
    assert last.returncode == 0, last.stderr
    assert notes(job)[-1] == "last"
    tell(
        f"mudday note: {SIZES.command_kills} runs, {killed} killed, {len(answered)} answered, 0 lost,"
        " the next one works"
    )
    assert killed > 0


def test_a_damaged_record_is_one_line_and_exit_code_2(memory_folder: Path) -> None:
    job = memory_folder / "floor.toml"
    job.write_text(JOB)
    with Record.open(job, FrozenClock(SEVEN)) as record:
        record.append("note", {"room": "laundry", "value": "first"})
    path = job.with_suffix(".record")
    damaged = path.read_bytes().replace(b"first", b"f1rst")
    path.write_bytes(damaged)
    job.with_suffix(".plan.json").write_bytes(b"\xff not a plan")
    done = run("note", job, "note", "laundry", "second")
    assert done.returncode == 2
    lines = done.stderr.strip().split("\n")
    assert len(lines) == 1
    assert "damaged" in lines[0]
    assert "Traceback" not in done.stderr + done.stdout
    assert path.read_bytes() == damaged
    shown = run("record", job)
    assert "Traceback" not in shown.stderr + shown.stdout
