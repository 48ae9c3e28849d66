"""The scheduling problem as numbers: tasks, lags, floors, gear, nights. Solved without knowing the trade.

Everything is in ticks of 5 minutes from `Network.origin`. A network is plain data and travels as JSON to the solver's
own process. It says nothing of materials or air: start-dependent waits arrive as curves.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from planning.job.words import AXIS_MIN, Instant

Tick = int
TICK_MIN = AXIS_MIN

Curve = tuple[tuple[Tick, int], ...]
"""A length in ticks that depends on the tick it is counted from: (from_tick, ticks) pairs, ascending, constant between.

The first pair holds for everything before it too. `t + at(curve, t)` never falls as t grows: who finishes later is
never ready earlier."""


def at(curve: Curve, tick: Tick) -> int:
    """The curve's value for something that ends (or starts) at that tick."""
    value = curve[0][1]
    for start, ticks in curve:
        if start > tick:
            break
        value = ticks
    return value


@dataclass(frozen=True, slots=True)
class Crew:
    """One way to man a task. `starts` are inclusive ranges of start ticks from which the work runs unbroken;
    `pauses` are (first, last, extra) inclusive ranges from which a meal interrupts it, taking `extra` ticks more.
    The two never overlap, and each ascends: whoever reads them halves. No people: a visit from outside.
    """

    people: tuple[str, ...]
    starts: tuple[tuple[Tick, Tick], ...]
    pauses: tuple[tuple[Tick, Tick, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Off:
    """From the task's start nobody walks (works wet, brings heavy things) on `floor`: until its finish plus the
    curve's ticks, or until the finish of all `until` tasks when there are any.
    """

    floor: str
    what: str
    ticks: Curve = ((0, 0),)
    until: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """A step, a piece of a divisible step, an errand or a visit.

    `ways`: alternatives, each the set of floors stood on or crossed; () means outside. `wet_on`, `heavy_on`: floors
    on which it is a wet trade, a heavy thing. `fixed`: (start, finish) of what has happened or is running; such a
    task has exactly one crew, whose ranges are not looked at. `piece_of`/`piece`: pieces of one step are numbered
    from 1 and follow each other; an earlier piece's walk-off does not bind later pieces of the same step.
    """

    id: str
    ticks: int
    crews: tuple[Crew, ...]
    gear: Mapping[str, int] = field(default_factory=dict)
    ways: tuple[tuple[str, ...], ...] = ((),)
    wet_on: tuple[str, ...] = ()
    heavy_on: tuple[str, ...] = ()
    off: tuple[Off, ...] = ()
    release: Tick = 0
    fixed: tuple[Tick, Tick] | None = None
    piece_of: str | None = None
    piece: int = 0
    counts: bool = True
    """Does the job last until it is done? (A visit or an errand does not count by itself.)"""


@dataclass(frozen=True, slots=True)
class Lag:
    """`after` starts at least `wait` and at most `within` ticks after `before` ends (or starts, with `from_start`)."""

    before: str
    after: str
    wait: Curve = ((0, 0),)
    within: Curve | None = None
    from_start: bool = False


@dataclass(frozen=True, slots=True)
class Toilet:
    """A toilet that may serve a night: its floor and way in (alternatives), out from the start of each `out` task
    until the finish of the `back` task (never, when None).
    """

    room: str
    ways: tuple[tuple[str, ...], ...]
    out: tuple[str, ...] = ()
    back: str | None = None


@dataclass(frozen=True, slots=True)
class Night:
    """A night on which at least one of the job's toilets must work and be reached over floors that may be walked on."""

    start: Tick
    finish: Tick


@dataclass(frozen=True, slots=True)
class Due:
    """A promise: every (task, curve) must be finished and its curve over by `tick`; late costs, it does not forbid."""

    what: str
    ends: tuple[tuple[str, Curve], ...]
    tick: Tick


@dataclass(frozen=True, slots=True)
class Before:
    """The accepted plan, for a reshuffle: where each task was, and the finish it promised."""

    starts: Mapping[str, Tick]
    people: Mapping[str, tuple[str, ...]]
    finish: Tick


@dataclass(frozen=True, slots=True)
class Network:
    """The whole problem. `horizon`: no tick beyond it. `person_days`: name -> the shifts (first, last tick) of each
    day, for counting person-days. `now`: nothing unfixed starts before it.
    """

    origin: Instant
    horizon: Tick
    now: Tick
    tasks: tuple[Task, ...]
    lags: tuple[Lag, ...]
    gear: Mapping[str, int]
    person_days: Mapping[str, tuple[tuple[Tick, Tick], ...]]
    toilets: tuple[Toilet, ...] = ()
    nights: tuple[Night, ...] = ()
    dues: tuple[Due, ...] = ()
    aim: str = "finish"
    before: Before | None = None

    def instant(self, tick: Tick) -> Instant:
        """A tick of this network as an instant."""
        return self.origin + tick * TICK_MIN

    def tick(self, moment: Instant) -> Tick:
        """An instant as a tick, rounded down."""
        return (moment - self.origin) // TICK_MIN


@dataclass(frozen=True, slots=True)
class Overrun:
    """A fact that a plan breaks because no plan keeps them all.

    `what`: "within" (`task` starts so many `ticks` after the window from `before` has shut), "visit" (the visit `task`
    comes so many `ticks` after its last appointed start), "night" (no toilet on the night that starts at tick `at`) or
    "hours" (`task` lies so many `ticks` past its crew's last hours, as a plan kept in its order sometimes must).
    """

    what: str
    task: str = ""
    before: str = ""
    ticks: int = 0
    at: Tick = 0


@dataclass(frozen=True, slots=True)
class Solution:
    """Where every task lies: start, finish (a meal may lie between), index of its crew and of its way in.

    `status`: "best" (proved for the finish), "good" (a plan, not proved), "none" (proved that no plan fits) or
    "unknown" (none found in the time given). `finish_bound`: no plan ends before this tick, as far as is known.
    `overrun`: for an elastic reshuffle, the facts it breaks.
    """

    status: str
    starts: Mapping[str, Tick] = field(default_factory=dict)
    finishes: Mapping[str, Tick] = field(default_factory=dict)
    crews: Mapping[str, int] = field(default_factory=dict)
    ways: Mapping[str, int] = field(default_factory=dict)
    finish: Tick = 0
    finish_bound: Tick = 0
    stages: Mapping[str, int] = field(default_factory=dict)
    """Objective values by stage name ("late", "finish", "person_days", "margin", "tidy")."""
    cut_short: bool = False
    overrun: tuple[Overrun, ...] = ()
