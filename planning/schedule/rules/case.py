"""One plan laid beside the facts of its job: what the rules look at. Made from the job, never from the solver."""

from collections.abc import Iterable, Sequence
from functools import cached_property

from planning.job.events import Event
from planning.job.hours import instant
from planning.job.job import Job
from planning.job.place import doors, ways_in
from planning.job.plan import Plan, PlannedStep
from planning.job.progress import Progress, read_progress
from planning.job.step import KeepOff, Link, Step, Wait
from planning.job.words import Instant, Minutes
from planning.schedule.rules.attendance import Attendance
from planning.schedule.rules.bars import Bars
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.wording import clock
from planning.trade.air import SiteAir, opens_at, shuts_at, site_air
from planning.trade.mending import mended
from planning.trade.noted import noted_job

FARTHEST_MIN: Minutes = 1000 * 1440


def piece_number(text: str) -> int:
    """The number after # in the id of a piece; 0 when there is none."""
    return int(text) if text.isdecimal() and len(text) < 4 else 0


class Case:
    """A plan with its job, its steps and the record. Rules read; nothing here judges."""

    def __init__(self, plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event] = ()) -> None:
        self.plan = plan
        self.job = noted_job(job, events)
        self.events = tuple(events)
        self.now = plan.made_at
        self.steps = mended(self.job, steps, self.events, self.now)
        self.step_by_id = {step.id: step for step in self.steps}
        self.errand_by_id = {errand.id: errand for errand in self.job.errands}
        self.progress: Progress = read_progress(self.job, self.events)
        self._opened: dict[tuple[Wait, Instant], Instant] = {}
        self._shut: dict[tuple[Wait, Instant], Instant] = {}
        self._ways: dict[str, tuple[tuple[str, ...], ...]] = {}
        self._pieces: dict[str, list[Placed]] = {}
        self.placed: tuple[Placed, ...] = tuple(self._place())

    # where things are

    def _place(self) -> Iterable[Placed]:
        planned = [self._from_plan(step) for step in self.plan.steps]
        found = [each for each in planned if each is not None]
        there = {each.id for each in found} | {each.step_id for each in found}
        found += [each for each in self._from_record() if each.id not in there]
        for each in sorted(found, key=lambda p: p.n):
            self._pieces.setdefault(each.step_id, []).append(each)
        return sorted(found, key=lambda p: (p.start, p.finish, p.id))

    def _from_plan(self, planned: PlannedStep) -> Placed | None:
        whole, _, number = planned.id.partition("#")
        step, errand = self.step_by_id.get(whole), self.errand_by_id.get(planned.id)
        if step is None and errand is None:
            return None
        begun, done = planned.id in self.progress.started, planned.id in self.progress.finished
        return Placed(planned.id, step, errand if step is None else None, piece_number(number),
                      planned.start, planned.finish, planned.people, begun, done, planned)  # fmt: skip

    def _from_record(self) -> Iterable[Placed]:
        for noted, finish in self.progress.finished.items():
            whole, _, number = noted.partition("#")
            step = self.step_by_id.get(whole)
            if step is not None:
                start = self.progress.started[noted]
                yield Placed(noted, step, None, piece_number(number), start, finish, (), True, True, None)

    def pieces(self, step_id: str) -> Sequence[Placed]:
        """The pieces of a step (or the one whole step) in order of their numbers; empty when it is nowhere."""
        return self._pieces.get(step_id, ())

    @cached_property
    def open(self) -> tuple[Placed, ...]:
        """What has not begun: all that a plan can still move."""
        return tuple(each for each in self.placed if not each.begun)

    # the trade

    @cached_property
    def air(self) -> SiteAir:
        """The air of each room, forecast and read."""
        return site_air(self.job, self.events)

    def has_air(self, at: Instant) -> bool:
        """Is this a moment that air can be told for? Years away from the job there are no working hours either."""
        return abs(at - self._begins) < FARTHEST_MIN

    @cached_property
    def _begins(self) -> Instant:
        return instant(self.job.zone, self.job.start, self.job.hours.start)

    def opens(self, wait: Wait, since: Instant) -> Instant:
        """When a wait counted from an instant is over in its room's own air."""
        key = (wait, since)
        if not self.has_air(since):
            return since
        if key not in self._opened:
            self._opened[key] = opens_at(wait, self.air, since)
        return self._opened[key]

    def shuts(self, within: Wait, since: Instant) -> Instant:
        """When a window counted from an instant shuts in its room's own air."""
        key = (within, since)
        if not self.has_air(since):
            return since
        if key not in self._shut:
            self._shut[key] = shuts_at(within, self.air, since)
        return self._shut[key]

    def wait_from(self, link: Link) -> Instant | None:
        """The instant a link's wait counts from: the finish of all pieces of the earlier step, or its start.

        None when the earlier step is nowhere in the plan and not done.
        """
        pieces = self.pieces(link.step)
        if not pieces:
            return None
        return pieces[0].start if link.on == "start" else max(piece.finish for piece in pieces)

    def within_from(self, link: Link) -> Instant | None:
        """The instant a link's window counts from: the first piece of the earlier step, the strictest of all."""
        pieces = self.pieces(link.step)
        if not pieces:
            return None
        return pieces[0].start if link.on == "start" else pieces[0].finish

    def until(self, keep: KeepOff, each: Placed) -> Instant:
        """When a stay-off of this step or piece is over."""
        if isinstance(keep.until, Wait):
            return self.opens(keep.until, each.finish)
        return max((piece.finish for piece in self.pieces(keep.until)), default=each.finish)

    @cached_property
    def bars(self) -> Bars:
        """Every stay-off, worked out from the steps themselves."""
        return Bars(self.placed, self.until)

    # the house

    @cached_property
    def attendance(self) -> Attendance:
        """Who is there when."""
        return Attendance(self.job, self.progress.presence, self._days)

    @property
    def _days(self) -> tuple[Instant, Instant]:
        times = [t for each in self.placed for t in (each.start, each.finish)]
        times += [t for person in self.plan.people for stretch in person.hours for t in stretch]
        return min(times, default=self.now), max(times, default=self.now)

    @cached_property
    def _doors(self) -> dict[str, tuple[str, ...]]:
        return doors(self.job.rooms)

    def ways(self, floor: str) -> tuple[tuple[str, ...], ...]:
        """The alternative ways from outside to a floor."""
        if floor not in self._ways:
            self._ways[floor] = ways_in(self._doors, floor)
        return self._ways[floor]

    # words

    def when(self, at: Instant, beside: Instant | None = None) -> str:
        """A time as the setter reads it, beside another (or beside the moment the plan was made)."""
        return clock(self.job.zone, at, self.now if beside is None else beside)

    def room_name(self, room_id: str) -> str:
        """The room's name, or its id when the job has no such room."""
        return next((room.name for room in self.job.rooms if room.id == room_id), room_id)

    def floor_name(self, floor: str) -> str:
        """A floor as people say it: the room, or the part and the room."""
        room, _, part = floor.partition(".")
        return f"{part} of {self.room_name(room)}" if part else self.room_name(room)

    def name(self, each: Placed) -> str:
        """`COAT 2, wet room`: the act that a sentence is about."""
        if each.step is None:
            return f"ERRAND, {each.errand.what if each.errand else each.id}"
        return f"{self._title(each).upper()}, {self.room_name(each.step.room)}"

    def other(self, each: Placed, beside: Placed | None = None) -> str:
        """`coat 1`, or `coat 1, wet room` beside an act in another room."""
        if each.step is None:
            return f"the errand {each.errand.what}" if each.errand else each.id
        title = self._title(each)
        short = title[:1].lower() + title[1:]
        if beside is not None and beside.step is not None and beside.step.room == each.step.room:
            return short
        return f"{short}, {self.room_name(each.step.room)}"

    def _title(self, each: Placed) -> str:
        if each.planned is not None:
            return each.planned.title
        return each.step.title if each.step is not None else each.id
