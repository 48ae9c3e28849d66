"""Going on after damage: a new record from what can be read, the damaged file kept beside it as it is."""

import contextlib
import os
from dataclasses import dataclass
from pathlib import Path

from planning.records.atomic import sync_folder
from planning.records.clock import Clock
from planning.records.not_saved import NotSaved, from_os_error
from planning.records.record import Record
from planning.records.record_check import salvage
from planning.records.record_file import record_path


@dataclass(frozen=True, slots=True)
class Rescued:
    """Where the damaged file lies now, how many events went on, and how many are known to be lost."""

    kept: Path
    events: int
    lost: int


def rescue(job_path: Path, clock: Clock) -> Rescued:
    """Make a new record of a damaged one. Raises NotSaved when the record is whole or nothing can be written here.

    Whatever happens half way, the damaged file is still there under one of its two names.
    """
    job_path = Path(job_path)
    with Record.open(job_path, clock) as record:
        if not record.damaged:
            raise NotSaved(f"{record.path.name} is not damaged; nothing to rescue")
    try:
        return _rescue(job_path, record.path, clock)
    except OSError as wrong:
        raise from_os_error(record.path, wrong) from wrong


def _rescue(job_path: Path, path: Path, clock: Clock) -> Rescued:
    saved = salvage(path)
    draft = job_path.with_name(f"{job_path.stem}.rescue.toml")
    for left in _with_journal(record_path(draft)):
        left.unlink(missing_ok=True)
    kept = _free_name(job_path)
    with Record.open(draft, clock) as fresh:
        fresh.append_rows(row for row, _ in saved.noted)
        lost = f", {saved.lost} could not" if saved.lost else ""
        fresh.append("note", {"value": f"{len(saved.noted)} events taken over from {kept.name}{lost}"})
    # A journal of the damaged file must not lie beside the new one: it would be played back into it.
    for old, new in zip(_with_journal(path), _with_journal(kept), strict=True):
        if old.exists():
            os.rename(old, new)
    os.replace(record_path(draft), path)
    sync_folder(path.parent)
    return Rescued(kept, len(saved.noted), saved.lost)


def _with_journal(path: Path) -> tuple[Path, Path]:
    return path.with_name(f"{path.name}-journal"), path


def _free_name(job_path: Path) -> Path:
    number = 1
    while True:
        kept = job_path.with_name(f"{job_path.stem}.damaged-{number}.record")
        with contextlib.suppress(FileNotFoundError):
            kept.lstat()
            number += 1
            continue
        return kept
