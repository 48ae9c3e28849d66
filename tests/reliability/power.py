"""A disk that remembers: every write, sync, create and unlink in order, so that a power cut can be tried at each point.

The model is stricter than most disks: what was not synced may be kept, lost, or torn at 512 bytes, each write for
itself and in any order; a name that was made or taken away may be so or not until its folder is synced. A disk that
says "synced" and lies is beyond it.
"""

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import apsw

SECTOR = 512
SYSTEM = apsw.vfs_names()[0]


@dataclass
class Op:
    """One entry of the log. `what`: write, truncate, sync, create, unlink, folder_sync, ack."""

    what: str
    name: str = ""
    at: int = 0
    data: bytes = b""


@dataclass
class Log:
    """All that happened on the disk, and to which folder it belongs."""

    folder: Path
    ops: list[Op] = field(default_factory=list)

    def add(self, what: str, name: str = "", at: int = 0, data: bytes = b"") -> None:
        self.ops.append(Op(what, name, at, data))

    def count(self, what: str) -> int:
        return sum(op.what == what for op in self.ops)


class RecordingVFS(apsw.VFS):
    """SQLite's own way to the disk, with a log. `sync_folder` False: a system that has no way to sync a folder."""

    def __init__(self, log: Log, sync_folder: bool = True) -> None:
        self.log = log
        self.sync_folder = sync_folder
        super().__init__("recording", SYSTEM)

    def xOpen(self, name: object, flags: list[int]) -> apsw.VFSFile:  # noqa: N802 - apsw's name
        return _File(self, name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:  # noqa: N802 - apsw's name
        existed = Path(filename).exists()
        super().xDelete(filename, syncdir)
        if existed:
            self.log.add("unlink", Path(filename).name)
        if syncdir and self.sync_folder:
            self.log.add("folder_sync")


class _File(apsw.VFSFile):
    def __init__(self, vfs: RecordingVFS, name: object, flags: list[int]) -> None:
        self.vfs = vfs
        full = name.filename() if isinstance(name, apsw.URIFilename) else str(name)
        self.name = Path(full).name
        created = not Path(full).exists() and bool(flags[0] & apsw.SQLITE_OPEN_CREATE)
        # Like SQLite's Unix layer: the folder is synced with the first sync of a journal that was made.
        self.folder_due = created and bool(flags[0] & (apsw.SQLITE_OPEN_MAIN_JOURNAL | apsw.SQLITE_OPEN_WAL))
        super().__init__(SYSTEM, name, flags)
        if created:
            vfs.log.add("create", self.name)

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802 - apsw's name
        super().xWrite(data, offset)
        self.vfs.log.add("write", self.name, offset, bytes(data))

    def xTruncate(self, newsize: int) -> None:  # noqa: N802 - apsw's name
        super().xTruncate(newsize)
        self.vfs.log.add("truncate", self.name, newsize)

    def xSync(self, flags: int) -> None:  # noqa: N802 - apsw's name
        super().xSync(flags)
        self.vfs.log.add("sync", self.name)
        if self.folder_due and self.vfs.sync_folder:
            self.vfs.log.add("folder_sync")
        self.folder_due = False


class _Inode:
    """A file's bytes that are safe, and what was done to it since."""

    def __init__(self) -> None:
        self.safe = b""
        self.since: list[Op] = []

    def sync(self) -> None:
        self.safe = _applied(self.safe, self.since)
        self.since = []


def _applied(data: bytes, ops: list[Op]) -> bytes:
    out = bytearray(data)
    for op in ops:
        if op.what == "truncate":
            out = out[: op.at] + bytes(max(0, op.at - len(out)))
        else:
            out.extend(bytes(max(0, op.at + len(op.data) - len(out))))
            out[op.at : op.at + len(op.data)] = op.data
    return bytes(out)


@dataclass
class Disk:
    """What a power cut left: name -> bytes, and what had been acknowledged by then."""

    files: dict[str, bytes]
    acks: list[str]
    point: int


class PowerCuts:
    """Goes through a log and gives the disks that a power cut at each point could leave.

    `file_sync_keeps_name`: syncing a file makes its new name last too (a journaling disk whose folders cannot be
    synced); the unlinking of a name never lasts there until the end.
    """

    def __init__(self, log: Log, seed: int, disks_a_point: int, file_sync_keeps_name: bool = False) -> None:
        self.log = log
        self.chance = random.Random(seed)
        self.disks_a_point = disks_a_point
        self.keeps_name = file_sync_keeps_name
        self.safe_names: dict[str, _Inode] = {}
        self.names: dict[str, _Inode] = {}
        self.name_ops: list[tuple[str, str, _Inode | None]] = []
        self.acks: list[str] = []

    def disks(self, points: Callable[[int], bool] = lambda _: True) -> Iterator[Disk]:
        """Every disk, `disks_a_point` for each point in the log that `points` takes."""
        for number, op in enumerate(self.log.ops):
            self._take(op)
            if points(number):
                for which in range(self.disks_a_point):
                    yield Disk(self._left(which), list(self.acks), number)

    def _take(self, op: Op) -> None:
        if op.what == "ack":
            self.acks.append(op.name)
        elif op.what == "folder_sync":
            self._folder_synced()
        elif op.what == "create":
            self.names[op.name] = _Inode()
            self.name_ops.append(("create", op.name, self.names[op.name]))
        elif op.what == "unlink":
            self.names.pop(op.name, None)
            self.name_ops.append(("unlink", op.name, None))
        elif op.what == "sync":
            self.names[op.name].sync()
            if self.keeps_name:
                self.safe_names[op.name] = self.names[op.name]
        else:
            self.names[op.name].since.append(op)

    def _folder_synced(self) -> None:
        self.safe_names = dict(self.names)
        self.name_ops = []

    def _left(self, which: int) -> dict[str, bytes]:
        """Disk 0 has nothing that was not synced, disk 1 all of it, the others some."""
        names = dict(self.safe_names)
        for what, name, inode in self.name_ops:
            if which == 1 or (which > 1 and self.chance.random() < 0.5):
                if what == "create" and inode is not None:
                    names[name] = inode
                else:
                    names.pop(name, None)
        return {name: self._bytes(inode, which) for name, inode in names.items()}

    def _bytes(self, inode: _Inode, which: int) -> bytes:
        if which == 0:
            return inode.safe
        if which == 1:
            return _applied(inode.safe, inode.since)
        kept: list[Op] = []
        for op in inode.since:
            draw = self.chance.random()
            if draw < 0.4:
                kept.append(op)
            elif draw < 0.7 and op.what == "write":
                kept.extend(self._torn(op))
        return _applied(inode.safe, kept)

    def _torn(self, op: Op) -> list[Op]:
        """Some sectors of a write; where the file only grew, a lost sector may have been made longer, with nothing."""
        cuts = range(0, len(op.data), SECTOR)
        return [
            Op("write", op.name, op.at + cut, op.data[cut : cut + SECTOR]) for cut in cuts if self.chance.random() < 0.5
        ]
