"""A watch on a clock: counts real seconds through every jump, until somebody says which time is right."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta

from planning.records.clock import JUMP_S, Clock

SLEW_PER_S = 0.0005
"""A time service moves a clock softly by at most 500 parts in a million; that much we follow without a word."""


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
        self._wrong_s = 0.0
        self._last_boot = clock.boot()
        self._told = 0.0

    def _raw_base(self) -> float:
        return self._clock.wall().timestamp() - self._clock.boot()

    def _ahead_s(self) -> float:
        """By how much the inner clock is ahead of counted time."""
        return self._raw_base() - self._base

    @property
    def counted_base(self) -> float:
        """What counted time says it was (seconds since 1970) when boot time was 0: the name of this run of it."""
        return self._base

    @property
    def doubt_s(self) -> float:
        """Seconds by which the inner wall clock is ahead (+) or behind (-) of counted time, with nobody having said
        which is right; 0 within 5 s.
        """
        ahead = self._ahead_s()
        return 0.0 if abs(ahead) <= JUMP_S or self._known_wrong(ahead) else ahead

    def _known_wrong(self, ahead: float) -> bool:
        return self._wrong_s != 0 and abs(ahead - self._wrong_s) <= JUMP_S

    def wall(self) -> datetime:
        """Counted time: the inner wall clock, or what it would say had it not jumped."""
        ahead = self._ahead_s()
        return self._clock.wall() if abs(ahead) <= JUMP_S else self._clock.wall() - _milliseconds(ahead)

    def inner_wall(self) -> datetime:
        """What the inner clock says, right or wrong."""
        return self._clock.wall()

    def boot(self) -> float:
        """The inner clock's boot time."""
        return self._clock.boot()

    def boot_id(self) -> str:
        """The inner clock's boot."""
        return self._clock.boot_id()

    def earliest(self) -> datetime:
        """The earliest that it can be now."""
        return min(self.wall(), self._clock.wall()) if self.doubt_s else self.wall()

    def latest(self) -> datetime:
        """The latest that it can be now."""
        return max(self.wall(), self._clock.wall()) if self.doubt_s else self.wall()

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
        ahead = self._ahead_s()
        if abs(ahead) <= JUMP_S:
            # A clock that was wrong and was put right is a clock like any other again.
            self._wrong_s = 0.0
        most = max(passed, 0.0) * SLEW_PER_S
        self._base += min(max(ahead - self._wrong_s, -most), most)

    def put_back(self, ahead_s: float) -> None:
        """Something from outside (the record) says that counted time is so many seconds ahead of the truth."""
        self._base -= ahead_s

    def take_over(self, base: float, wall_is_wrong: bool) -> None:
        """Another window was told which time is right: count as it does. `base`: its `counted_base`."""
        self._base = base
        self._wrong_s = self._ahead_s() if wall_is_wrong else 0.0
        self._told = self.doubt_s

    @contextmanager
    def settling(self, trust_wall: bool) -> Iterator[float]:
        """`settle` for as long as it takes to save the answer: taken back when that raises."""
        kept = self._base, self._wrong_s, self._told
        try:
            yield self.settle(trust_wall)
        except BaseException:
            self._base, self._wrong_s, self._told = kept
            raise

    def settle(self, trust_wall: bool) -> float:
        """Somebody said which clock is right. Returns by how many seconds earlier notes must move (0: not at all).

        `trust_wall` True: the clock on the wall is right now, so what was noted on counted time was off by the
        doubt. False: counted time was right; the inner clock is known to be wrong until it moves again.
        """
        doubt = self.doubt_s
        if not doubt:
            return 0.0
        if trust_wall:
            self._base, self._wrong_s = self._raw_base(), 0.0
        else:
            self._wrong_s = doubt
        self._told = 0.0
        return doubt if trust_wall else 0.0


def watched(clock: Clock, tick_s: float = 1.0) -> ClockWatch:
    """A watch on the clock; the clock itself when it is one."""
    return clock if isinstance(clock, ClockWatch) else ClockWatch(clock, 0.0, tick_s)


def _milliseconds(seconds: float) -> timedelta:
    return timedelta(milliseconds=round(seconds * 1000))
