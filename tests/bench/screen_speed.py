"""How fast and how calm the screen is: `python -m tests.bench.screen_speed`. Prints one line a measurement.

First picture against a bare textual program in the same run (interleaved, least of ten); key to last byte with 8 rooms
of 150 steps, alone and beside a solver; processor at rest; memory. Linux only: it uses pseudo-terminals and /proc.
"""

import fcntl
import json
import os
import pty
import random
import select
import signal
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from tests.bench.screen_big import ZONE, save_big

ROOT = Path(__file__).parents[2]
SIZE = (120, 40)
QUIET_S = 0.03
HELLO = """
from textual.app import App
from textual.widgets import Static
class Hello(App):
    def compose(self):
        yield Static("HELLO-THERE")
Hello().run()
"""


class Program:
    """A program in a pseudo-terminal."""

    def __init__(self, *args: str) -> None:
        self.begun = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.chdir(ROOT)
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor")
            os.execv(sys.executable, [sys.executable, *args])
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", SIZE[1], SIZE[0], 0, 0))

    def wait_for(self, word: bytes) -> float:
        """Seconds from the start until the word was written."""
        seen = b""
        while word not in seen:
            seen += os.read(self.fd, 65536)
        return time.perf_counter() - self.begun

    def key(self, data: bytes) -> float:
        """Milliseconds from a key to the last byte that it brought."""
        self.drain(QUIET_S)
        start = time.perf_counter()
        os.write(self.fd, data)
        last = self.drain(QUIET_S, first_s=0.5)
        return (last - start) * 1000

    def drain(self, quiet_s: float, first_s: float | None = None) -> float:
        """Read until nothing comes; returns when the last byte came."""
        last = time.perf_counter()
        patience = quiet_s if first_s is None else first_s
        while select.select([self.fd], [], [], patience)[0]:
            os.read(self.fd, 65536)
            last, patience = time.perf_counter(), quiet_s
        return last

    def cpu_s(self) -> float:
        """Processor seconds used so far."""
        fields = Path(f"/proc/{self.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def rss_mb(self) -> float:
        """Resident memory in megabytes."""
        lines = Path(f"/proc/{self.pid}/status").read_text().splitlines()
        return int(next(line for line in lines if line.startswith("VmRSS")).split()[1]) / 1024

    def end(self) -> None:
        """End it."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.fd)


def first_picture(job: Path, word: str) -> None:
    """Least of ten, interleaved."""
    ours: list[float] = []
    bare: list[float] = []
    for _ in range(10):
        for found, args, marker in (
            (bare, ("-c", HELLO), "HELLO-THERE"),
            (ours, ("-m", "tui", str(job)), f"{word} room"),
        ):
            program = Program(*args)
            found.append(program.wait_for(marker.encode()) * 1000)
            program.end()
    print(f"first picture {min(ours):.0f} ms, bare textual {min(bare):.0f} ms: {min(ours) / min(bare):.2f} times"
          f" (median {statistics.median(ours):.0f} and {statistics.median(bare):.0f})")  # fmt: skip


def keys(program: Program, name: str, count: int = 60) -> None:
    """Arrow keys on Rooms."""
    took = sorted(program.key((b"\x1b[C", b"\x1b[B", b"\x1b[D", b"\x1b[A")[n % 4]) for n in range(count))
    p95 = took[int(count * 0.95)]
    print(f"key to last byte, {name}: median {took[count // 2]:.1f} ms, p95 {p95:.1f}, max {took[-1]:.1f}")


def solving() -> subprocess.Popen[bytes]:
    """A helper process that plans a demo job."""
    helper = subprocess.Popen(
        [sys.executable, "-m", "tui.plan_process"], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL
    )
    now = int(datetime(2026, 6, 1, 7, 5, tzinfo=ZoneInfo(ZONE)).timestamp() // 60)
    job = str(ROOT / "demo_jobs" / "inn-floor.toml")
    assert helper.stdin is not None
    helper.stdin.write(json.dumps({"id": 1, "ask": "plan", "path": job, "events": [], "now": now}).encode() + b"\n")
    helper.stdin.flush()
    return helper


def main() -> None:
    """Measure everything once."""
    word = "q" + "".join(random.choice("bcdfghjklm") for _ in range(5))
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "big.toml"
        save_big(job, word)
        first_picture(job, word)
        program = Program("-m", "tests.bench.screen_big", str(job))
        program.wait_for(f"{word} room".encode())
        program.key(b"r")
        keys(program, "alone")
        helper = solving()
        time.sleep(3)  # the solver has to be at work before anything can be measured beside it
        keys(program, "beside a solver")
        helper.kill()
        helper.wait()
        before, begun = program.cpu_s(), time.perf_counter()
        program.drain(10.0)
        print(f"at rest {100 * (program.cpu_s() - before) / (time.perf_counter() - begun):.2f} % of a core")
        print(f"memory {program.rss_mb():.0f} MB")
        program.end()


if __name__ == "__main__":
    main()
