"""The records work where Unix's own modules, clocks and flags do not exist."""

import subprocess
import sys
from pathlib import Path

WITHOUT_UNIX = """
import os, sys, time
for name in ("fcntl", "pwd", "grp", "resource", "termios", "tty", "pty", "syslog"):
    sys.modules[name] = None
for name in ("clock_gettime", "CLOCK_BOOTTIME", "CLOCK_MONOTONIC"):
    delattr(time, name)
for name in ("O_DIRECTORY", "O_NOFOLLOW", "fork", "getuid", "setuid", "geteuid"):
    delattr(os, name)

from pathlib import Path
from planning.records.atomic import write_text
from planning.records.clock import SystemClock
from planning.records.clock_change import watch_record
from planning.records.record import Record
from planning.records.rescue import rescue
from planning.records.saved_plan import read_saved
from planning.records.transfer import export, import_

folder = Path(sys.argv[1])
(folder / "office").mkdir()
job = folder / "house.toml"
write_text(job, "x")
with Record.open(job, SystemClock()) as record:
    watch_record(record)
    record.append("note", {"value": "1"})
done = import_(export(job), folder / "office")
assert read_saved(job) is None
(folder / "house.record").write_bytes(b"damaged")
assert rescue(job, SystemClock()).events == 2
print(done.added)
"""


def test_they_work_without_what_only_unix_has(tmp_path: Path) -> None:
    done = subprocess.run([sys.executable, "-c", WITHOUT_UNIX, str(tmp_path)], capture_output=True, text=True)
    assert (done.stdout.strip(), done.stderr) == ("2", "")


def test_the_times_come_from_one_clock_alone() -> None:
    folder = Path(__file__).parents[3] / "planning" / "records"
    asking = ("datetime.now(", "time.time(", "time.monotonic", "clock_gettime(", ".utcnow(", "sleep(")
    found = {path.name for path in folder.glob("*.py") for word in asking if word in path.read_text(encoding="utf-8")}
    assert found == {"clock.py"}
