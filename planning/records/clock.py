"""The only clock of the project: wall time, time since boot that also runs in sleep, and a watch on both."""

import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol

JUMP_S = 5.0
"""Wall time and boot time may differ by this much before we say that the clock was changed."""

SLEW_PER_S = 0.0005
"""A time service moves a clock softly by at most 500 parts in a million; that much we follow without a word."""


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
class ClockNews:
    """What one look found. `jump_s`: the wall clock was set forward (+) or back (-) by so many seconds, 0 if not.
    `gap_s`: nobody looked for so long (the lid was closed, the program was held), 0 if not.
    """

    jump_s: float = 0.0
    gap_s: float = 0.0


class ClockWatch:
    """A clock that watches another. It is a Clock itself, so whatever takes a Clock takes the watch.

    `wall()` counts real seconds from when the watch began: a jump of the inner clock does not move it until somebody
    says which clock is right (`settle`). While that is open the true time lies somewhere from `earliest()` (ask this
    before calling a cure done) to `latest()` (ask this before calling a window still open).

    `doubt_s` at the start: how far the inner clock is already ahead of what the record says (`Record.doubt`).
    Where the system's boot time stops in sleep, a sleep looks like a jump forward, and the setter is asked.
    """

    def __init__(self, clock: Clock, doubt_s: float = 0.0, tick_s: float = 1.0) -> None:
        self._clock = clock
        self._tick_s = tick_s
        self._base = self._raw_base() - doubt_s
        self._last_boot = clock.boot()
        self._told = 0.0

    def _raw_base(self) -> float:
        return self._clock.wall().timestamp() - self._clock.boot()

    @property
    def counted_base(self) -> float:
        """What counted time says it was (seconds since 1970) when boot time was 0: the name of this run of it."""
        return self._base

    @property
    def doubt_s(self) -> float:
        """Seconds by which the inner wall clock is ahead (+) or behind (-) of counted time; 0 within 5 s."""
        off = self._raw_base() - self._base
        return off if abs(off) > JUMP_S else 0.0

    def wall(self) -> datetime:
        """Counted time: the inner wall clock, or what it would say had it not jumped."""
        if not self.doubt_s:
            return self._clock.wall()
        return datetime.fromtimestamp(self._base + self._clock.boot(), UTC)

    def boot(self) -> float:
        """The inner clock's boot time."""
        return self._clock.boot()

    def boot_id(self) -> str:
        """The inner clock's boot."""
        return self._clock.boot_id()

    def earliest(self) -> datetime:
        """The earliest that it can be now."""
        return min(self.wall(), self._clock.wall())

    def latest(self) -> datetime:
        """The latest that it can be now."""
        return max(self.wall(), self._clock.wall())

    def look(self) -> ClockNews | None:
        """Call once a tick: what is new since the last look, or None. A jump is told once."""
        boot = self._clock.boot()
        passed = boot - self._last_boot
        self._last_boot = boot
        gap = passed if passed > self._tick_s + JUMP_S else 0.0
        doubt = self.doubt_s
        jump = doubt - self._told if abs(doubt - self._told) > JUMP_S else 0.0
        if jump:
            self._told = doubt
        if not doubt:
            self._follow(passed)
        return ClockNews(jump, gap) if jump or gap else None

    def _follow(self, passed: float) -> None:
        most = max(passed, 0.0) * SLEW_PER_S
        self._base += min(max(self._raw_base() - self._base, -most), most)

    @contextmanager
    def settling(self, trust_wall: bool) -> Iterator[float]:
        """`settle` for as long as it takes to save the answer: taken back when that raises."""
        kept = self._clock, self._base, self._told
        try:
            yield self.settle(trust_wall)
        except BaseException:
            self._clock, self._base, self._told = kept
            raise

    def settle(self, trust_wall: bool) -> float:
        """Somebody said which clock is right. Returns by how many seconds earlier notes must move (0: not at all).

        `trust_wall` True: the clock on the wall is right now, so what was noted on counted time was off by the
        doubt. False: counted time was right; the jump of the wall clock is left out from here on.
        """
        doubt = self.doubt_s
        if not trust_wall:
            self._clock = _Offset(self._clock, -doubt)
        self._base = self._raw_base()
        self._told = 0.0
        return doubt if trust_wall else 0.0


class _Offset:
    """A clock whose wall time is corrected by a fixed amount."""

    def __init__(self, clock: Clock, by_s: float) -> None:
        self._clock = clock
        self._by = timedelta(seconds=by_s)

    def wall(self) -> datetime:
        return self._clock.wall() + self._by

    def boot(self) -> float:
        return self._clock.boot()

    def boot_id(self) -> str:
        return self._clock.boot_id()


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
