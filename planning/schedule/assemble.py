"""A solution read back into trade words: the plan."""

from collections.abc import Mapping
from dataclasses import dataclass

from planning.job.plan import (
    HouseOut,
    Moved,
    Piece,
    Plan,
    PlannedLink,
    PlannedPart,
    PlannedPerson,
    PlannedRoom,
    PlannedStep,
    PlannedVisit,
    Proof,
    StayOff,
    StepWindow,
)
from planning.job.states import window_state
from planning.job.step import KeepOff, Link, Step, Wait
from planning.job.words import Instant, Service
from planning.schedule.build.network_of import Built
from planning.schedule.build.pieces import Cut
from planning.schedule.holds import with_holds
from planning.schedule.network import Solution
from planning.schedule.states import step_state
from planning.trade.act_times import acts_from, batches_from
from planning.trade.air import factor, opens_at, shuts_at
from planning.trade.recoveries import words_if_missed


@dataclass(frozen=True)
class Words:
    """Sentences worked out for each task: why not earlier, latest safe start, what is lost then."""

    reasons: Mapping[str, str]
    latest: Mapping[str, Instant | None]
    lost: Mapping[str, str | None]


class Times:
    """When each step's pieces start and finish, exact for what was noted, on the axis for what is planned."""

    def __init__(self, built: Built, solution: Solution) -> None:
        self.built = built
        self._progress = built.site.progress
        self._start = {k: built.network.instant(v) for k, v in solution.starts.items()}
        self._finish = {k: built.network.instant(v) for k, v in solution.finishes.items()}

    def start(self, piece: str) -> Instant:
        """The start of a piece, a visit or an errand."""
        return self._progress.started.get(piece, self._start[piece])

    def finish(self, piece: str) -> Instant:
        """The finish of a piece, a visit or an errand."""
        return self._progress.finished.get(piece, self._finish[piece])

    def step_finish(self, step_id: str) -> Instant:
        """The finish of a step's last piece."""
        return self.finish(self.built.pieces[step_id][-1].id)

    def end(self, link: Link, last: bool) -> Instant:
        """The instant a link counts from: of the earlier step's last piece (for waits) or first (for windows)."""
        piece = self.built.pieces[link.step][-1 if last else 0].id
        first = self.built.pieces[link.step][0].id
        return self.start(first) if link.on == "start" else self.finish(piece)


def assemble(built: Built, solution: Solution, words: Words, proof: Proof) -> Plan:
    """The plan that a solution stands for. It is not judged here."""
    times = Times(built, solution)
    steps = [
        _planned_step(built, solution, times, words, step, piece)
        for step in built.site.steps
        for piece in built.pieces[step.id]
        if piece.id in solution.starts
    ]
    steps += _errands(built, solution, times, words)
    steps.sort(key=lambda step: (step.start, step.finish, step.id))
    return Plan(
        job=built.site.job.name,
        zone=built.site.job.zone.key,
        made_at=built.site.now,
        finish=max((step.finish for step in steps), default=built.site.now),
        proof=proof,
        rooms=tuple(_room(built, room.id) for room in built.site.job.rooms),
        people=_people(built),
        gear=dict(built.site.job.gear.count),
        house=tuple(_house(built, times)),
        visits=tuple(_visits(built, times)),
        steps=tuple(with_holds(built, steps)),
        stay_off=tuple(_stay_off(built, times)),
        moved=tuple(_moved(built, times, words)),
    )


def _room(built: Built, room_id: str) -> PlannedRoom:
    room = built.site.job.room(room_id)
    parts = tuple(PlannedPart(part.id, part.in_from or room.in_from) for part in room.parts)
    return PlannedRoom(room.id, room.name, room.in_from, parts)


def _people(built: Built) -> tuple[PlannedPerson, ...]:
    return tuple(
        PlannedPerson(p.name, tuple(sorted(p.can)), tuple((s.start, s.finish) for s in built.site.shifts[p.name]))
        for p in built.site.job.people
    )


def _planned_step(
    built: Built, solution: Solution, times: Times, words: Words, step: Step, piece: Cut
) -> PlannedStep:  # fmt: skip
    start, finish = times.start(piece.id), times.finish(piece.id)
    links = () if piece.n > 1 else step.after
    window = _window(built, times, links)
    foot_ready = max(
        (_until(built, times, keep, piece) for keep in step.keeps_off if keep.what == "walk"), default=None
    )
    return PlannedStep(
        id=piece.id,
        job=step.job,
        room=step.room,
        part=step.part,
        title=step.title if not piece.n else f"{step.title} {piece.n} of {len(built.pieces[step.id])}",
        kind=step.kind,
        state=step_state(built, step, piece, foot_ready, window),
        start=start,
        finish=finish,
        people=_crew(built, solution, piece.id),
        gear=dict(step.gear),
        foot_ready=foot_ready,
        window=window,
        latest_start=words.latest.get(piece.id),
        lost_then=words.lost.get(piece.id),
        reason=words.reasons.get(piece.id, ""),
        recovery=words_if_missed(step, built.site.step_by_id),
        after=tuple(_link(built, times, link) for link in links if link.step in built.pieces),
        stands_on=tuple(_part_of(floor) for floor in step.stands_on),
        pause=step.pause,
        piece=Piece(step.id, piece.n, piece.share) if piece.n else None,
        acts=acts_from(step.acts, built.site.air, start),
        batches=batches_from(step.batches, built.site.air, start),
    )


def _part_of(floor: str) -> str | None:
    _, dot, part = floor.partition(".")
    return part if dot else None


def _crew(built: Built, solution: Solution, task_id: str) -> tuple[str, ...]:
    task = next(task for task in built.network.tasks if task.id == task_id)
    return task.crews[solution.crews.get(task_id, 0)].people


def _window(built: Built, times: Times, links: tuple[Link, ...]) -> StepWindow:
    site = built.site
    known = [link for link in links if link.step in built.pieces]
    opens = [opens_at(link.wait, site.air, times.end(link, last=True)) for link in known if link.wait]
    shuts = [shuts_at(link.within, site.air, times.end(link, last=False)) for link in known if link.within]
    first, last = max(opens, default=None), min(shuts, default=None)
    return StepWindow(first, last, window_state(first, last, site.now))


def _link(built: Built, times: Times, link: Link) -> PlannedLink:
    air = built.site.air
    begin = times.end(link, last=True)
    wait_min, label, rate, law = 0, 0, 1.0, "fixed"
    if link.wait is not None:
        wait_min = opens_at(link.wait, air, begin) - begin
        label, rate, law = link.wait.label.typical, factor(link.wait, air, begin), link.wait.law
    within_min = None
    if link.within is not None:
        first = times.end(link, last=False)
        within_min = shuts_at(link.within, air, first) - begin
    before = built.pieces[link.step][0 if link.on == "start" else -1].id
    return PlannedLink(before, link.on, wait_min, within_min, law, label, round(rate, 3))


def _until(built: Built, times: Times, keep: KeepOff, piece: Cut) -> Instant:
    if isinstance(keep.until, Wait):
        return opens_at(keep.until, built.site.air, times.finish(piece.id))
    return times.step_finish(keep.until) if keep.until in built.pieces else times.finish(piece.id)


def _stay_off(built: Built, times: Times) -> list[StayOff]:
    found = []
    for step in built.site.steps:
        for piece in built.pieces[step.id]:
            for keep in step.keeps_off:
                until = _until(built, times, keep, piece)
                for floor in keep.floors:
                    room, _, part = floor.partition(".")
                    found.append(StayOff(room, part or None, keep.what, times.start(piece.id), until, piece.id))
    return sorted(found, key=lambda off: (off.start, off.room, off.part or "", off.what))


SERVICES: tuple[Service, ...] = ("toilet", "water", "power")


def _house(built: Built, times: Times) -> list[HouseOut]:
    found = []
    for room in built.site.job.rooms:
        for what in SERVICES:
            steps = [s for s in built.site.steps if s.room == room.id and what in s.house]
            outs = [times.start(built.pieces[s.id][0].id) for s in steps if s.house[what] == "out"]
            backs = [times.step_finish(s.id) for s in steps if s.house[what] == "back"]
            if outs:
                found.append(HouseOut(what, room.id, min(outs), max(backs, default=None)))
    return found


def _visits(built: Built, times: Times) -> list[PlannedVisit]:
    return [
        PlannedVisit(v.visit.id, v.visit.who, v.visit.room, v.visit.sees, times.start(v.visit.id),
                     times.finish(v.visit.id), v.booked)
        for v in built.visits
    ]  # fmt: skip


def _errands(built: Built, solution: Solution, times: Times, words: Words) -> list[PlannedStep]:
    """Errands stand in the plan as steps outside every room, so that the person's day is whole."""
    rooms = {e.id: (e.before or "").partition("/")[0].partition(".")[0] for e in built.site.job.errands}
    return [
        PlannedStep(
            id=errand.id, job=built.site.job.name, room=rooms[errand.id] or built.site.job.rooms[0].id, part=None,
            title=errand.what, kind="prep", state="ready", start=times.start(errand.id),
            finish=times.finish(errand.id), people=(errand.who,), latest_start=words.latest.get(errand.id),
            lost_then=words.lost.get(errand.id), reason=words.reasons.get(errand.id, ""),
        )
        for errand in built.site.job.errands
        if errand.id in solution.starts
    ]  # fmt: skip


def _moved(built: Built, times: Times, words: Words) -> list[Moved]:
    accepted = built.site.progress.accepted
    if accepted is None:
        return []
    found = []
    for step_id, (was, _, _) in accepted.steps.items():
        if step_id in times._start and step_id not in built.site.progress.started:
            now = times.start(step_id)
            if now != was:
                found.append(Moved(step_id, was, now, words.reasons.get(step_id, "")))
    return sorted(found, key=lambda moved: moved.now)
