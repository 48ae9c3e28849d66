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
from planning.records.record_witness import export_path, exported_rows


@dataclass(frozen=True, slots=True)
class Rescued:
    """Where the damaged file lies now (None: there was none), how many events went on, and how many are known to be
    lost.
    """

    kept: Path | None
    events: int
    lost: int


def rescue(job_path: Path, clock: Clock) -> Rescued:
    """Make a new record of a damaged one, from it and from the export beside it.

    Raises NotSaved when the record is whole or nothing can be written here.

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
    rows = {row.id: row for row in exported_rows(path)} | {row.id: row for row, _ in saved.noted}
    draft = job_path.with_name(f"{job_path.stem}.rescue.toml")
    for left in _with_journal(record_path(draft)):
        left.unlink(missing_ok=True)
    kept = _free_name(job_path)
    more = len(rows) - len(saved.noted)
    missed = max(saved.lost - more, 0)
    with Record.open(draft, clock, afresh=True) as fresh:
        fresh.append_rows(sorted(rows.values(), key=lambda row: row.seq))
        fresh.append("note", {"value": _words(path, kept, len(saved.noted), more, missed)})
    # A journal of the damaged file must not lie beside the new one: it would be played back into it.
    for old, new in zip(_with_journal(path), _with_journal(kept), strict=True):
        if old.exists():
            os.rename(old, new)
    os.replace(record_path(draft), path)
    sync_folder(path.parent)
    return Rescued(kept if kept.exists() else None, len(rows), missed)


def _words(path: Path, kept: Path, read: int, more: int, missed: int) -> str:
    exported = f", {more} from {export_path(path).name}" if more else ""
    return f"{read} events taken over from {kept.name}{exported}" + (f", {missed} could not" if missed else "")


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
