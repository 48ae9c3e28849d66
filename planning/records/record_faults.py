"""SQLite's many errors as one plain line each."""

import sqlite3
from pathlib import Path

from planning.records.not_saved import NotSaved, from_os_error

_LINES: tuple[tuple[str, str], ...] = (
    ("SQLITE_FULL", "the disk takes no more for {name}; make room, then do it again"),
    ("SQLITE_READONLY", "{name} or its folder is read-only; free it, then do it again"),
    ("SQLITE_CANTOPEN", "{name} cannot be opened (folder gone or read-only); put it right, then do it again"),
    ("SQLITE_PERM", "{name} or its folder is read-only; free it, then do it again"),
    ("SQLITE_BUSY", "another window is writing to {name}; do it again"),
    ("SQLITE_LOCKED", "another window is writing to {name}; do it again"),
    ("SQLITE_PROTOCOL", "another window is writing to {name}; do it again"),
    ("SQLITE_IOERR", "the disk did not take it (full, or the cable is loose); make room, then do it again"),
    ("SQLITE_CORRUPT", "{name} is damaged; it is kept as it is"),
    ("SQLITE_NOTADB", "{name} is damaged; it is kept as it is"),
)


def reason_of(path: Path, wrong: BaseException) -> str:
    """One line: why the record did not take it and what to do."""
    if isinstance(wrong, NotSaved):
        return wrong.reason
    if isinstance(wrong, OSError):
        return from_os_error(path, wrong).reason
    code = str(getattr(wrong, "sqlite_errorname", ""))
    for start, line in _LINES:
        if code.startswith(start):
            return line.format(name=path.name)
    return f"{path.name} did not take it ({wrong}); do it again"


_PASSING = ("SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_CANTOPEN", "SQLITE_READONLY", "SQLITE_PERM", "SQLITE_IOERR",
            "SQLITE_FULL", "SQLITE_NOMEM", "SQLITE_PROTOCOL", "SQLITE_INTERRUPT")  # fmt: skip


def is_passing(wrong: BaseException) -> bool:
    """Does the error lie in what surrounds the file (locks, leave, room) and not in the file?"""
    if isinstance(wrong, sqlite3.ProgrammingError | sqlite3.InterfaceError):
        raise wrong  # a mistake of ours, such as a call from another thread
    code = str(getattr(wrong, "sqlite_errorname", ""))
    return isinstance(wrong, sqlite3.Error) and code.startswith(_PASSING)
