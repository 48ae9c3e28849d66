"""A solved plan as a scene to be drawn: its order's edges with the trade's own waits, the air, people's hours."""

from collections.abc import Sequence, Set
from datetime import date
from functools import cache

import numpy as np

from planning.job.hours import local
from planning.job.step import KeepOff, Step, Wait
from planning.job.words import AXIS_MIN, Law
from planning.schedule.availability import is_visit
from planning.schedule.build.network_of import Built
from planning.schedule.chance.draws import Draw
from planning.schedule.chance.scene import (
    AT_ONCE,
    NEVER,
    After,
    Band,
    Cure,
    Length,
    Scene,
    Spans,
    Steady,
    Work,
)
from planning.schedule.network import Crew, Curve, Lag, Solution, Task
from planning.schedule.order.orders import AT_ONCE as NO_WAIT
from planning.schedule.order.orders import Edge, Order, order_of
from planning.trade.air import LONGEST_MIN, SPREAD, SPREAD_ROUGH
from planning.trade.air_laws import DRYING_LAWS


class PlanScene:
    """Reads one plan. `order` is its order of work; `place[n]` says where task n stands in the scene."""

    def __init__(self, built: Built, solution: Solution) -> None:
        self.built = built
        self.site = built.site
        self.order: Order = order_of(built.network, solution)
        self.tasks: Sequence[Task] = self.order.shape.tasks
        self.place = {n: at for at, n in enumerate(self.order.sequence)}
        self._pieces = {piece.id: piece for pieces in built.pieces.values() for piece in pieces}
        self._course, self._begins, self._meals = cache(self._course_of), cache(_begins), cache(self._meals_of)
        self._cures: dict[tuple[int, Wait], Cure] = {}

    def scene(self, held: Set[str] = frozenset()) -> Scene:
        """The scene. `held`: steps on hold, which have no clock time."""
        openers = {before for before, _, _ in self.order.windows}
        work = [self._work(n, n in openers, held) for n in self.order.sequence]
        return Scene(work, float(self.site.now - self.site.origin))

    def step(self, n: int) -> Step | None:
        """The step that task n is, or is a piece of; None for visits and errands."""
        task = self.tasks[n]
        return self.site.step_by_id.get(task.piece_of or task.id)

    def day(self, n: int) -> date:
        """The local day on which task n is planned to begin."""
        return local(self.site.job.zone, self.built.network.instant(self.order.start[n])).date()

    def _work(self, n: int, opens: bool, held: Set[str]) -> Work:
        task, order, progress = self.tasks[n], self.order, self.site.progress
        step, crew, visit = self.step(n), task.crews[order.crew[n]], is_visit(task)
        started, finished = progress.started.get(task.id), progress.finished.get(task.id)
        runs = started is not None and finished is None and task.id not in progress.finish_said
        stays = opens or visit or step is None
        return Work(
            id=task.id,
            name=f"labour {task.piece_of or task.id}",
            labour=self._labour(task, step),
            start=self._minute(order.start[n], started),
            finish=self._minute(order.finish[n], finished),
            begins=self._begins(crew),
            after=[self._after(e) for e in order.into[n] if not self._sealed(e)] if task.fixed is None else [],
            windows=[self._window(*window) for window in order.windows if window[2] == n],
            meals=self._meals(crew.people) if step is not None and step.pause else NEVER,
            low=float((max(order.low[n], order.start[n]) if stays else order.low[n]) * AXIS_MIN),
            begun=float(started - self.site.origin) if runs and started is not None else None,
            fixed=task.fixed is not None and not runs,
            day=self.day(n).toordinal(),
            day_end=None if visit else self._day_end(n, crew.people),
            is_visit=visit,
            known=task.id not in held,
        )

    def is_seal(self, n: int) -> bool:
        """Is it a sealer's work? A slow grout makes that a later visit (common practice, no source): it holds up
        nothing, and the job is done without it.
        """
        step = self.step(n)
        return step is not None and step.kind == "seal"

    def _sealed(self, edge: Edge) -> bool:
        return edge.kind == "lag" and self.is_seal(edge.before)

    def _minute(self, tick: int, noted: int | None) -> float:
        return float(tick * AXIS_MIN if noted is None else noted - self.site.origin)

    def _labour(self, task: Task, step: Step | None) -> Band:
        if step is None:
            planned = float(task.ticks * AXIS_MIN)
            return Band(planned, planned, planned)
        share = self._pieces[task.id].share if task.id in self._pieces else 1.0
        band = step.labour
        return Band(band.low * share, band.typical * share, band.high * share)

    def _meals_of(self, people: tuple[str, ...]) -> Spans:
        eats = {shift.eat for name in people for shift in self.site.shifts.get(name, ()) if shift.eat}
        return Spans.of([(float(a - self.site.origin), float(b - self.site.origin)) for a, b in eats])

    def _day_end(self, n: int, people: Sequence[str]) -> float | None:
        """When the first of its people has to put down the tools on the planned day."""
        day = self.day(n)
        ends = [[s.finish for s in self.site.shifts.get(name, ()) if s.day == day] for name in people]
        if not ends or not all(ends):
            return None
        return float(min(max(each) for each in ends) - self.site.origin)

    def _after(self, edge: Edge) -> After:
        wait = None if edge.curve is NO_WAIT else self._wait_of(edge)
        length = self._length(edge.before, wait, edge.curve)
        return After(self.place[edge.before], length, edge.from_start)

    def _wait_of(self, edge: Edge) -> Wait | None:
        """The trade's wait that an edge's curve stands for; None when it stands for none."""
        if edge.kind == "lag":
            return self._linked(edge.before, edge.after, edge.from_start, maximum=False)
        return self.off_wait(edge.before, edge.curve)

    def off_wait(self, n: int, curve: Curve) -> Wait | None:
        """The wait until which task n keeps a floor off by that very curve."""
        step = self.step(n)
        if step is None:
            return None
        keeps = [keep for keep in step.keeps_off for _ in keep.floors]
        for off, keep in zip(self.tasks[n].off, keeps, strict=False):
            if off.ticks is curve and not off.until:
                return _wait(keep)
        return None

    def _linked(self, before: int, after: int, from_start: bool, maximum: bool) -> Wait | None:
        earlier, later = self.step(before), self.step(after)
        if earlier is None or later is None:
            return None
        end = "start" if from_start else "finish"
        for link in later.after:
            if link.step == earlier.id and link.on == end:
                found = link.within if maximum else link.wait
                if found is not None:
                    return found
        return None

    def _window(self, before: int, lag: Lag, n: int) -> After:
        wait = self._linked(before, n, lag.from_start, maximum=True)
        return After(self.place[before], self._length(before, wait, lag.within or NO_WAIT), lag.from_start)

    def length_of(self, n: int, curve: Curve) -> Length:
        """What task n's stay-off by that curve is drawn from."""
        return self._length(n, self.off_wait(n, curve), curve)

    def _length(self, before: int, wait: Wait | None, curve: Curve) -> Length:
        if wait is None:
            return AT_ONCE if curve is NO_WAIT else Steady(curve)
        key = (before, wait)
        if key not in self._cures:
            self._cures[key] = self._cure(before, wait)
        return self._cures[key]

    def _cure(self, before: int, wait: Wait) -> Cure:
        when, done = self._course(wait.room, wait.law)
        label = wait.label
        spread = (label.typical, label.typical) if wait.window == "seal" else (label.low, label.high)
        airy = wait.law != "fixed"
        ends = local(self.site.job.zone, self.built.network.instant(self.order.finish[before])).date()
        return Cure(
            label=Band(spread[0], label.typical, spread[1]),
            when=when,
            done=done,
            least=float(min(label.typical, label.low) if self.site.air.warm_opens_early else label.typical),
            name=f"label {wait.material or wait.law}/{wait.window}",
            air=f"air {wait.room} {ends}" if airy else "",
            miss=(SPREAD_ROUGH if wait.law in DRYING_LAWS else SPREAD) if airy else 0.0,
        )

    def _course_of(self, room: str, law: Law) -> tuple[Draw, Draw]:
        network = self.built.network
        first, last = network.instant(0), network.instant(network.horizon)
        course = self.site.air.course(room, law, first, last)
        when = np.array([*course.starts, course.starts[-1] + 3 * LONGEST_MIN], np.float64) - self.site.origin
        beyond = course.sums[-1] + course.speeds[-1] * 3 * LONGEST_MIN
        return when, np.array([*course.sums, beyond], np.float64)


def _begins(crew: Crew) -> Spans:
    """Every start that fits the hours, whether a meal comes in between or not."""
    pairs = [*crew.starts, *((first, last) for first, last, _ in crew.pauses)]
    return Spans.of([(first * float(AXIS_MIN), last * float(AXIS_MIN)) for first, last in pairs])


def _wait(keep: KeepOff) -> Wait | None:
    return keep.until if isinstance(keep.until, Wait) else None
