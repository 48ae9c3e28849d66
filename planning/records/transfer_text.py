"""The text of an export: lines as they are, quoted where mail could change them, each with a checksum."""

import json
import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from planning.job.problem import Problem
from planning.records.record_row import BadRowError, Row, body_text, check_event, event_of

TITLE = "mudday export 1"
INTRO = (
    "One job to carry to another computer: the job file, then everything noted, one event a line.",
    "Read it in with:  mudday import THIS-FILE",
    "Each line below begins with its checksum, so leave them as they are; change the job after importing.",
    "",
)
AGAIN = "get the export again, as a file and not pasted"
MAX_NAME = 100
MAX_BYTES = 64_000_000
"""Of an export: a larger file is none."""


class BadExportError(ValueError):
    """An export that cannot be read in; `problem` says where, what is wrong and what to do."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Carried:
    """What an export holds: the job file's name and bytes, and the record's rows."""

    name: str
    job: bytes
    rows: tuple[Row, ...]

    def started_from(self, job: bytes) -> bool:
        """Was this job file, byte for byte, one that the carried record was noted under?"""
        seen = sha256(job).hexdigest()
        return any(row.kind == "job_file" and event_of(row).body.get("sha256") == seen for row in self.rows)


def to_text(carried: Carried) -> str:
    """The export of a job."""
    lines = [f"job {_json(carried.name)}"]
    text = carried.job.decode("utf-8", "surrogateescape")
    lines += [f"text {each}".rstrip() if _plain(each) else f"quoted {_json(each)}" for each in text.split("\n")]
    lines += [f"event {_json(_event_table(row))}" for row in carried.rows]
    lines.append(f"end {len(lines)} lines, {len(carried.rows)} events")
    summed = (f"{_sum(number, line)} {line}" for number, line in enumerate(lines))
    return "\n".join([TITLE, *INTRO, *summed]) + "\n"


def _plain(line: str) -> bool:
    return line.isprintable() and line == line.rstrip()


def _json(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False, separators=(", ", ": "))
    return text if text.isprintable() else json.dumps(value, separators=(", ", ": "))


def _sum(number: int, line: str) -> str:
    return f"{zlib.crc32(f'{number} {line}'.encode()):08x}"


def _event_table(row: Row) -> dict[str, Any]:
    return {
        "at": row.at_utc,
        "offset": row.utc_offset,
        "kind": row.kind,
        "body": json.loads(row.body),
        "id": row.id,
        "boot": row.boot,
    }


def read_text(file: str, data: bytes) -> Carried:
    """Read an export back; `file` is its name for messages. Raises BadExportError for anything but a whole export."""
    reader = _Reader(file, data)
    lines = list(reader.lines())
    if not lines or not lines[-1][1].startswith("end "):
        raise reader.bad(reader.last, "the end is missing", AGAIN)
    number, line = lines[-1]
    rows = [(at, each[6:]) for at, each in lines if each.startswith("event ")]
    if line != f"end {len(lines) - 1} lines, {len(rows)} events":
        raise reader.bad(number, "lines are missing", AGAIN)
    number, line = lines[0]
    name = reader.value(number, line[4:]) if line.startswith("job ") else None
    if not isinstance(name, str):
        raise reader.bad(number, "the job's name is missing", AGAIN)
    job = "\n".join(reader.job_line(at, each) for at, each in lines[1:-1] if not each.startswith("event "))
    return Carried(name, reader.encoded(job), reader.rows(rows))


class _Reader:
    """Goes through an export line by line and knows the file's name for messages."""

    def __init__(self, file: str, data: bytes) -> None:
        self.file = file
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as wrong:
            line = data.count(b"\n", 0, wrong.start) + 1
            raise self.bad(line, "it is not text (UTF-8)", AGAIN) from wrong
        self.all = text.replace("\r\n", "\n").split("\n")
        self.last = len(self.all)

    def bad(self, line: int, what: str, how: str) -> BadExportError:
        return BadExportError(Problem(self.file, line, what, how))

    def lines(self) -> Iterator[tuple[int, str]]:
        """(line number in the file, line without its checksum), each checked; blank lines after the end are nothing."""
        if self.all[0].strip() != TITLE:
            raise self.bad(1, "this is not an export of this mudday", f'its first line must be "{TITLE}"')
        start = 1 + len(INTRO)
        while len(self.all) > start and not self.all[-1].strip():
            self.all.pop()
        self.last = len(self.all)
        for number, raw in enumerate(self.all[start:]):
            checksum, _, line = raw.rstrip().partition(" ")
            if checksum != _sum(number, line.encode("utf-8", "replace").decode()):
                raise self.bad(start + number + 1, "the line was changed or is out of place", AGAIN)
            yield start + number + 1, line

    def value(self, line: int, text: str) -> Any:
        try:
            return json.loads(text)
        except (ValueError, RecursionError) as wrong:
            raise self.bad(line, "the line cannot be read", AGAIN) from wrong

    def job_line(self, number: int, line: str) -> str:
        tag, _, text = line.partition(" ")
        if tag == "text":
            return text
        value = self.value(number, text) if tag == "quoted" else None
        if not isinstance(value, str) or "\n" in value:
            raise self.bad(number, "the line is of no known kind", AGAIN)
        return value

    def encoded(self, text: str) -> bytes:
        try:
            return text.encode("utf-8", "surrogateescape")
        except UnicodeEncodeError as wrong:
            raise self.bad(1, "the job file in it has half a character", AGAIN) from wrong

    def rows(self, found: list[tuple[int, str]]) -> tuple[Row, ...]:
        rows: dict[str, Row] = {}
        for seq, (number, text) in enumerate(found, 1):
            row = self._row(number, seq, self.value(number, text))
            if row.id in rows:
                raise self.bad(number, f"event {row.id!r} is there twice", AGAIN)
            rows[row.id] = row
        return tuple(rows.values())

    def _row(self, number: int, seq: int, table: object) -> Row:
        try:
            if not isinstance(table, dict) or set(table) != {"at", "offset", "kind", "body", "id", "boot"}:
                raise BadRowError("an event has other keys")
            if not isinstance(table["body"], dict):
                raise BadRowError("its body is no table")
            row = Row(
                seq, table["id"], table["at"], table["offset"], table["kind"], body_text(table["body"]), table["boot"]
            )
            _check_row(row)
        except (TypeError, ValueError, OverflowError) as wrong:
            raise self.bad(number, f"the event is not one that can be noted ({wrong})", AGAIN) from wrong
        return row


def _check_row(row: Row) -> None:
    for value in (row.id, row.at_utc, row.kind, row.boot):
        if not isinstance(value, str) or len(value) > 200 or not value.isprintable():
            raise BadRowError("its names are no names")
    if not row.id or type(row.utc_offset) is not int or abs(row.utc_offset) >= 24 * 60:
        raise BadRowError("its id or UTC offset is wrong")
    event = event_of(row)
    check_event(row.kind, event.body)
    if event.at.isoformat() != row.at_utc:
        raise BadRowError("its time is not UTC")
    if row.boot and not re.fullmatch(r"[\w-]{1,40},-?\d{1,12}\.\d{3}", row.boot):
        raise BadRowError("its boot time is wrong")


_RESERVED = re.compile(r"(?i)(con|prn|aux|nul|com\d|lpt\d)(\..*)?")


def file_name_fault(name: str) -> str | None:
    """Why a name from outside may not become a file here; None when it is a plain name that ends in .toml."""
    if (
        not name.isprintable()
        or any(c in name for c in '/\\:*?"<>|')
        or name != name.strip()
        or _RESERVED.fullmatch(name)
    ):
        return f"{name[:40]!r} is no plain file name"
    if name.startswith((".", "-")) or not name.endswith(".toml") or len(name) > MAX_NAME:
        return f"{name[:40]!r} is no name of a job file"
    return None
