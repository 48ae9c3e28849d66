"""Plans laid by hand: a job, its steps and a table of starts, written out as a whole plan without any solver.

Used to test the judge, so it works out every consequence (windows, stay-offs, foot-ready times) in its own way.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from planning.job.events import Event
from planning.job.hours import instant, shifts
from planning.job.job import Job
from planning.job.plan import (
    Act,
    Broken,
    HouseOut,
    Moved,
    Piece,
    Plan,
    PlannedBatch,
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
from planning.job.progress import read_progress
from planning.job.step import KeepOff, Step, Wait
from planning.job.words import Instant
from planning.schedule.judge import judge
from planning.trade.air import SiteAir, opens_at, shuts_at, site_air

ZONE = ZoneInfo("America/Denver")


def at(day: int, clock: str, month: int = 6) -> Instant:
    """A wall-clock time in Denver in June 2026: at(1, "7:20")."""
    hour, _, minute = clock.partition(":")
    return instant(ZONE, date(2026, month, day), time(int(hour), int(minute)))


MORNING = at(1, "6:30")


@dataclass(frozen=True)
class Laid:
    """One act: when, who, and (for a piece) its share. `finish` None: its labour, and the meal it runs across."""

    start: Instant
    people: tuple[str, ...]
    share: float | None = None
    finish: Instant | None = None

    def by(self, minutes: int) -> "Laid":
        """The same act so many minutes later."""
        finish = None if self.finish is None else self.finish + minutes
        return replace(self, start=self.start + minutes, finish=finish)


@dataclass(frozen=True)
class ByHand:
    """A job with its steps and where each act is laid: id (with #n for pieces) -> Laid."""

    job: Job
    steps: Sequence[Step]
    acts: Mapping[str, Laid]
    visits: tuple[PlannedVisit, ...] = ()
    events: tuple[Event, ...] = ()
    made_at: Instant = MORNING

    def moved(self, act: str, minutes: int) -> "ByHand":
        """One act laid earlier or later, everything else where it was."""
        return replace(self, acts={**self.acts, act: self.acts[act].by(minutes)})

    def laid(self, act: str, **changes: object) -> "ByHand":
        """One act changed."""
        return replace(self, acts={**self.acts, act: replace(self.acts[act], **changes)})  # type: ignore[arg-type]  # dataclass fields by name

    def without(self, act: str) -> "ByHand":
        """One act taken out."""
        return replace(self, acts={key: laid for key, laid in self.acts.items() if key != act})

    def with_job(self, **changes: object) -> "ByHand":
        """The same table of starts under other facts."""
        return replace(self, job=replace(self.job, **changes))  # type: ignore[arg-type]  # dataclass fields by name

    def with_step(self, step_id: str, **changes: object) -> "ByHand":
        """One step of the job changed."""
        steps = [replace(s, **changes) if s.id == step_id else s for s in self.steps]  # type: ignore[arg-type]  # fields
        return replace(self, steps=steps)

    def plan(self) -> Plan:
        """The whole plan that these starts make."""
        return _Writer(self).plan()


class _Writer:
    def __init__(self, hand: ByHand) -> None:
        self.hand = hand
        self.job = hand.job
        self.air: SiteAir = site_air(hand.job, hand.events)
        self.progress = read_progress(hand.job, hand.events)
        self.step_by_id = {step.id: step for step in hand.steps}
        self.people = {
            person.name: [
                (shift.start, shift.finish)
                for shift in shifts(self.job.hours, person, self.job.zone, self.job.start, date(2026, 6, 20),
                                    self.progress.presence)
            ]
            for person in self.job.people
        }  # fmt: skip
        self.start = {act: laid.start for act, laid in hand.acts.items()}
        self.finish = {act: self._finish(act, laid) for act, laid in hand.acts.items()}

    def _finish(self, act: str, laid: Laid) -> Instant:
        if laid.finish is not None:
            return laid.finish
        step = self.step_by_id.get(act.partition("#")[0])
        if step is None:
            errand = next(errand for errand in self.job.errands if errand.id == act)
            return laid.start + -(-errand.takes_min // 5) * 5
        minutes = -(-step.labour.typical // 5) * 5
        if laid.share is not None:
            minutes = round(minutes * laid.share / 5) * 5
        if not step.pause or self.job.hours.eat_at is None:
            return laid.start + minutes
        for day in range(1, 21):
            eat = instant(self.job.zone, date(2026, 6, day), self.job.hours.eat_at)
            if laid.start < eat < laid.start + minutes:
                return laid.start + minutes + self.job.hours.eat_min
        return laid.start + minutes

    def pieces(self, step: str) -> list[str]:
        return sorted(
            (act for act in self.hand.acts if act.partition("#")[0] == step), key=lambda a: a.partition("#")[2]
        )

    def plan(self) -> Plan:
        steps = sorted((self.planned(act) for act in self.hand.acts), key=lambda step: (step.start, step.id))
        accepted = self.progress.accepted
        was = {} if accepted is None else {step: times[0] for step, times in accepted.steps.items()}
        return Plan(
            job=self.job.name,
            zone=self.job.zone.key,
            made_at=self.hand.made_at,
            finish=max(self.finish.values()),
            proof=Proof(False),
            rooms=tuple(
                PlannedRoom(r.id, r.name, r.in_from, tuple(PlannedPart(p.id, p.in_from) for p in r.parts))
                for r in self.job.rooms
            ),
            people=tuple(
                PlannedPerson(p.name, tuple(sorted(p.can)), tuple(self.people[p.name])) for p in self.job.people
            ),
            gear=dict(self.job.gear.count),
            house=tuple(self.house()),
            visits=self.hand.visits,
            steps=tuple(steps),
            stay_off=tuple(
                StayOff(floor.partition(".")[0], floor.partition(".")[2] or None, keep.what, self.start[act],
                        self.until(keep, act), act)
                for act in self.hand.acts if act.partition("#")[0] in self.step_by_id
                for keep in self.step_by_id[act.partition("#")[0]].keeps_off
                for floor in keep.floors
            ),
            moved=tuple(
                Moved(act, was[act], start, "")
                for act, start in self.start.items()
                if act in was and was[act] != start and act not in self.progress.started
            ),
        )  # fmt: skip

    def until(self, keep: KeepOff, act: str) -> Instant:
        if isinstance(keep.until, Wait):
            return opens_at(keep.until, self.air, self.finish[act])
        return max((self.finish[piece] for piece in self.pieces(keep.until)), default=self.finish[act])

    def house(self) -> list[HouseOut]:
        outs = []
        for room in self.job.rooms:
            for what in ("toilet", "water", "power"):
                here = [s for s in self.hand.steps if s.room == room.id and what in s.house and self.pieces(s.id)]
                gone = [self.start[self.pieces(s.id)[0]] for s in here if s.house[what] == "out"]
                back = [self.finish[self.pieces(s.id)[-1]] for s in here if s.house[what] == "back"]
                if gone:
                    outs.append(HouseOut(what, room.id, min(gone), max(back, default=None)))
        return outs

    def links(self, step: Step) -> tuple[StepWindow, tuple[PlannedLink, ...]]:
        opens, shuts, links = [], [], []
        for link in step.after:
            pieces = self.pieces(link.step)
            if not pieces:
                continue
            since = self.start[pieces[0]] if link.on == "start" else self.finish[pieces[-1]]
            first = self.start[pieces[0]] if link.on == "start" else self.finish[pieces[0]]
            wait_min, within_min = 0, None
            if link.wait is not None:
                opens.append(opens_at(link.wait, self.air, since))
                wait_min = opens[-1] - since
            if link.within is not None:
                shuts.append(shuts_at(link.within, self.air, first))
                within_min = shuts[-1] - since
            piece = pieces[0] if link.on == "start" else pieces[-1]
            label = link.wait.label.typical if link.wait else 0
            links.append(PlannedLink(piece, link.on, wait_min, within_min, "fixed", label, 1.0))
        return StepWindow(max(opens, default=None), min(shuts, default=None), None), tuple(links)

    def planned(self, act: str) -> PlannedStep:
        whole, _, number = act.partition("#")
        start, finish, laid = self.start[act], self.finish[act], self.hand.acts[act]
        if whole not in self.step_by_id:
            errand = next(errand for errand in self.job.errands if errand.id == act)
            return PlannedStep(act, self.job.name, self.job.rooms[0].id, None, errand.what, "prep", "wait", start,
                               finish, laid.people)  # fmt: skip
        step = self.step_by_id[whole]
        window, links = self.links(step) if number in ("", "1") else (StepWindow(None, None, None), ())
        walks = [self.until(keep, act) for keep in step.keeps_off if keep.what == "walk"]
        return PlannedStep(
            id=act,
            job=step.job,
            room=step.room,
            part=step.part,
            title=step.title + (f" {number}" if number else ""),
            kind=step.kind,
            state="wait",
            start=start,
            finish=finish,
            people=laid.people,
            gear=dict(step.gear),
            foot_ready=max(walks, default=None),
            window=window,
            after=links,
            stands_on=tuple(floor.partition(".")[2] or None for floor in step.stands_on),
            pause=step.pause,
            piece=Piece(whole, int(number), laid.share or 0.0) if number else None,
            acts=tuple(Act(a.title, start + a.opens_min, start + a.shuts_min) for a in step.acts),
            batches=tuple(
                PlannedBatch(b.n, b.mixer, b.bags, start + b.begins_min, start + b.lands_min) for b in step.batches
            ),
        )


def noted(kind: str, minute: Instant, **body: object) -> Event:
    """Something noted at that minute."""
    return Event(f"{kind}-{minute}-{body}", kind, datetime.fromtimestamp(minute * 60, UTC), body, minute)


def verdict(hand: ByHand) -> tuple[Broken, ...]:
    """What the judge names of a plan laid by hand."""
    return judge(hand.plan(), hand.job, hand.steps, hand.events)


def numbers(hand: ByHand) -> set[int]:
    """The rule numbers it names."""
    return {broken.rule for broken in verdict(hand)}


def named(hand: ByHand, rule: int) -> list[tuple[str, ...]]:
    """The steps it names for one rule, a tuple for each time."""
    return [broken.steps for broken in verdict(hand) if broken.rule == rule]
