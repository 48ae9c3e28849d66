"""What was really taken against what was reckoned, step by step: labour by kind of work, waits by material class."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from planning.job.events import Event, effective
from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.progress import Accepted, read_progress
from planning.job.step import Link, Step
from planning.job.words import Instant, Minutes
from planning.trade.air import SiteAir, opens_at, site_air
from planning.trade.pace import PACED

HELD_BY_IT_MIN: Minutes = 30
"""A step begun at most so long after its wait was over was held by the wait; later, by something else."""


@dataclass(frozen=True, slots=True)
class Observation:
    """One thing seen: `key` is a kind of work, or "class/window" of a wait. Minutes as usual and as really taken.

    Usual labour is the trade's; a usual wait is by the label number that counted in that job, in the air of then.
    """

    key: str
    step: str
    usual_min: Minutes
    real_min: Minutes
    at: Instant

    @property
    def ratio(self) -> float:
        """How many times as long as usual."""
        return self.real_min / self.usual_min


def labour_seen(job: Job, steps: Iterable[Step], events: Iterable[Event]) -> tuple[Observation, ...]:
    """The labour of every step marked begun and done on one day, by kind, meals taken off.

    A whole step is held against its usual labour (his written pace taken out again), a piece against its share in the
    plan that was in force when it was begun. Begun and done in the same minute, or over a night, says nothing of the
    pace and is left out.
    """
    by_id = {step.id: step for step in steps}
    listed = list(events)
    progress, plans = read_progress(job, listed), plans_at_start(job, listed)
    found = []
    for planned_id, finish in sorted(progress.finished.items(), key=lambda item: (item[1], item[0])):
        step = by_id.get(planned_id.split("#")[0])
        start = progress.started.get(planned_id, finish)
        if step is None or step.kind not in PACED or local(job.zone, start).date() != local(job.zone, finish).date():
            continue
        real = worked_min(job, step, start, finish)
        reckoned = reckoned_min(job, step, planned_id, plans.get(planned_id))
        if real > 0 and reckoned:
            usual = max(1, round(reckoned / job.pace.get(step.kind, 1.0)))
            found.append(Observation(step.kind, planned_id, usual, real, finish))
    return tuple(found)


def reckoned_min(job: Job, step: Step, planned_id: str, taken: Accepted | None) -> Minutes | None:
    """What a step was reckoned to take, or a piece of one by its share in the plan that was taken; None when nobody
    can say.
    """
    if planned_id == step.id:
        return step.labour.typical
    if taken is None or planned_id not in taken.steps:
        return None
    pieces = {key: span for key, span in taken.steps.items() if key.split("#")[0] == step.id}
    lengths = {key: worked_min(job, step, start, finish) for key, (start, finish, _) in pieces.items()}
    whole = sum(lengths.values())
    return round(step.labour.typical * lengths[planned_id] / whole) or None if whole else None


def worked_min(job: Job, step: Step, start: Instant, finish: Instant) -> Minutes:
    """The minutes of work in a span: without the meal, where the step may pause over it."""
    if not step.pause or job.hours.eat_at is None:
        return finish - start
    begin = instant(job.zone, local(job.zone, start).date(), job.hours.eat_at)
    end = begin + job.hours.eat_min
    return finish - start - max(0, min(finish, end) - max(start, begin))


def plans_at_start(job: Job, events: Sequence[Event]) -> Mapping[str, Accepted]:
    """Step -> the plan that was in force when it was begun; of what was begun before any was taken, the first one."""
    found: dict[str, Accepted] = {}
    too_early: list[str] = []
    taken: Accepted | None = None
    for event in effective(events):
        if event.kind == "plan_accepted":
            taken = read_progress(job, [event]).accepted
            found.update({step: taken for step in too_early if taken is not None})
            too_early.clear()
        elif event.kind == "started":
            step = str(event.body.get("step", ""))
            if taken is None:
                too_early.append(step)
            else:
                found[step] = taken
    return found


def waits_seen(job: Job, steps: Sequence[Step], events: Iterable[Event]) -> tuple[Observation, ...]:
    """The waits that really held a step up, by class and window, against what the air of then gave for the label.

    A step begun long after its wait was over says nothing of it, unless it was noted as still tacky in between.
    """
    listed = list(events)
    progress, air = read_progress(job, listed), site_air(job, listed)
    tacky = {str(event.body.get("step", "")).split("#")[0] for event in effective(listed) if event.kind == "tacky"}
    begun = _first(progress.started)
    ended = {step.id: at for step in steps if (at := _last(progress.finished, step.id)) is not None}
    found = []
    for step in steps:
        start = begun.get(step.id)
        for link in step.after:
            before = ended.get(link.step)
            if start is not None and before is not None and before < start:
                found += _wait(step, link, before, start, air, step.id in tacky)
    return tuple(sorted(found, key=lambda each: (each.at, each.step, each.key)))


def _wait(step: Step, link: Link, before: Instant, start: Instant, air: SiteAir, tacky: bool) -> list[Observation]:
    wait = link.wait
    if wait is None or wait.material is None or wait.law == "fixed" or link.on != "finish":
        return []
    opened = opens_at(wait, air, before)
    if opened <= before or not (tacky or start <= opened + HELD_BY_IT_MIN):
        return []
    return [Observation(f"{wait.material}/{wait.window}", step.id, opened - before, start - before, start)]


def _first(marks: Mapping[str, Instant]) -> dict[str, Instant]:
    """Step -> when its first piece was begun."""
    found: dict[str, Instant] = {}
    for planned_id, at in marks.items():
        step = planned_id.split("#")[0]
        found[step] = min(at, found.get(step, at))
    return found


def _last(marks: Mapping[str, Instant], step: str) -> Instant | None:
    return max((at for planned_id, at in marks.items() if planned_id.split("#")[0] == step), default=None)
