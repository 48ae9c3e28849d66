"""The modes that make a commit last are really on, down to the system calls."""

import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planning.records import record_file
from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record

NOTE = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from planning.records.clock import FrozenClock
from planning.records.record import Record
with Record.open(Path(sys.argv[1]), FrozenClock(datetime(2026, 6, 1, tzinfo=UTC))) as record:
    for number in range(int(sys.argv[2])):
        record.append("note", {"value": number})
"""


def test_every_way_of_opening_to_write_has_the_safe_modes(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    for _ in range(3):
        with Record.open(job, FrozenClock(datetime(2026, 6, 1, tzinfo=UTC))) as record:
            record.append("note", {})
            assert record._link is not None
            assert record_file.modes(record._link) == ("truncate", 3)


def test_a_system_that_refuses_the_safe_modes_is_not_written_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(record_file, "modes", lambda _link: ("memory", 0))
    with Record.open(tmp_path / "job.toml", FrozenClock(datetime(2026, 6, 1, tzinfo=UTC))) as record:
        with pytest.raises(NotSaved, match="refuses the safe way"):
            record.append("note", {})
        assert record.events() == ()


def test_each_commit_makes_four_system_calls_that_reach_the_disk(tmp_path: Path, tell: Callable[[str], None]) -> None:
    if shutil.which("strace") is None:
        pytest.skip("strace is not installed")
    one, eleven = (_syncs(tmp_path / f"job{count}.toml", count) for count in (1, 11))
    if one is None or eleven is None:
        pytest.skip("this system lets nobody trace a process")
    tell(f"safe modes: {(eleven - one) / 10:.1f} syncs a commit, seen by strace")
    assert eleven - one >= 40


def _syncs(job: Path, count: int) -> int | None:
    log = job.with_suffix(".strace")
    command = ["strace", "-f", "-e", "trace=fsync,fdatasync", "-o", str(log), sys.executable, "-c", NOTE, str(job)]
    done = subprocess.run([*command, str(count)], capture_output=True, text=True, cwd=Path(__file__).parents[2])
    if "ptrace" in done.stderr:
        return None
    assert done.returncode == 0, done.stderr
    return len(re.findall(r"\bf(?:data)?sync\(", log.read_text()))
