"""A plan's order of work as it is drawn: who follows whom, what each thing takes at its least and most, when hands are
there. Times are minutes from the network's origin, as floats: a draw does not keep to the planning axis.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from planning.schedule.chance.draws import Draw, Draws, between
from planning.schedule.network import TICK_MIN, Curve
from planning.trade.air import LONGEST_MIN

Minute = float


@dataclass(frozen=True, slots=True)
class Band:
    """A length in minutes whose 10, 50 and 90 % values these are."""

    low: Minute
    typical: Minute
    high: Minute


@dataclass(frozen=True, slots=True, eq=False)
class Spans:
    """Ascending stretches of time that do not touch: their first and last minutes."""

    first: Draw
    last: Draw

    @classmethod
    def of(cls, pairs: Sequence[tuple[Minute, Minute]]) -> "Spans":
        """The stretches of these (first, last) pairs."""
        table = np.array(sorted(pairs), np.float64).reshape(-1, 2)
        return cls(table[:, 0], table[:, 1])


NEVER = Spans.of(())


@dataclass(frozen=True, slots=True, eq=False)
class Cure:
    """A wait or window of a material: label minutes that run as fast as the air lets them.

    `when` and `done`: label minutes done since the beginning of what is known, at each instant at which the speed
    changes. `least`: clock minutes that warm air takes off no minimum. `name` is the stream of the material: which
    product of its class it is, the same one in every room. `air` is that of the room's air on that day, shared by all
    that cures there then; its 90 % value exceeds the planned one by the share `miss`.
    """

    label: Band
    when: Draw
    done: Draw
    least: Minute
    name: str
    air: str = ""
    miss: float = 0.0

    def opens(self, begin: Draw | Minute, draws: Draws) -> Draw:
        """When it may be stood on or covered: never before the planned wait is over, for the setter keeps to that."""
        label = draws.kept((self, "opens"), lambda: np.maximum(self._drawn(draws), self.label.typical))
        ends: Draw = np.maximum(begin + self.least, self._reach(begin, label))
        return np.minimum(ends, begin + LONGEST_MIN)

    def shuts(self, begin: Draw | Minute, draws: Draws) -> Draw:
        """When it is too late: never after the planned window, and not after as many clock minutes in the cold."""
        label = draws.kept((self, "shuts"), lambda: np.minimum(self._drawn(draws), self.label.typical))
        ends: Draw = np.minimum(begin + label, self._reach(begin, label))
        return ends

    def _drawn(self, draws: Draws) -> Draw:
        label, known = self.label, draws.labels_known
        typical = label.typical
        own = (
            np.full(draws.count, typical) if known else between(label.low, typical, label.high, draws.normal(self.name))
        )
        if not self.air or self.miss <= 0:
            return own
        found: Draw = own * between(1 / (1 + self.miss), 1.0, 1 + self.miss, draws.normal(self.air))
        return found

    def _reach(self, begin: Draw | Minute, label: Draw) -> Draw:
        done: Draw = np.interp(begin, self.when, self.done) + label
        found: Draw = np.interp(done, self.done, self.when)
        return found


@dataclass(frozen=True, slots=True, eq=False)
class Steady:
    """A wait or window that is what it is: by curve, no spread."""

    curve: Curve = ((0, 0),)

    def opens(self, begin: Draw | Minute, _: Draws) -> Draw:
        """When it is over."""
        if len(self.curve) == 1:
            return np.asarray(begin + float(self.curve[0][1] * TICK_MIN))
        points = np.array(self.curve, np.float64) * TICK_MIN
        at = np.maximum(np.searchsorted(points[:, 0], begin, "right") - 1, 0)
        found: Draw = begin + points[at, 1]
        return found

    shuts = opens


Length = Cure | Steady
AT_ONCE = Steady()


@dataclass(frozen=True, slots=True)
class After:
    """It begins no sooner than the finish (or start) of the work `before`, plus a length."""

    before: int
    length: Length = AT_ONCE
    from_start: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """Something attended, in the plan's order.

    `start`, `finish`: as planned; `day`: the number of the planned day. `begins`: ascending stretches (first, last) of
    starts that fit the hours. `name` is the stream of its labour; pieces of one step share it. `begun`: it runs since
    then. `fixed`: it is over, or the setter said when it will be. `low`: it does not begin before. `meals`: (first,
    last) of those of its people when it may pause. `day_end`: when its people's hours end that day; None for a visit,
    which is late past `begins`. `windows`: it must begin before these shut.
    """

    id: str
    name: str
    labour: Band
    start: Minute
    finish: Minute
    begins: Spans = NEVER
    after: Sequence[After] = ()
    windows: Sequence[After] = ()
    meals: Spans = NEVER
    low: Minute = 0.0
    begun: Minute | None = None
    fixed: bool = False
    day: int = 0
    day_end: Minute | None = None
    is_visit: bool = False
    known: bool = True
    """False for what has no clock time (on hold): it is run, but its chance is told nowhere."""


@dataclass(frozen=True, slots=True)
class Scene:
    """All work of a plan in its order, and the tick of now in minutes."""

    work: Sequence[Work]
    now: Minute
