"""Random days on a job, planned and judged: the same record gives the same plan, wherever it lies.

Every life is worked by its own plan: steps start and end, late or early, people go, things are taken back, the program
restarts, the job is carried to another laptop. The planner is the real one (its instant plan), and so is the judge.
"""

import json
import random
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

from planning.job.events import Event, standing
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.plan_json import to_json
from planning.job.words import Instant
from planning.records.clock import FrozenClock
from planning.records.job_file import read_job
from planning.records.record import Record
from planning.records.transfer import export, import_
from planning.schedule.judge import judge
from planning.schedule.make_plan import make_plan
from planning.schedule.no_plan import NoPlan
from planning.trade.expand import expand
from tests.command_line import SEVEN
from tests.job_files import ONE_FLOOR, floor
from tests.reliability.sizes import SIZES

Tell = Callable[[str], None]

HELPER = """\
[[person]]
name = "helper"
can = ["carry", "mix", "prime", "grout"]
"""
POWDER_ROOM = floor(
    "powder-room", "5 x 5 ft", "level-and-tile-floor", in_from="laundry", tile="12 x 12 x 3/8 in", depth="1/4 in"
)
TWO_ROOMS = ONE_FLOOR + HELPER + POWDER_ROOM


def planned(job: Job, events: tuple[Event, ...], now: Instant) -> Plan | str:
    """The instant plan; when none fits, why."""
    try:
        return make_plan(job, events, now, improve=False)
    except NoPlan as none_fits:
        return str(none_fits)


def text(plan: Plan | str) -> str:
    """A plan as text to compare."""
    return plan if isinstance(plan, str) else to_json(plan)


class Life:
    """One job worked for some days on one laptop."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.path = folder / "life.toml"
        self.path.write_text(TWO_ROOMS)
        self.chance = random.Random(seed)
        self.clock = FrozenClock(SEVEN, 1.0, "b1")
        self.job = self.read(self.path)
        self.record = Record.open(self.path, self.clock)
        self.plan: Plan | str = self.planned()
        self.plans = self.judged = self.forced = 0

    @staticmethod
    def read(path: Path) -> Job:
        job, problems = read_job(path)
        assert job is not None, problems
        return job

    def now(self) -> Instant:
        return int(self.clock.wall().timestamp() // 60)

    def planned(self) -> Plan | str:
        return planned(self.job, self.record.events(), self.now())

    def act(self) -> None:
        """Something happens; then the plan is made and judged anew."""
        if isinstance(self.plan, str):
            self._take_back()
        else:
            self.chance.choices((self._work, self._report, self._take_back, self._accept), (8, 4, 2, 2))[0]()
        self.plan = self.planned()
        self.plans += 1
        if isinstance(self.plan, Plan):
            self._judge(self.plan)

    def _judge(self, plan: Plan) -> None:
        found = judge(plan, self.job, expand(self.job).steps, self.record.events())
        assert set(plan.broken) == set(found), "the plan does not own up to what the judge finds"
        states = {step.id: step.state for step in plan.steps}
        for broken in found:
            # A rule may be broken only where what happened breaks it already: a new plan never does.
            assert any(states.get(step) in ("hands", "curing", "done", "missed") for step in broken.steps), broken
        self.judged += 1
        self.forced += bool(found)

    def note(self, kind: str, **body: Any) -> None:
        self.record.append(kind, body)

    def _work(self) -> None:
        """The step that is due next begins, or ends, about when it was planned."""
        assert isinstance(self.plan, Plan)
        due = min(
            ((step.finish if step.state == "hands" else step.start, step.id, step.state == "hands")
             for step in self.plan.steps if step.state in ("hands", "ready", "wait")), default=None,
        )  # fmt: skip
        if due is None:
            return
        at, step, runs = due
        at += self.chance.choice((0, 0, 0, 0, 5, 20, 60))
        if at > self.now():
            self.clock.advance((at - self.now()) * 60)
        self.note("finished" if runs else "started", step=step)

    def _report(self) -> None:
        assert isinstance(self.plan, Plan)
        self.clock.advance(self.chance.randrange(60, 3600))
        step = self.chance.choice([step for step in self.plan.steps if step.state not in ("curing", "done")])
        soon = self.now() + self.chance.randrange(10, 200)
        kind, body = self.chance.choice(
            (("late", {"step": step.id, "value": 40, "until": step.finish + 40}),
             ("tacky", {"step": step.id, "until": soon}), ("held", {"step": step.id, "until": soon}),
             ("gone", {"who": "helper"}), ("came", {"who": "helper"}), ("note", {"value": "door sticks"}),
             ("stay_until", {"until": soon}))
        )  # fmt: skip
        self.note(kind, **body)

    def _take_back(self) -> None:
        kept = [event for event in standing(self.record.events()) if event.kind != "job_file"]
        if not kept:
            return
        gone = kept[-1] if isinstance(self.plan, str) else self.chance.choice(kept)
        self.record.append("undone", {"event": gone.id})
        self._as_if_never_noted()

    def _as_if_never_noted(self) -> None:
        """Undone events and their undos left out of the record altogether: the plan is the same."""
        events = self.record.events()
        never = tuple(event for event in standing(events) if event.kind != "undone")
        assert text(planned(self.job, never, self.now())) == text(self.planned())

    def _accept(self) -> None:
        assert isinstance(self.plan, Plan)
        steps = {s.id: {"start": s.start, "finish": s.finish, "people": list(s.people)} for s in self.plan.steps}
        self.note("plan_accepted", steps=steps, finish=self.plan.finish)

    def same_everywhere(self) -> None:
        """Planned again, after a restart, and on another laptop: the same plan to the last sign."""
        expected = text(self.planned())
        assert text(self.planned()) == expected
        self.record.close()
        self.record = Record.open(self.path, self.clock)
        assert text(planned(self.read(self.path), self.record.events(), self.now())) == expected
        office = self.path.parent / "office"
        office.mkdir(exist_ok=True)
        there = import_(export(self.path), office, clock=self.clock).job_path
        with Record.open(there, self.clock) as copy:
            assert text(planned(self.read(there), copy.events(), self.now())) == expected


def test_any_life_has_the_same_plan_everywhere_and_no_new_plan_breaks_a_rule(memory_folder: Path, tell: Tell) -> None:
    counts = {"plans": 0, "judged": 0, "forced": 0, "events": 0}
    for seed in range(SIZES.plan_lives):
        folder = memory_folder / str(seed)
        folder.mkdir()
        life = Life(folder, seed)
        for number in range(SIZES.plan_life_acts):
            life.act()
            if number % 8 == 7:
                life.same_everywhere()
        counts["events"] += len(life.record.rows())
        life.record.close()
        for key in ("plans", "judged", "forced"):
            counts[key] += getattr(life, key)
    tell(
        f"lives through the planner: {SIZES.plan_lives} lives, {counts['events']} events, {counts['plans']} plans,"
        f" {counts['judged']} judged ({counts['forced']} with what had happened already), the same again, after a"
        " restart, after an undo and on another laptop"
    )
    assert counts["judged"] > counts["plans"] * 2 // 3


def test_a_life_that_is_planned_from_other_events_has_another_plan(memory_folder: Path) -> None:
    life = Life(memory_folder, 3)
    before = json.loads(text(life.plan))
    assert isinstance(life.plan, Plan)
    first = life.plan.steps[0]
    life.clock.advance((first.start - life.now()) * 60)
    life.note("started", step=first.id)
    life.note("late", step=first.id, value=90, until=first.finish + 90)
    assert json.loads(text(life.planned()))["steps"] != before["steps"], "the control: events do change a plan"
    assert timedelta(0) < life.clock.wall() - SEVEN
    life.record.close()
