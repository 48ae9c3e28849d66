"""Steps as tasks: pieces, crews, gear, floors, stay-offs, and what already happened."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from planning.job.step import KeepOff, Step, Wait
from planning.job.words import WET_KINDS, Instant
from planning.quantities.show import show_minutes
from planning.schedule.build.crews import barred_spans, common_shifts, crew, manned_by, meal_min, unbroken
from planning.schedule.build.curves import Curves
from planning.schedule.build.floors import ways
from planning.schedule.build.pieces import Cut, cut, on_axis
from planning.schedule.build.site import Site
from planning.schedule.network import Crew, Off, Task, Tick
from planning.trade.methods import LOCKED, UNCUT


@dataclass
class Unplannable:
    """A step that no plan can hold, and why, in trade words."""

    step: str
    why: str


@dataclass
class StepTasks:
    """The tasks of all steps, the pieces of each step in order, and what cannot be planned at all."""

    tasks: list[Task] = field(default_factory=list)
    pieces: dict[str, tuple[Cut, ...]] = field(default_factory=dict)
    unplannable: list[Unplannable] = field(default_factory=list)

    def first(self, step_id: str) -> str:
        """The id of the step's first piece."""
        return self.pieces[step_id][0].id

    def last(self, step_id: str) -> str:
        """The id of the step's last piece."""
        return self.pieces[step_id][-1].id


def step_tasks(site: Site, curves: Curves) -> StepTasks:
    """All steps of the job as tasks."""
    found = StepTasks()
    longest = longest_stretch(site)
    for step in site.steps:
        found.pieces[step.id] = cut(step, longest)
    for step in site.steps:
        crews = manned_by(site.job.people, step.crew)
        reach = ways(site, step.stands_on)
        why = _never(step, crews, reach)
        if why:
            found.unplannable.append(Unplannable(step.id, why))
            continue
        for piece in found.pieces[step.id]:
            task = _task(site, curves, found, step, piece, crews, reach)
            if task.fixed is None and not any(c.starts or c.pauses for c in task.crews):
                found.unplannable.append(Unplannable(piece.id, _too_long(site, piece, crews)))
            found.tasks.append(task)
    return found


def longest_stretch(site: Site) -> int:
    """Minutes of the longest unbroken-but-for-a-meal stretch anybody works in one day."""
    lengths = [
        s.finish - s.start - ((s.eat[1] - s.eat[0]) if s.eat else 0)
        for person in site.shifts.values() for s in person
    ]  # fmt: skip
    return max(lengths, default=0)


def _never(step: Step, crews: Sequence[tuple[str, ...]], reach: Sequence[tuple[str, ...]]) -> str | None:
    if not crews:
        need = " and ".join(step.crew)
        return f"it takes {len(step.crew)} {'person' if len(step.crew) == 1 else 'people'} who can {need}"
    if not reach:
        return f"nobody can get to {', '.join(step.stands_on)} from outside"
    return None


def _too_long(site: Site, piece: Cut, crews: Sequence[tuple[str, ...]]) -> str:
    """Why no day holds it, and what would help: poured and floated work may not even stop for a meal."""
    pauses, locked = piece.of.pause, piece.of.kind in LOCKED
    spans = (
        span
        for names in crews
        for shift in common_shifts(site, names)
        for span in (unbroken(shift, 0) if not pauses else [(shift.start, shift.finish - meal_min(shift))])
    )
    longest = max((finish - start for start, finish in spans), default=0)
    ways = ["work longer that day", *(["eat later or earlier"] if not pauses else [])]
    if locked and longest:
        ways.insert(0, f"dam it into bays: bays = {max(2, -(-piece.minutes // longest))}")
    elif piece.of.kind not in UNCUT:
        ways.insert(0, "do it in two steps")
    time = f"it takes {show_minutes(piece.minutes)} at one go"
    there = f"who can do it are there {show_minutes(longest)} at most" if longest else "who can do it are never there"
    return f"{time}, and those {there}; {', or '.join(ways)}"


def _task(
    site: Site, curves: Curves, found: StepTasks, step: Step, piece: Cut,
    crews: Sequence[tuple[str, ...]], reach: tuple[tuple[str, ...], ...],
) -> Task:  # fmt: skip
    fixed = fixed_ticks(site, piece)
    barred = barred_spans(site, step)
    if fixed is None:
        options = tuple(crew(site, names, piece.minutes, step.pause, barred) for names in crews)
        options = tuple(option for option in options if option.starts or option.pauses) or options[:1]
    else:
        options = (Crew(who_did(site, piece.id, crews), ()),)
    return Task(
        id=piece.id,
        ticks=piece.ticks,
        crews=options,
        gear=dict(step.gear),
        ways=reach,
        wet_on=step.works_on if step.kind in WET_KINDS else (),
        heavy_on=step.stands_on if step.kind == "fit" else (),
        off=tuple(_offs(site, curves, found, step, piece, fixed)),
        release=release(site, step, piece),
        fixed=fixed,
        piece_of=step.id if piece.n else None,
        piece=piece.n,
    )


def fixed_ticks(site: Site, piece: Cut) -> tuple[Tick, Tick] | None:
    """Where a piece that has begun lies: noted start, noted (or expected) finish. None: it has not begun."""
    progress = site.progress
    started = progress.started.get(piece.id)
    if started is None:
        return None
    finished = progress.finished.get(piece.id)
    if finished is None:
        finished = expected_finish(site, piece, started)
    start = site.floor_tick(started)
    return start, max(start, site.ceil_tick(finished))


def expected_finish(site: Site, piece: Cut, started: Instant) -> Instant:
    """When a running piece will be done: as said, else its labour from its start (a meal between), never before now."""
    said = site.progress.finish_said.get(piece.id)
    planned = started + piece.minutes
    for shift in (s for person in site.shifts.values() for s in person):
        if piece.of.pause and shift.eat and started < shift.eat[0] < planned:
            planned += shift.eat[1] - shift.eat[0]
            break
    return max(said or planned, site.now)


def who_did(site: Site, task_id: str, crews: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    """Who works on something that has begun: those of the accepted plan, else the likeliest crew."""
    accepted = site.progress.accepted
    if accepted is not None and task_id in accepted.steps:
        return accepted.steps[task_id][2]
    return crews[0]


def release(site: Site, step: Step, piece: Cut) -> Tick:
    """The tick before which the setter's own reports (late, tacky, held) keep it from beginning."""
    asked = [site.progress.not_before.get(piece.id), site.progress.not_before.get(step.id)]
    return max([0, *(site.ceil_tick(at) for at in asked if at is not None)])


def _offs(
    site: Site, curves: Curves, found: StepTasks, step: Step, piece: Cut, fixed: tuple[Tick, Tick] | None
) -> list[Off]:
    return [_off(site, curves, found, keep, floor, piece, fixed) for keep in step.keeps_off for floor in keep.floors]


def _off(
    site: Site, curves: Curves, found: StepTasks, keep: KeepOff, floor: str, piece: Cut,
    fixed: tuple[Tick, Tick] | None,
) -> Off:  # fmt: skip
    if not isinstance(keep.until, Wait):
        until = tuple(cut.id for cut in found.pieces.get(keep.until, ()))
        return Off(floor, keep.what, until=until)
    finished = site.progress.finished.get(piece.id)
    if fixed is not None and finished is not None:
        return Off(floor, keep.what, curves.wait_from(keep.until, finished, fixed[1]))
    return Off(floor, keep.what, curves.wait(keep.until))


def whole_minutes(steps: Mapping[str, Step]) -> int:
    """The attended minutes of all steps, each rounded up to the axis."""
    return sum(on_axis(step.labour.typical) for step in steps.values())
