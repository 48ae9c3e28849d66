"""From when a floor may be walked on, wetted or loaded: the slow case of every stay-off, as data and as a table."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planning.handover.slow import Times
from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.step import KeepOff, Step
from planning.job.words import Barrier, Instant, Kind
from planning.trade.air import no_time_reason, opens_at, site_air


@dataclass(frozen=True, slots=True)
class Release:
    """One floor is kept off from `start` till `until`, the slow case. `until` None: no time can be told.

    `told` False: it ends with another step, or the air lets no time be told; owners read "till we tell you".
    """

    room: str
    part: str | None
    what: Barrier
    start: Instant
    until: Instant | None
    step: str
    title: str
    kind: Kind
    told: bool = True


def releases(plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], times: Times) -> tuple[Release, ...]:
    """Every stay-off of the plan in the slow case (`times`), never before the plan's own end, in order of start."""
    maker = _Maker(plan, job, steps, events, times)
    found = [each for planned in plan.steps for each in maker.of(planned)]
    return tuple(sorted(found, key=lambda each: (each.start, each.room, each.part or "", each.what)))


class _Maker:
    def __init__(self, plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], times: Times) -> None:
        self.plan = plan
        self.job = job
        self.times = times
        self.by_id = {step.id: step for step in steps}
        self.air = site_air(job, events)
        self.usual = {(off.step, off.room, off.part, off.what): off.until for off in plan.stay_off}

    def of(self, planned: PlannedStep) -> list[Release]:
        step = self.by_id.get(planned.piece.of if planned.piece else planned.id)
        if step is None:
            return []
        return [self._one(planned, keep, floor) for keep in step.keeps_off for floor in keep.floors]

    def _one(self, planned: PlannedStep, keep: KeepOff, floor: str) -> Release:
        room, _, part = floor.partition(".")
        start, finish = self.times[planned.id]
        until, told = self._until(keep, finish)
        usual = self.usual.get((planned.id, room, part or None, keep.what), 0)
        return Release(
            room, part or None, keep.what, start, None if until is None else max(until, usual), planned.id,
            planned.title, planned.kind, told,
        )  # fmt: skip

    def _until(self, keep: KeepOff, finish: Instant) -> tuple[Instant | None, bool]:
        if isinstance(keep.until, str):
            ends = [t[1] for step, t in self.times.items() if step.split("#")[0] == keep.until]
            return max(ends, default=finish), False
        if no_time_reason(keep.until, self.air, finish) is not None:
            return None, False
        return opens_at(keep.until, self.air, finish, "high"), True


def standing_at(found: Iterable[Release], now: Instant, begun: frozenset[str]) -> tuple[Release, ...]:
    """What is off now: of the steps begun, the last release of each floor and barrier that is not over yet."""
    last: dict[tuple[str, str | None, Barrier], Release] = {}
    for each in found:
        if each.step not in begun or (each.until is not None and each.until <= now):
            continue
        key = each.room, each.part, each.what
        known = last.get(key)
        if known is None or _ends(each) > _ends(known):
            last[key] = each
    return tuple(last.values())


def _ends(release: Release) -> tuple[bool, Instant]:
    return release.until is None, release.until or 0
