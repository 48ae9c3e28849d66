"""A made-up job of one room and a planner that needs no solver, for tests of the session and the command line."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from planning.job.events import Event
from planning.job.job import Job
from planning.job.people import Person
from planning.job.place import Room
from planning.job.plan import (
    Moved,
    Plan,
    PlannedLink,
    PlannedPerson,
    PlannedRoom,
    PlannedStep,
    Proof,
    StayOff,
    StepWindow,
)
from planning.job.problem import Problem
from planning.job.progress import read_progress
from planning.job.states import window_state
from planning.job.step import Amount, Band, KeepOff, Step, Wait
from planning.job.words import Instant, Kind
from planning.records.clock import FrozenClock
from planning.schedule.no_plan import NoPlan
from tui.session import Session
from tui.standing import with_states

if TYPE_CHECKING:
    from planning.job.choice import Choice

ZONE = ZoneInfo("America/Denver")
DAY = date(2026, 6, 3)

JOB = Job(
    name="guest house",
    zone=ZONE,
    start=date(2026, 6, 1),
    rooms=(Room("wet-room", "wet room", 3.0, 2.0, ("outside",)),),
    people=(Person("you", "guest house", frozenset({"all"})), Person("helper", "guest house", frozenset({"mix"}))),
)

ROWS: tuple[tuple[str, str, Kind, int, int], ...] = (
    ("wet-room/coats/coat-1", "coat 1", "coat", 70, 0),
    ("wet-room/coats/coat-2", "coat 2", "coat", 70, 160),
    ("wet-room/coats/set-tile", "set tile", "set", 120, 0),
)
"""(id, title, kind, labour, wait after the row before) in working order, all by one person."""


STEPS = tuple(
    Step(
        step_id, JOB.name, "wet-room", None, "coats", step_id.rsplit("/", 1)[1], title, kind, (kind,),
        Band(labour - 20, labour, labour + 40), stands_on=("wet-room",),
        amounts=(Amount("membrane-liquid", 5.0, "l"),) if kind == "coat" else (),
        keeps_off=(KeepOff("walk", ("wet-room",), Wait("walk", Band(60, 120, 300), "drying", "membrane-liquid",
                                                       "wet-room")),),
    )
    for step_id, title, kind, labour, _ in ROWS
)  # fmt: skip


def at(hour: int, minute: int = 0, day: int = 3) -> Instant:
    """An instant on the site's wall clock in June 2026."""
    return int(datetime(2026, 6, day, hour, minute, tzinfo=ZONE).timestamp() // 60)


def clock(hour: int = 7, minute: int = 0, day: int = 3) -> FrozenClock:
    """A clock that stands at that time of the site."""
    return FrozenClock(datetime.fromtimestamp(at(hour, minute, day) * 60, UTC))


class ChainPlanner:
    """Plans the rows one after the other from 7:20, keeps what was noted, and counts how often it was asked."""

    def __init__(self) -> None:
        self.asked = 0
        self.stuck = False

    def plan(self, job: Job, events: Sequence[Event], now: Instant) -> Plan:
        self.asked += 1
        if self.stuck:
            raise NoPlan(["inspector comes before the coat is dry"])
        progress = read_progress(job, events)
        steps: list[PlannedStep] = []
        free = at(7, 20)
        for step_id, title, kind, labour, wait in ROWS:
            opens = steps[-1].finish + wait if steps else None
            start = max(free, opens or 0, progress.not_before.get(step_id, 0))
            accepted = None if progress.accepted is None else progress.accepted.steps.get(step_id)
            start = max(start, accepted[0] if accepted else start)
            start = progress.started.get(step_id, start)
            finish = progress.finished.get(step_id, progress.finish_said.get(step_id, start + labour))
            steps.append(
                PlannedStep(
                    id=step_id, job=job.name, room="wet-room", part=None, title=title, kind=kind, state="wait",
                    start=start, finish=finish, people=("you",), foot_ready=finish + 120,
                    window=StepWindow(opens, None, window_state(opens, None, now)),
                    latest_start=start + 75, lost_then="the pour is lost", reason="Not sooner: coat 1 wet.",
                    after=() if not steps else (
                        PlannedLink(steps[-1].id, "finish", wait, None, "drying", 120, 1.34),
                    ),
                )
            )  # fmt: skip
            free = finish
        moved = () if progress.accepted is None else tuple(
            Moved(s.id, progress.accepted.steps[s.id][0], s.start, "coat 1 ran late")
            for s in steps
            if s.id not in progress.started and progress.accepted.steps[s.id][0] != s.start
        )  # fmt: skip
        made = Plan(
            job=job.name, zone=job.zone.key, made_at=now, finish=steps[-1].finish, proof=Proof(True),
            rooms=(PlannedRoom("wet-room", "wet room", ("outside",)),),
            people=(PlannedPerson("you", ("all",), ((at(7, 20), at(15, 10)),)),), gear={}, house=(), visits=(),
            steps=tuple(steps),
            stay_off=tuple(StayOff("wet-room", None, "walk", s.start, s.finish + 120, s.id) for s in steps),
            moved=moved,
        )  # fmt: skip
        return with_states(made, job, events, now)

    def choices(self, job: Job, events: Sequence[Event], now: Instant) -> "list[Choice]":
        from planning.job.choice import Choice, EventDraft

        plan = self.plan(job, events, now)
        stay = EventDraft("stay_until", {"until": at(16), "value": 30})
        shorter = replace(plan, finish=plan.finish - 5)
        return [
            Choice("All later", "1 step moves", plan.finish, plan),
            Choice("Stay till 4:00", "30 min tonight", shorter.finish, shorter, (stay,)),
        ]


class BenchSession(Session):
    """A session whose job is the one above: the job file's text does not matter."""

    def _read(self) -> tuple[Job | None, list[Problem], tuple[Step, ...]]:
        return JOB, [], STEPS


def session(folder: Path, frozen: FrozenClock | None = None, planner: ChainPlanner | None = None) -> BenchSession:
    """A loaded session on a job file in that folder, planned once."""
    path = folder / "job.toml"
    if not path.exists():
        path.write_text("[job]\n", encoding="utf-8")
    made = BenchSession(path, frozen or clock(), planner or ChainPlanner())
    made.load()
    if made.needs_plan():
        made.replan()
    return made
