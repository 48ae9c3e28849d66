"""kill -9 at random moments: nothing acknowledged is lost, and no file is half written."""

import random
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from planning.records.atomic import write_text
from planning.records.clock import FrozenClock, SystemClock
from planning.records.record import Record
from tests.reliability.sizes import SIZES
from tests.reliability.victims import Ack, killed_at_random

KILLS_A_JOB = 10
Tell = Callable[[str], None]


def noting(job: Path, life: int) -> Callable[[Ack], None]:
    def work(ack: Ack) -> None:
        with Record.open(job, SystemClock()) as record:
            number = 0
            while True:
                name = f"{life}-{number}"
                record.append("note", {"value": name}, event_id=name)
                ack(name)
                number += 1

    return work


def values(job: Path) -> list[str]:
    with Record.open(job, FrozenClock(datetime(2026, 6, 1, tzinfo=UTC))) as record:
        assert record.trouble is None
        return [str(event.body["value"]) for event in record.events() if event.kind == "note"]


def test_killed_while_noting_no_acknowledged_event_is_lost(memory_folder: Path, tell: Tell) -> None:
    chance = random.Random(1)
    acknowledged = unacknowledged = 0
    known: list[str] = []
    for life in range(SIZES.kills):
        job = memory_folder / f"job{life // KILLS_A_JOB}.toml"
        if life % KILLS_A_JOB == 0:
            known = []
        acks = killed_at_random(noting(job, life), chance)
        now = values(job)
        promised = known + acks
        assert now[: len(promised)] == promised
        assert len(now) - len(promised) in (0, 1), "one event at most was under way"
        acknowledged += len(acks)
        unacknowledged += len(now) - len(promised)
        known = now
    tell(
        f"kill -9 while noting: {SIZES.kills} kills, {acknowledged} acknowledged, 0 lost,"
        f" {unacknowledged} saved but not yet acknowledged"
    )
    assert acknowledged >= 2 * SIZES.kills


def careless(path: Path, life: int) -> Callable[[Ack], None]:
    def work(ack: Ack) -> None:
        with path.open("a") as stream:
            number = 0
            while True:
                stream.write(f"{life}-{number}\n")
                ack(f"{life}-{number}")
                number += 1

    return work


def test_the_same_kills_catch_a_store_that_acknowledges_too_early(memory_folder: Path, tell: Tell) -> None:
    chance = random.Random(2)
    lost = 0
    for life in range(10):
        path = memory_folder / f"log{life}.txt"
        acks = killed_at_random(careless(path, life), chance)
        found = set(path.read_text().split("\n")) if path.exists() else set()
        lost += len(set(acks) - found)
    tell(f"kill -9, control that acknowledges before writing: {lost} lost in 10 kills")
    assert lost > 0


LINE = "x" * 59 + "\n"
LINES = 1000


def generation(number: int) -> str:
    """A text of 60 KB of which every line knows its number."""
    return "".join(f"{number:08}{LINE[8:]}" for _ in range(LINES))


def whole(text: str) -> int | None:
    """The number of the generation this is, whole; None when it is torn."""
    lines = text.split("\n")
    return int(lines[0][:8]) if len(lines) == LINES + 1 and len(set(lines[:-1])) == 1 else None


def saving(path: Path, first: int, write: Callable[[Path, str], object]) -> Callable[[Ack], None]:
    def work(ack: Ack) -> None:
        number = first
        while True:
            number += 1
            write(path, generation(number))
            ack(str(number))

    return work


def test_killed_while_saving_a_file_is_whole_old_or_whole_new(memory_folder: Path, tell: Tell) -> None:
    chance = random.Random(3)
    path = memory_folder / "snapshot.txt"
    write_text(path, generation(0))
    last = saved = 0
    for _ in range(SIZES.save_kills):
        acks = killed_at_random(saving(path, last, write_text), chance)
        found = whole(path.read_text())
        promised = int(acks[-1]) if acks else last
        assert found in (promised, promised + 1)
        saved += len(acks)
        last = found
    left = len(list(memory_folder.iterdir())) - 1
    tell(f"kill -9 while saving 60 KB: {SIZES.save_kills} kills, {saved} saves, 0 torn, {left} temporary files left")
    assert saved >= 2 * SIZES.save_kills


def test_the_same_kills_tear_a_file_that_is_simply_rewritten(memory_folder: Path, tell: Tell) -> None:
    chance = random.Random(4)
    path = memory_folder / "snapshot.txt"
    path.write_text(generation(0))
    torn = kills = 0
    while not torn and kills < 400:
        killed_at_random(saving(path, 0, Path.write_text), chance)
        kills += 1
        torn += whole(path.read_text()) is None
        path.write_text(generation(0))
    tell(f"kill -9, control that rewrites in place: torn after {kills} kills")
    assert torn > 0
