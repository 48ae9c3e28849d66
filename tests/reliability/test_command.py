"""The same promises through the command: `mudday note` killed at random, a damaged record, a lock, a full disk."""

import random
import resource
import signal
import sqlite3
import subprocess
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from planning.records.clock import FrozenClock
from planning.records.record import Record
from tests.command_line import ENVIRON, SEVEN, Said, command, in_process, real
from tests.job_files import ONE_FLOOR
from tests.reliability.other_user import run_unprivileged
from tests.reliability.sizes import SIZES

Tell = Callable[[str], None]


@pytest.fixture
def job(memory_folder: Path) -> Path:
    path = memory_folder / "floor.toml"
    path.write_text(ONE_FLOOR)
    return path


def notes(job: Path) -> list[str]:
    with Record.open(job, FrozenClock(SEVEN)) as record:
        assert record.trouble is None
        return [str(event.body.get("value")) for event in record.events() if event.kind == "note"]


def test_a_note_that_was_answered_is_there_whenever_the_command_is_killed(job: Path, tell: Tell) -> None:
    begun = time.monotonic()
    first = real(["note", job, "note", "laundry", "first"], job.parent)
    usual = time.monotonic() - begun
    assert first.code == 0, first.err
    moments = [0.15 + 1.85 * number / SIZES.command_kills for number in range(SIZES.command_kills)]
    random.Random(12).shuffle(moments)
    answered, killed = ["first"], 0
    for number, moment in enumerate(moments):
        child = subprocess.Popen(
            command(["note", job, "note", "laundry", f"n{number}"]), env=ENVIRON,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )  # fmt: skip
        try:
            out, _ = child.communicate(timeout=usual * moment)
        except subprocess.TimeoutExpired:
            child.send_signal(signal.SIGKILL)
            out, _ = child.communicate()
            killed += 1
        if b"Noted: " in out:
            answered.append(f"n{number}")
        found = notes(job)
        assert [value for value in found if value in answered] == answered
        assert len(found) == len(set(found))
    last = in_process(["note", job, "note", "laundry", "last"])
    assert last.code == 0, last.err
    assert notes(job)[-1] == "last"
    tell(
        f"mudday note: {SIZES.command_kills} runs, {killed} killed, {len(answered)} answered, 0 lost,"
        " the next one works"
    )
    assert killed > 0


def is_one_line(said: Said, words: str) -> None:
    """The command refused, and said why in one line."""
    assert said.code == 2
    assert said.out == ""
    lines = said.err.strip().split("\n")
    assert len(lines) == 1
    assert words in lines[0]


def test_a_damaged_record_is_one_line_and_exit_code_2(job: Path) -> None:
    with Record.open(job, FrozenClock(SEVEN)) as record:
        record.append("note", {"room": "laundry", "value": "first"})
    path = job.with_suffix(".record")
    damaged = path.read_bytes().replace(b"first", b"f1rst")
    path.write_bytes(damaged)
    job.with_suffix(".plan.json").write_bytes(b"\xff not a plan")
    is_one_line(in_process(["note", job, "note", "laundry", "second"]), "damaged")
    assert path.read_bytes() == damaged
    shown = in_process(["record", job])
    assert shown.code == 0
    assert "damaged" in shown.err
    assert "NOT SAVED" not in shown.out


@pytest.mark.parametrize("command", ["record", "plan", "snapshot"])
def test_a_record_cut_to_nothing_is_said_by_every_command_that_shows_it(job: Path, command: str) -> None:
    assert in_process(["note", job, "note", "laundry", "first"]).code == 0
    assert in_process(["export", job]).code == 0
    job.with_suffix(".record").write_bytes(b"")
    shown = in_process([command, job, "--now", "2026-06-01T06:58"])
    lines = shown.err.strip().split("\n")
    assert len(lines) == 1
    said = "floor.record is empty, but floor.mudday.txt tells of 2 events: put it back or run mudday rescue"
    assert said in lines[0]
    is_one_line(in_process(["note", job, "note", "laundry", "second"]), "is empty, but")
    assert in_process(["rescue", job]).code == 0
    assert notes(job)[0] == "first"


def test_a_record_another_window_holds_is_one_line_and_the_next_try_works(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("planning.records.record_file.TIMEOUT_S", 0.1)
    assert in_process(["note", job, "note", "laundry", "first"]).code == 0
    other = sqlite3.connect(job.with_suffix(".record"), isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    is_one_line(in_process(["note", job, "note", "laundry", "second"]), "another window is writing")
    other.execute("ROLLBACK")
    other.close()
    assert in_process(["note", job, "note", "laundry", "second"]).code == 0
    assert notes(job) == ["first", "second"]


def test_a_full_disk_is_one_line_and_with_room_again_the_next_try_works(job: Path) -> None:
    assert in_process(["note", job, "note", "laundry", "first"]).code == 0
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        refused = in_process(["note", job, "note", "laundry", "second"])
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    is_one_line(refused, "make room, then do it again")
    assert in_process(["note", job, "note", "laundry", "second"]).code == 0
    assert notes(job) == ["first", "second"]


def test_in_a_read_only_folder_it_shows_and_a_note_is_refused_in_one_line(job: Path) -> None:
    assert in_process(["note", job, "note", "laundry", "first"]).code == 0
    for path in (job, job.with_suffix(".record")):
        path.chmod(0o444)
    job.parent.chmod(0o555)
    shown, refused = run_unprivileged(lambda: (in_process(["record", job]), in_process(["note", job, "note", "x"])))
    job.parent.chmod(0o755)
    assert shown.code == 0
    assert "first" in shown.out
    is_one_line(refused, "read-only")
