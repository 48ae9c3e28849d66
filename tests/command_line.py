"""The command line as tests run it: in this process, or as the real command; and a planner that is done at once."""

import contextlib
import io
import os
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from planning.job.choice import Choice
from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.schedule.make_plan import make_plan
from tui.__main__ import main

ROOT = Path(__file__).parents[1]
SEVEN = datetime(2026, 6, 1, 13, tzinfo=UTC)
ENVIRON = {**os.environ, "PYTHONPATH": str(ROOT)}


@dataclass
class Said:
    """How a command ended and what it said."""

    code: int
    out: str
    err: str
    seconds: float


def in_process(words: Sequence[object]) -> Said:
    """Run `main` here, with what it prints kept; `seconds` are the processor's."""
    raw, err = io.BytesIO(), io.StringIO()
    out = io.TextIOWrapper(raw, "utf-8", "replace")
    begun = time.process_time()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([str(word) for word in words])
    seconds = time.process_time() - begun
    out.flush()
    return Said(code, raw.getvalue().decode("utf-8", "replace"), err.getvalue(), seconds)


def real(words: Sequence[object], folder: Path) -> Said:
    """Run the real command in a process of its own."""
    begun = time.monotonic()
    done = subprocess.run(
        command(words), capture_output=True, cwd=folder, timeout=60,
        env=ENVIRON, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    return Said(done.returncode, done.stdout.decode(), done.stderr.decode(), time.monotonic() - begun)


def command(words: Sequence[object]) -> list[str]:
    """The real command line."""
    return [sys.executable, "-m", "tui", *map(str, words)]


class AtOnce:
    """A planner that gives the first plan it finds, and one way on: put it in the place of `HerePlanner`."""

    def plan(self, job: Job, events: Sequence[Event], now: Instant) -> Plan:
        return make_plan(job, events, now, improve=False)

    def choices(self, job: Job, events: Sequence[Event], now: Instant) -> list[Choice]:
        plan = self.plan(job, events, now)
        return [Choice("go on", "nothing", plan.finish, plan)]
