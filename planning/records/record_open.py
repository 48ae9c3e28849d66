"""Opening a record, be it new, read-only, locked, damaged or left over from a crash: always an answer, no error."""

import contextlib
import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from planning.records import record_file
from planning.records.atomic import target_inside
from planning.records.not_saved import NotSaved, one_line
from planning.records.record_check import READ_ERRORS, Noted, check, salvage
from planning.records.record_faults import is_passing, reason_of
from planning.records.record_file import DamagedError
from planning.records.record_witness import witness_of


@dataclass(frozen=True, slots=True)
class Opened:
    """How opening went. `link` None: there is no file yet, or it cannot be used. `trouble`: why nothing can be noted.

    `damaged`: `noted` is what can be read, and the file is not to be touched. It also stands in for a file that
    cannot be read just now.
    """

    link: sqlite3.Connection | None = None
    trouble: str | None = None
    damaged: bool = False
    noted: tuple[Noted, ...] = ()


def open_record(path: Path, read_only: bool, afresh: bool = False) -> Opened:
    """Open the record at a path. Never raises for what is there; never changes a damaged file.

    `afresh`: an empty or missing file is a new record, whatever the files beside it tell.
    """
    try:
        missed = None if afresh else _missed(path)
        return missed or _open(path, read_only)
    except DamagedError as wrong:
        return given_up(path, wrong)
    except (OSError, *READ_ERRORS) as wrong:
        if not isinstance(wrong, OSError) and not is_passing(wrong):
            return given_up(path, DamagedError("is damaged: it cannot be read"))
        saved = salvage(path) if path.exists() else None
        return Opened(trouble=_for_viewing(reason_of(path, wrong)), noted=saved.noted if saved else ())


def given_up(path: Path, why: DamagedError) -> Opened:
    """The answer for a damaged record: what can be read, and one line."""
    saved = salvage(path)
    lost = f", {saved.lost} cannot" if saved.lost else ""
    line = f"{path.name} {why}; it is kept as it is; {len(saved.noted)} events can be read{lost}"
    return Opened(trouble=one_line(line), damaged=True, noted=saved.noted)


def _missed(path: Path) -> Opened | None:
    """The answer for a record that is empty or gone though things were noted; None for any other."""
    gone = not path.exists()
    if (not gone and path.stat().st_size > 0) or record_file.journal_waits(path):
        return None
    witness = witness_of(path)
    if witness is None:
        return None
    line = f"{path.name} is {'gone' if gone else 'empty'}, but {witness.file} tells of {witness.events} events"
    return Opened(trouble=one_line(f"{line}: put it back or run mudday rescue"), damaged=True)


def _for_viewing(why: str) -> str:
    return one_line(f"{why.split(';')[0]}: for viewing, nothing can be noted")


def _open(path: Path, read_only: bool) -> Opened:
    target_inside(path)
    may_write = _may_write(path)
    if not path.exists():
        trouble = None if read_only or may_write else _for_viewing(f"the folder of {path.name} is read-only")
        return Opened(trouble=trouble)
    if not record_file.journal_waits(path):
        record_file.check_header(path)
    elif read_only and may_write:
        _finish_crash(path)
    if read_only and path.stat().st_size == 0:
        return Opened()
    link, trouble = _link(path, read_only, may_write)
    try:
        _look_over(path, link)
    except BaseException:
        _let_go(link)
        raise
    return Opened(link, trouble)


def _may_write(path: Path) -> bool:
    return os.access(path.parent, os.W_OK) and (not path.exists() or os.access(path, os.W_OK))


def _finish_crash(path: Path) -> None:
    """Take back what a writer that died had half written; a connection for viewing may not do that itself."""
    link = record_file.open_to_write(path)
    try:
        link.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    finally:
        record_file.close(link)


def _link(path: Path, read_only: bool, may_write: bool) -> tuple[sqlite3.Connection, str | None]:
    if read_only:
        return record_file.open_to_read(path), None
    if not may_write:
        return record_file.open_to_read(path), _for_viewing(f"{path.name} or its folder is read-only")
    try:
        return record_file.open_to_write(path), None
    except NotSaved as wrong:
        return record_file.open_to_read(path), _for_viewing(wrong.reason)


def _look_over(path: Path, link: sqlite3.Connection) -> None:
    if link.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
        record_file.check_header(path)
        check(link)
    elif path.stat().st_size > 0:
        raise DamagedError("is damaged: its table is gone")


def _let_go(link: sqlite3.Connection) -> None:
    # Plain close: switching the journal mode back is a write, and this file is not to be touched.
    with contextlib.suppress(sqlite3.Error):
        link.close()
