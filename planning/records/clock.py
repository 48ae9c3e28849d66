"""The only clock of the project: wall time, and time since boot that also runs in sleep. See clock_watch too."""

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol

JUMP_S = 5.0
"""Wall time and boot time may differ by this much before we say that the clock was changed."""


class Clock(Protocol):
    """Where all times come from."""

    def wall(self) -> datetime:
        """What the clock on the wall says, aware, in UTC."""
        ...

    def boot(self) -> float:
        """Seconds since some fixed moment before; runs while the machine sleeps, never jumps."""
        ...

    def boot_id(self) -> str:
        """The same text as long as `boot` counts from the same moment; "" when that cannot be told."""
        ...


def _boot_seconds() -> Callable[[], float]:
    # CLOCK_BOOTTIME (Linux) counts through suspend. On macOS CLOCK_MONOTONIC does, time.monotonic does not; on Windows
    # time.monotonic does (both from memory, not tried on those systems).
    for name in ("CLOCK_BOOTTIME", "CLOCK_MONOTONIC"):
        number = getattr(time, name, None)
        if number is not None and hasattr(time, "clock_gettime"):
            return lambda: time.clock_gettime(number)
    return time.monotonic


def _system_boot_id() -> str:
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text("ascii").strip()[:8]
    except (OSError, ValueError):
        return ""


class SystemClock:
    """The machine's own clocks."""

    def __init__(self) -> None:
        self._boot = _boot_seconds()
        self._boot_id = _system_boot_id() or f"run-{os.urandom(4).hex()}"

    def wall(self) -> datetime:
        """Now, aware, in UTC."""
        return datetime.now(UTC)

    def boot(self) -> float:
        """Seconds since boot, sleep counted where the system can."""
        return self._boot()

    def boot_id(self) -> str:
        """The system's own name of this boot (Linux), shortened; elsewhere a name for this run of the program."""
        return self._boot_id


class FrozenClock:
    """A clock that moves only when told to, wall and boot apart: for tests and for `--now`."""

    def __init__(self, start: datetime, boot: float = 0.0, boot_id: str = "") -> None:
        if start.tzinfo is None:
            raise ValueError(f"time {start} has no zone; give an aware datetime")
        self._wall = start.astimezone(UTC)
        self._boot = boot
        self._boot_id = boot_id

    def wall(self) -> datetime:
        """The frozen wall time."""
        return self._wall

    def boot(self) -> float:
        """The frozen boot time."""
        return self._boot

    def boot_id(self) -> str:
        """The name given at the start."""
        return self._boot_id

    def advance(self, seconds: float) -> None:
        """Real time passes: both clocks move."""
        self._wall += timedelta(seconds=seconds)
        self._boot += seconds

    def jump_wall(self, seconds: float) -> None:
        """Somebody sets the clock on the wall; no time passes."""
        self._wall += timedelta(seconds=seconds)


@dataclass(frozen=True, slots=True)
class Mark:
    """Wall and boot time read together when something was noted."""

    wall: datetime
    boot: float
    boot_id: str


def doubt_since(mark: Mark | None, clock: Clock) -> float:
    """By how many seconds the clock is ahead (+) or behind (-) of what an earlier mark allows; 0: no reason to doubt.

    Within one boot any jump shows. After a new boot only a clock that stands before the mark shows: a clock that was
    set forward while the machine was off cannot be told from time that passed.
    """
    if mark is None:
        return 0.0
    passed = (clock.wall() - mark.wall).total_seconds()
    same_boot = mark.boot_id != "" and mark.boot_id == clock.boot_id()
    off = passed - (clock.boot() - mark.boot) if same_boot else min(passed, 0.0)
    return off if abs(off) > JUMP_S else 0.0
