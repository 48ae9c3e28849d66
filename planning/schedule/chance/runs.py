"""A plan's order of work run through, all draws at once: everything as soon as its order, waits and hours allow.

Run through as a whole, a slow day makes the next one late; run day by day, each day begins as planned. Nobody goes
before what comes first in the plan and nobody plans anew. What is begun is finished, if need be after hours: whether
that was so is what the chances are about.
"""

from dataclasses import dataclass

import numpy as np

from planning.schedule.chance.draws import Draw, Draws, between, standing
from planning.schedule.chance.scene import After, Scene, Spans, Work

GRACE_MIN = 5.0
"""Work that ends so little after hours is in time: one step of the planning axis (our own rule)."""


@dataclass(frozen=True, slots=True)
class Runs:
    """Start and finish of each work in each draw, and by how many minutes it was late (0 or less: in time).

    Late: past its window, past its people's hours on its planned day, or, for a visit, past its appointed time.
    """

    start: list[Draw]
    finish: list[Draw]
    late: list[Draw]


def run(scene: Scene, draws: Draws, by_day: bool = False) -> Runs:
    """Every draw of the scene. `by_day`: what was planned for earlier days lies where it was planned."""
    return _Run(scene, draws, by_day).all()


class _Run:
    def __init__(self, scene: Scene, draws: Draws, by_day: bool) -> None:
        self.scene = scene
        self.draws = draws
        self.by_day = by_day
        self.found = Runs([], [], [])
        self._opens: dict[tuple[After, bool], Draw] = {}

    def all(self) -> Runs:
        for work in self.scene.work:
            start, finish, late = self._begun(work) if work.fixed or work.begun is not None else self._placed(work)
            self.found.start.append(start)
            self.found.finish.append(finish)
            self.found.late.append(late)
        return self.found

    def _begun(self, work: Work) -> tuple[Draw, Draw, Draw]:
        """What is over lies where it lies; what runs takes at least as long as it has run."""
        draws = self.draws
        start, finish = np.full(draws.count, work.start), np.full(draws.count, work.finish)
        if work.begun is None:
            return start, finish, np.zeros(draws.count)
        band = work.labour
        least = standing(band.low, band.typical, band.high, self.scene.now - work.begun)
        takes = between(band.low, band.typical, band.high, draws.beyond(work.name, least))
        finish = np.maximum(_over_meals(work, start, start + takes), self.scene.now)
        late = np.zeros(draws.count) if work.day_end is None else finish - work.day_end - GRACE_MIN
        return start, finish, late

    def _placed(self, work: Work) -> tuple[Draw, Draw, Draw]:
        ready = np.full(self.draws.count, max(work.low, self.scene.now))
        for after in work.after:
            np.maximum(ready, self._over(after, work.day), out=ready)
        start = _next_start(work.begins, ready)
        takes = self.draws.kept((work, "labour"), lambda: self._labour(work))
        finish = _over_meals(work, start, start + takes)
        if work.is_visit:
            late = ready - (work.begins.last[-1] if work.begins.last.size else np.inf)
        else:
            late = _past_hours(work, ready, start, finish, takes)
        for window in work.windows:
            late = np.maximum(late, start - window.length.shuts(self._base(window, work.day), self.draws))
        return start, finish, late

    def _labour(self, work: Work) -> Draw:
        band = work.labour
        return between(band.low, band.typical, band.high, self.draws.normal(work.name))

    def _over(self, after: After, day: int) -> Draw:
        """When the wait after earlier work is over; many wait for the same."""
        key = after, self.by_day and self.scene.work[after.before].day != day
        if key not in self._opens:
            self._opens[key] = after.length.opens(self._base(after, day), self.draws)
        return self._opens[key]

    def _base(self, tie: After, day: int) -> Draw | float:
        """What a wait or window counts from."""
        before = self.scene.work[tie.before]
        if self.by_day and before.day != day:
            return before.start if tie.from_start else before.finish
        return (self.found.start if tie.from_start else self.found.finish)[tie.before]


def _past_hours(work: Work, ready: Draw, start: Draw, finish: Draw, takes: Draw) -> Draw:
    """How long its people would have to stay on the planned day; had it to wait for another, by beginning at once."""
    if work.day_end is None:
        return np.full(ready.shape, -np.inf)
    waited = start > work.day_end
    if waited.any():
        finish = np.where(waited, _over_meals(work, ready, ready + takes), finish)
    late: Draw = finish - (work.day_end + GRACE_MIN)
    return late


def _next_start(begins: Spans, ready: Draw) -> Draw:
    """The first start that fits the hours, from `ready` on; `ready` itself when none is left."""
    if not begins.first.size:
        return ready
    first = np.append(begins.first, -np.inf)[np.searchsorted(begins.last, ready, "left")]
    found: Draw = np.maximum(ready, first)
    return found


def _over_meals(work: Work, start: Draw, finish: Draw) -> Draw:
    """The finish of work that pauses while its people eat, if that comes in between."""
    meals = work.meals
    if not meals.first.size:
        return finish
    at = np.searchsorted(meals.first, start, "right")
    length = np.append(meals.last - meals.first, 0.0)[at]
    found: Draw = finish + np.where(np.append(meals.first, np.inf)[at] < finish, length, 0.0)
    return found
