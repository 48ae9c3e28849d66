"""The power goes at every point of some notes: nothing acknowledged is lost and nothing is damaged."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import apsw
import pytest

from planning.records import record_file
from planning.records.clock import FrozenClock
from planning.records.record import Record
from tests.reliability.power import Disk, Log, PowerCuts, RecordingVFS
from tests.reliability.sizes import SIZES, SOAK

NOTES = 40 if SOAK else 24
Tell = Callable[[str], None]
SEVEN = datetime(2026, 6, 1, 13, tzinfo=UTC)


def recorded(folder: Path, monkeypatch: pytest.MonkeyPatch, sync_folder: bool = True, modes: str | None = None) -> Log:
    """The log of those notes through the Record class itself, on SQLite's newest release with a recording disk below.

    `modes`: "journal mode, synchronous" to use instead of the record's own: the controls.
    """
    log = Log(folder)
    vfs = RecordingVFS(log, sync_folder)

    def connect(path: Path, **_options: Any) -> apsw.Connection:
        return apsw.Connection(str(path), vfs="recording")

    with monkeypatch.context() as patch:
        patch.setattr(record_file, "sqlite3", SimpleNamespace(**{**vars(sqlite3), "connect": connect}))
        if modes is not None:
            patch.setattr(record_file, "_safe_modes", lambda link: _other_modes(link, modes))
        with Record.open(folder / "job.toml", FrozenClock(SEVEN)) as record:
            for number in range(NOTES):
                event = record.append(
                    "note", {"value": f"{number} " + "x" * (37 * number % 400)}, event_id=f"n{number}"
                )
                log.add("ack", event.id)
    vfs.unregister()
    return log


def _other_modes(link: apsw.Connection, modes: str) -> None:
    journal, synchronous = modes.split()
    link.execute(f"PRAGMA journal_mode={journal}")
    link.execute(f"PRAGMA synchronous={synchronous}")


def verdict(disk: Disk, folder: Path) -> str:
    """Open what is left with the Record class: "fine", "lost" or "damaged"."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for name, data in disk.files.items():
        (folder / name).write_bytes(data)
    with closing(Record.open(folder / "job.toml", FrozenClock(SEVEN))) as record:
        noted = [event.id for event in record.events() if event.kind == "note"]
        if record.trouble is not None:
            return "damaged"
    attempted = [f"n{number}" for number in range(NOTES)]
    if noted[: len(disk.acks)] != disk.acks:
        return "lost"
    return "fine" if noted == attempted[: len(noted)] and len(noted) <= len(disk.acks) + 1 else "damaged"


@pytest.mark.parametrize("sync_folder", [True, False], ids=["folders can be synced", "folders cannot be synced"])
def test_a_power_cut_at_any_point_loses_nothing_acknowledged(
    memory_folder: Path, monkeypatch: pytest.MonkeyPatch, tell: Tell, sync_folder: bool
) -> None:
    (memory_folder / "run").mkdir()
    log = recorded(memory_folder / "run", monkeypatch, sync_folder)
    assert log.count("ack") == NOTES
    a_point = max(3, -(-SIZES.cut_disks // 2 // len(log.ops)))
    cuts = PowerCuts(log, 1, a_point, file_sync_keeps_name=not sync_folder)
    found = {"fine": 0, "lost": 0, "damaged": 0}
    for disk in cuts.disks():
        found[verdict(disk, memory_folder / "disk")] += 1
    place = "with" if sync_folder else "without"
    tell(
        f"power cut, {place} folder sync: {sum(found.values())} disks, {found['lost']} lost, {found['damaged']} damaged"
    )
    assert found["lost"] == found["damaged"] == 0
    assert found["fine"] >= SIZES.cut_disks // 2


@pytest.mark.parametrize(
    ("modes", "sync_folder"),
    [("DELETE OFF", True), ("DELETE FULL", True), ("DELETE EXTRA", False), ("WAL NORMAL", True)],
)
def test_the_same_power_cuts_catch_weaker_modes(
    memory_folder: Path, monkeypatch: pytest.MonkeyPatch, tell: Tell, modes: str, sync_folder: bool
) -> None:
    (memory_folder / "run").mkdir()
    log = recorded(memory_folder / "run", monkeypatch, sync_folder, modes)
    assert log.count("ack") == NOTES
    cuts = PowerCuts(log, 1, 10, file_sync_keeps_name=not sync_folder)
    found = {"fine": 0, "lost": 0, "damaged": 0}
    for disk in cuts.disks(lambda number: number % 19 == 0):
        found[verdict(disk, memory_folder / "disk")] += 1
    tell(f"power cut, control {modes}: {sum(found.values())} disks, {found['lost']} lost, {found['damaged']} damaged")
    assert found["lost"] + found["damaged"] > 10


def test_each_commit_reaches_the_disk_four_times(memory_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = recorded(memory_folder, monkeypatch)
    first, last = (next(n for n, op in enumerate(log.ops) if op.name == f"n{k}") for k in (0, NOTES - 1))
    syncs = sum(op.what == "sync" for op in log.ops[first:last])
    assert syncs >= 4 * (NOTES - 1)
