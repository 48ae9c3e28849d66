"""A big screen to measure: 8 rooms of 150 steps with names made up in this run. `python -m tests.bench.screen_big JOB`.

Run as a program it shows that plan with a helper that never answers, so that only the screen is measured.
"""

import asyncio
import sys
from collections.abc import AsyncIterator, Mapping, Sequence
from datetime import date, datetime, time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from planning.job.choice import Choice
from planning.job.events import Event
from planning.job.plan import (
    NOT_PROVED,
    Plan,
    PlannedLink,
    PlannedPerson,
    PlannedRoom,
    PlannedStep,
    StayOff,
    StepWindow,
)
from planning.job.words import Instant
from planning.records.clock import SystemClock
from planning.records.saved_plan import write_saved
from tui.app import MuddayApp
from tui.job_read import JobRead

ROOMS = 8
STEPS = 150
ZONE = "America/Denver"


def big_plan(word: str) -> Plan:
    """Every room sets, waits and sets again, an hour a step; `word` is in every name."""
    day = datetime.combine(date(2026, 6, 1), time(7), tzinfo=ZoneInfo(ZONE))
    begin = int(day.timestamp() // 60)
    steps: list[PlannedStep] = []
    for room in range(ROOMS):
        for n in range(STEPS):
            start = begin + room * 7 + n * 65
            before = f"room-{room}/big/s{n - 1}"
            links = () if n == 0 else (PlannedLink(before, "finish", 20, None, "drying", 20, 1.0),)
            steps.append(
                PlannedStep(
                    f"room-{room}/big/s{n}", "big", f"room-{room}", None, f"{word} {n}", "coat", "wait", start,
                    start + 40, (("you", "helper")[room % 2],), window=StepWindow(start - 5, None, None),
                    latest_start=start + 30, lost_then="the day is lost", reason="It dries.", after=links,
                    foot_ready=start + 60,
                )
            )  # fmt: skip
    rooms = tuple(PlannedRoom(f"room-{n}", f"{word} room {n}", ("outside",)) for n in range(ROOMS))
    people = tuple(PlannedPerson(name, ("all",), ((begin, begin + 500),)) for name in ("you", "helper"))
    offs = tuple(StayOff(s.room, None, "walk", s.start, s.start + 60, s.id) for s in steps)
    finish = max(s.finish for s in steps)
    return Plan("big", ZONE, begin, finish, NOT_PROVED, rooms, people, {}, (), (), tuple(steps), offs)


class Silent:
    """A helper that never answers."""

    async def read(self) -> JobRead:
        await asyncio.Event().wait()
        raise AssertionError("nobody sets that event")

    async def plans(self, events: Sequence[Event], now: Instant) -> AsyncIterator[tuple[Plan, bool]]:
        await asyncio.Event().wait()
        yield big_plan("never"), True

    async def choices(self, events: Sequence[Event], now: Instant) -> list[Choice]:
        return []

    async def more_choices(self, events: Sequence[Event], now: Instant) -> AsyncIterator[list[Choice]]:
        yield []

    async def broken(self, plan: Plan, events: Sequence[Event]) -> list[str]:
        return []

    async def page(self, name: str, plan: Plan, events: Sequence[Event], now: Instant) -> Any:
        return {}

    async def menu(self) -> Any:
        return []

    async def change(self, edits: Sequence[Mapping[str, Any]], about: str, now: Instant, write: bool) -> Any:
        return {}

    async def close(self) -> None:
        pass


def save_big(job: Path, word: str) -> None:
    """The job file and its saved plan."""
    job.write_text('[job]\nname = "big"\n', encoding="utf-8")
    write_saved(job, big_plan(word), "from last time")


if __name__ == "__main__":
    MuddayApp(Path(sys.argv[1]), SystemClock(), Silent()).run()
