"""Whole files saved all or nothing: a reader, or the next start after a power cut, sees the old text or the new one."""

import contextlib
import errno
import os
from pathlib import Path

from planning.records.not_saved import NotSaved, from_os_error

LEFT_OVER_S = 600.0
"""A temporary file this much older than the file just written was left by a writer that died."""

NO_FOLDER_SYNC = frozenset((errno.EINVAL, errno.ENOTSUP, errno.EBADF))
"""What a file system answers that cannot sync a folder; nothing more can be done there."""


def write_text(path: Path, text: str) -> None:
    """Save text (UTF-8, line ends as they are) at `path`. Raises NotSaved; see `write_bytes`."""
    try:
        data = text.encode("utf-8")
    except UnicodeEncodeError as wrong:
        raise NotSaved(f"{path.name}: the text has a character that cannot be saved ({wrong.reason})") from wrong
    write_bytes(path, data)


def write_bytes(path: Path, data: bytes) -> None:
    """Save bytes at `path`, keeping the mode bits of a file that is there.

    Raises NotSaved with one clear line; the file there is then untouched. A link that leads out of its folder is
    refused; one inside the folder is followed.
    """
    try:
        _write(target_inside(path), data)
    except OSError as wrong:
        raise from_os_error(path, wrong) from wrong


def target_inside(path: Path) -> Path:
    """Where a path really leads. Raises NotSaved when that is another folder than its own."""
    if not path.is_symlink():
        return path
    folder = path.parent.resolve()
    target = path.resolve()
    if target.parent != folder:
        raise NotSaved(f"{path.name} is a link to another folder; put the file itself there")
    return target


def _write(path: Path, data: bytes) -> None:
    temp = path.with_name(f".{path.name}.{os.urandom(4).hex()}.tmp")
    try:
        _write_new(temp, data, _mode_of(path))
        os.replace(temp, path)
    except BaseException:
        with contextlib.suppress(OSError):
            temp.unlink()
        raise
    sync_folder(path.parent)
    _clear_left_overs(path)


def _mode_of(path: Path) -> int | None:
    try:
        mode = path.stat().st_mode & 0o777
    except FileNotFoundError:
        return None
    if not os.access(path, os.W_OK):
        # Replacing needs leave of the folder only; a file somebody made read-only is still not ours to change.
        raise PermissionError(errno.EACCES, "read-only")
    return mode


def _write_new(temp: Path, data: bytes, mode: int | None) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0) | getattr(os, "O_NOFOLLOW", 0)
    handle = os.open(temp, flags, 0o666)
    with os.fdopen(handle, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
    if mode is not None:
        os.chmod(temp, mode)


def sync_folder(folder: Path) -> None:
    """Make a new or renamed name in the folder last through a power cut, where the system lets us (not Windows)."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    except PermissionError:
        return
    try:
        os.fsync(handle)
    except OSError as wrong:
        if wrong.errno not in NO_FOLDER_SYNC:
            raise
    finally:
        os.close(handle)


def _clear_left_overs(path: Path) -> None:
    with contextlib.suppress(OSError):
        written = path.stat().st_mtime
        for old in path.parent.glob(f".{_literal(path.name)}.????????.tmp"):
            with contextlib.suppress(OSError):
                if old.stat().st_mtime < written - LEFT_OVER_S:
                    old.unlink()


def _literal(name: str) -> str:
    return "".join(f"[{c}]" if c in "*?[" else c for c in name)
