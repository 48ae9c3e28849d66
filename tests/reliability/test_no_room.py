"""The disk is full or read-only: NOT SAVED, nothing acknowledged lost, and on as soon as there is room."""

import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planning.records.atomic import write_text
from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record
from tests.reliability.other_user import run_unprivileged

SEVEN = datetime(2026, 6, 1, 13, tzinfo=UTC)
EVENTS = 60
Tell = Callable[[str], None]


def test_the_disk_may_fill_up_at_any_of_the_first_sixty_events(memory_folder: Path, tell: Tell) -> None:
    memory_folder.chmod(0o777)
    refused, lines = run_unprivileged(lambda: _fill_at_each(memory_folder))
    assert refused == 4 * EVENTS
    assert all("make room" in line and "\n" not in line for line in lines)
    tell(f"disk full: refused at each of {EVENTS} events in {refused} ways, 0 acknowledged lost, next append worked")


def _fill_at_each(folder: Path) -> tuple[int, set[str]]:
    """In a process of its own, because the limit is the process's: how often it refused, and the lines it gave."""
    lines = set()
    refused = 0
    for room in (0, 512, 5_000, 20_000):
        job = folder / f"job{room}.toml"
        with Record.open(job, FrozenClock(SEVEN)) as record:
            for number in range(EVENTS):
                # Always a body larger than the pages at hand, so that the file has to grow.
                body = {"value": f"{number} " + "x" * 60_000}
                limit = room if room < 5_000 else _size(record.path) + room
                line = _refusal(record, body, number, limit)
                lines.add(line)
                refused += bool(line)
                record.append("note", body, event_id=f"n{number}")
                assert [e.id for e in record.events()[1:]] == [f"n{n}" for n in range(number + 1)]
        with Record.open(job, FrozenClock(SEVEN)) as record:
            assert record.trouble is None
            assert len(record.events()) == EVENTS + 1
    return refused, lines


def _size(path: Path) -> int:
    return path.stat().st_size if path.exists() else 0


def _refusal(record: Record, body: dict[str, object], number: int, limit: int) -> str:
    before = record.events()
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, hard))
    try:
        record.append("note", body, event_id=f"n{number}")
    except NotSaved as wrong:
        return wrong.reason
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
        assert record.events()[: len(before)] == before
    return ""


SMALL_DISK = """
import os, sys
from datetime import UTC, datetime
from pathlib import Path
from planning.records.atomic import write_text
from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record

folder = Path(sys.argv[1])
(folder / "ballast").write_bytes(bytes(100_000))
with Record.open(folder / "job.toml", FrozenClock(datetime(2026, 6, 1, tzinfo=UTC))) as record:
    acknowledged = []
    try:
        while True:
            acknowledged.append(record.append("note", {"value": "x" * 3000}).id)
    except NotSaved as wrong:
        print(wrong.reason)
    try:
        write_text(folder / "snapshot.txt", "x" * 200_000)
    except NotSaved as wrong:
        print(wrong.reason)
    os.unlink(folder / "ballast")
    acknowledged.append(record.append("note", {}).id)
with Record.open(folder / "job.toml", FrozenClock(datetime(2026, 6, 1, tzinfo=UTC))) as record:
    assert record.trouble is None
    assert [e.id for e in record.events()[1:]] == acknowledged
    print(len(acknowledged), sorted(os.listdir(folder)))
"""


def test_on_a_real_disk_of_512_kib_it_is_the_same(tmp_path: Path, tell: Tell) -> None:
    unshare = shutil.which("unshare")
    if unshare is None:
        pytest.skip("unshare is not installed")
    mount = f"mount -t tmpfs -o size=512k none {tmp_path} && exec {sys.executable} -c '{SMALL_DISK}' {tmp_path}"
    repository = Path(__file__).parents[2]
    done = subprocess.run([unshare, "-rm", "sh", "-c", mount], capture_output=True, text=True, cwd=repository)
    if "unshare" in done.stderr or "mount" in done.stderr:
        pytest.skip("this system lets nobody mount a disk of his own")
    assert done.returncode == 0, done.stderr
    first, second, last = done.stdout.strip().split("\n")
    assert "make room" in first
    assert "make room" in second
    assert last.endswith("['job.record']")
    tell(f"disk full: 512 KiB disk filled after {last.split()[0]} events, 0 lost, next append worked")


@pytest.fixture
def shared_folder() -> Path:
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o777)
    yield folder
    folder.chmod(0o777)
    shutil.rmtree(folder)


@pytest.mark.parametrize("locked", ["folder", "file", "both"])
def test_read_only_opens_for_viewing_and_refuses_every_write_in_one_line(shared_folder: Path, locked: str) -> None:
    job = shared_folder / "job.toml"
    job.write_text("x")
    run_unprivileged(lambda: _note(job))
    if locked != "folder":
        job.with_suffix(".record").chmod(0o444)
        job.chmod(0o444)
    os.chown(job.with_suffix(".record"), os.getuid(), -1)
    os.chown(job, os.getuid(), -1)
    if locked != "file":
        shared_folder.chmod(0o555)
    else:
        shared_folder.chmod(0o1777)
    events, lines = run_unprivileged(lambda: _try_to_write(job))
    assert events == 2
    assert len(lines) == 12
    assert all("read-only" in line and "\n" not in line for line in lines), lines


def _note(job: Path) -> None:
    with Record.open(job, FrozenClock(SEVEN)) as record:
        record.append("note", {})


def _try_to_write(job: Path) -> tuple[int, list[str]]:
    lines = []
    with Record.open(job, FrozenClock(SEVEN)) as record:
        lines.append(record.trouble or "no banner")
        for _ in range(10):
            try:
                record.append("note", {})
            except NotSaved as wrong:
                lines.append(wrong.reason)
        count = len(record.events())
    try:
        write_text(job, "new")
    except NotSaved as wrong:
        lines.append(wrong.reason)
    return count, lines
