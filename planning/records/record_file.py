"""The SQLite file under a record: how it is opened, what is in it, how sure a commit is.

Journal mode TRUNCATE with synchronous EXTRA: simulated power cuts lost no commit, even where a folder cannot be
synced; DELETE did (tests/reliability). Both are read back; a system that refuses them is not written to.
"""

import contextlib
import sqlite3
from pathlib import Path

from planning.records.not_saved import NotSaved

APPLICATION_ID = 0x6D756464
FORMAT = 1
TIMEOUT_S = 2.0
OLDEST_SQLITE = (3, 37, 0)
"""STRICT tables came with 3.37."""

SCHEMA: dict[str, str] = {
    "event": (
        "CREATE TABLE event (seq INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, at_utc TEXT NOT NULL,"
        " utc_offset INTEGER NOT NULL, kind TEXT NOT NULL, body TEXT NOT NULL,"
        " boot TEXT NOT NULL, crc INTEGER NOT NULL) STRICT"
    ),
    "event_kept": (
        "CREATE TRIGGER event_kept BEFORE DELETE ON event BEGIN SELECT RAISE(ABORT, 'events are never taken out'); END"
    ),
    "event_fixed": (
        "CREATE TRIGGER event_fixed BEFORE UPDATE ON event BEGIN SELECT RAISE(ABORT, 'events never change'); END"
    ),
    "event_next": (
        "CREATE TRIGGER event_next BEFORE INSERT ON event"
        " WHEN new.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM event)"
        " BEGIN SELECT RAISE(ABORT, 'events come one after another'); END"
    ),
}
"""Name -> the exact text SQLite keeps of it, compared on opening."""

HEADER_BYTES = 100
MAGIC = b"SQLite format 3\0"


def record_path(job_path: Path) -> Path:
    """Where a job's record lies: beside the job file."""
    return job_path.with_suffix(".record")


def open_to_write(path: Path) -> sqlite3.Connection:
    """A connection whose commits last. Raises sqlite3.Error, or NotSaved when the system refuses the safe modes."""
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        raise NotSaved(f"this Python has SQLite {sqlite3.sqlite_version}; install one with 3.37 or newer")
    link = sqlite3.connect(path, timeout=TIMEOUT_S, isolation_level=None)
    try:
        _safe_modes(link)
    except BaseException:
        link.close()
        raise
    return link


def _safe_modes(link: sqlite3.Connection) -> None:
    for pragma in ("trusted_schema=OFF", "cell_size_check=ON", "mmap_size=0", "fullfsync=ON", "synchronous=EXTRA"):
        link.execute(f"PRAGMA {pragma}")
    link.execute("PRAGMA journal_mode=TRUNCATE")
    if modes(link) != ("truncate", 3):
        raise NotSaved("this disk or this SQLite refuses the safe way of saving; move the job to the laptop's own disk")


def modes(link: sqlite3.Connection) -> tuple[str, int]:
    """The journal mode and the synchronous level in force."""
    return link.execute("PRAGMA journal_mode").fetchone()[0], link.execute("PRAGMA synchronous").fetchone()[0]


def open_to_read(path: Path, ignore_locks: bool = False) -> sqlite3.Connection:
    """A connection that cannot write. `ignore_locks`: the file as it lies there, whatever journal is beside it."""
    query = "mode=ro&immutable=1" if ignore_locks else "mode=ro"
    return sqlite3.connect(f"{path.absolute().as_uri()}?{query}", uri=True, timeout=TIMEOUT_S, isolation_level=None)


def create_in(link: sqlite3.Connection) -> bool:
    """Inside a write transaction: lay out an empty file. False when another window has done so just before."""
    if link.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
        return False
    for text in SCHEMA.values():
        link.execute(text)
    link.execute(f"PRAGMA application_id={APPLICATION_ID}")
    link.execute(f"PRAGMA user_version={FORMAT}")
    return True


def close(link: sqlite3.Connection) -> None:
    """Close, taking away the empty journal where nobody else has the record open."""
    with contextlib.suppress(sqlite3.Error):
        if not link.in_transaction:
            link.execute("PRAGMA journal_mode=DELETE")
    with contextlib.suppress(sqlite3.Error):
        link.close()


def journal_waits(path: Path) -> bool:
    """Is there a journal with something in it: another window is writing, or one died while writing?"""
    try:
        return path.with_name(path.name + "-journal").stat().st_size > 0
    except OSError:
        return False


def check_header(path: Path) -> None:
    """Look at the first bytes without opening the file; an empty file is a new one. Raises DamagedError.

    Opening a file whose header says "write-ahead log" would change it, so this is looked at first.
    """
    with path.open("rb") as stream:
        head = stream.read(HEADER_BYTES)
    if not head:
        return
    if len(head) < HEADER_BYTES or head[:16] != MAGIC:
        raise DamagedError("is damaged: it does not begin like a record")
    if head[18:20] != b"\x01\x01" or int.from_bytes(head[68:72]) != APPLICATION_ID:
        raise DamagedError("is damaged: its first bytes are not those of a record")
    version = int.from_bytes(head[60:64])
    if version != FORMAT:
        raise DamagedError(f"is of format {version}, this mudday reads format {FORMAT}")


class DamagedError(Exception):
    """The record cannot be trusted or used. The text is the rest of a sentence that begins with the file's name."""
