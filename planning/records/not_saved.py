"""The one error of everything that is written: what could not be saved, why, and what to do about it."""

import errno
from pathlib import Path

READ_ONLY = frozenset((errno.EACCES, errno.EPERM, errno.EROFS))
FULL = frozenset(
    code
    for code in (errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", None), getattr(errno, "EIO", None))
    if code is not None
)


def one_line(text: str) -> str:
    """Text that can be shown: a file's name may hold line ends and terminal escapes, which become "?"."""
    return "".join(each if each.isprintable() else "?" for each in text)


class NotSaved(OSError):
    """Nothing was saved. `reason` is one line without "NOT SAVED"; `event_id`, if any, is what to try again with.

    The outcome on disk may be unknown (power or a cable can go at the very end): doing it again with the same
    `event_id` never counts twice.
    """

    def __init__(self, reason: str, event_id: str | None = None) -> None:
        self.reason = one_line(reason)
        super().__init__(self.reason)
        self.event_id = event_id

    def __str__(self) -> str:
        return f"NOT SAVED: {self.reason}"


def from_os_error(path: Path, wrong: OSError) -> NotSaved:
    """The line for an error of the file system on that file."""
    if isinstance(wrong, NotSaved):
        return wrong
    if wrong.errno in FULL:
        return NotSaved(f"the disk takes no more for {path.name}; make room, then do it again")
    if wrong.errno in READ_ONLY:
        return NotSaved(f"{path.name} or its folder is read-only or held by another program; free it, then do it again")
    if wrong.errno in (errno.ENOENT, errno.ENOTDIR):
        return NotSaved(f"the folder of {path.name} is gone; put it back, then do it again")
    return NotSaved(f"{path.name} could not be written ({wrong.strerror or wrong}); do it again")
