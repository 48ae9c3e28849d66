"""Changes to a job file that leave every other line as it was: comments, order and the setter's own spacing survive.

Text in, text out; only `edit_job` touches the disk. Each change is checked: read again, the new text must say what the
old one said, and the change.
"""

import tomllib
from collections.abc import Callable, Mapping, MutableMapping, Sequence
from pathlib import Path as FilePath
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from planning.job.problem import Problem, UnreadableError
from planning.quantities.number_words import shown
from planning.records.atomic import write_bytes
from planning.records.job_file import MethodsOf, read_job_bytes
from planning.records.toml_lines import Lines, Path

SUB_TABLES = frozenset(("air",))
"""Tables inside a table that get a header of their own; others are written between { and }."""

BOM = "\ufeff"


class NotEditedError(UnreadableError):
    """The change cannot be made in this text: `what` stands in the way and `how` to go on."""


def set_value(text: str, path: Path, value: Any) -> str:
    """The text with one value set, such as ("room", 1, "do", 0, "depth") to "1/2 in"; missing tables are added.

    Raises NotEditedError if the text is not TOML or the path leads through something that is no table.
    """

    def change(document: Any, written: Callable[[Any], Any]) -> None:
        holder = _walk(document, path[:-1], make=True)
        if not isinstance(holder, MutableMapping):
            raise NotEditedError(f"{path[-1]} is no key of a table", "give the place of a key")
        holder[path[-1]] = written(value)

    return _changed(text, change)


def take_out(text: str, path: Path) -> str:
    """The text without one key. Raises NotEditedError if it is not there. For a table in a list see `drop_table`."""

    def change(document: Any, _: Callable[[Any], Any]) -> None:
        holder = _walk(document, path[:-1])
        if not isinstance(holder, MutableMapping) or path[-1] not in holder:
            raise NotEditedError(f"{path[-1]} is not there", "nothing to take out")
        del holder[path[-1]]

    return _changed(text, change)


def add_table(text: str, kind: str, values: Mapping[str, Any]) -> str:
    """The text with one more [[kind]] after the last one there is: a room, person, visit, delivery, errand, ..."""
    old = _plain(text)
    count = len(_tables(old, kind))
    expected = {**old, kind: [*_tables(old, kind), values]}
    last = Lines(text).block((kind, count - 1)) if count else (0, 0)
    return _checked(_put_in(text, last, _block(kind, values, "")), expected)


def add_do(text: str, room_id: str, values: Mapping[str, Any]) -> str:
    """The text with one more [[room.do]] at the end of a room. Raises NotEditedError if there is no such room."""
    path = room_path(text, room_id)
    expected = _plain(text)
    room = _walk(expected, path)
    room["do"] = [*_tables(room, "do"), values]
    return _checked(_put_in(text, Lines(text).block(path), _block("room.do", values, "  ")), expected)


def drop_room(text: str, room_id: str) -> str:
    """The text without a room, its parts and its work. What names the room stays, and reads as a problem."""
    return drop_table(text, room_path(text, room_id))


def drop_table(text: str, path: Path) -> str:
    """The text without one table of a list, such as ("visit", 0); remarks before the next table stay."""
    expected = _plain(text)
    holder = _walk(expected, path[:-1])
    if not isinstance(holder, list) or not isinstance(path[-1], int) or not 0 <= path[-1] < len(holder):
        raise NotEditedError(f"{path[0]} is not there", "nothing to drop")
    del holder[path[-1]]
    if not holder:
        del _walk(expected, path[:-2])[path[-2]]
    begin, end = _without_remarks(text, Lines(text).block(path))
    if not begin:
        raise NotEditedError(f"{path[0]} {path[-1] + 1} stands between brackets", "drop it in the file itself")
    lines = text.split("\n")
    rest = lines[end:]
    if begin > 1 and not lines[begin - 2].strip() and rest and not rest[0].strip():
        rest = rest[1:]
    return _checked("\n".join([*lines[: begin - 1], *rest]), expected)


def room_path(text: str, room_id: str) -> Path:
    """Where the room of that id stands: ("room", n). Raises NotEditedError if there is none."""
    for n, room in enumerate(_tables(_plain(text), "room")):
        if room.get("id") == room_id:
            return ("room", n)
    raise NotEditedError(f"there is no room {shown(room_id)}", "give the id of a room of this file")


def job_text(tables: Mapping[str, Any]) -> str:
    """A whole new job file from plain values, in the order given: tables, and lists of tables with theirs inside."""
    blocks = []
    for name, table in tables.items():
        if isinstance(table, Mapping):
            blocks.append("\n".join([f"[{name}]", *_pairs(table, "")]))
        else:
            blocks += [_block(name, each, "") for each in table]
    return _checked("\n\n".join(blocks) + "\n", {name: table for name, table in tables.items() if table != []})


def edit_job(path: FilePath, change: Callable[[str], str], known_methods: MethodsOf | None = None) -> list[Problem]:
    """Change a job file on disk, all or nothing. Returns the problems that the changed file has: then it is not saved.

    A file that is not there yet begins empty. Line ends and a byte-order mark stay as they are. Raises NotEditedError
    for a change that cannot be made, NotSaved or OSError for a disk that cannot be read or written.
    """
    data = path.read_bytes() if path.exists() else b""
    try:
        old = data.decode("utf-8")
    except UnicodeDecodeError as wrong:
        raise NotEditedError("the file is not UTF-8 text", "save it as UTF-8 text") from wrong
    crlf = "\r\n" in old
    text = change(old.removeprefix(BOM).replace("\r\n", "\n"))
    new = (BOM if old.startswith(BOM) else "") + (text.replace("\n", "\r\n") if crlf else text)
    _, problems = read_job_bytes(new.encode(), str(path), known_methods)
    if not problems:
        write_bytes(path, new.encode())
    return problems


def _changed(text: str, change: Callable[[Any, Callable[[Any], Any]], None]) -> str:
    """The text after a change, which is made twice: in the words kept with their spacing, and in the plain values."""
    expected = _plain(text)
    change(expected, lambda value: value)
    try:
        document = tomlkit.parse(text)
        change(document, _item)
        new = tomlkit.dumps(document)
    except (TOMLKitError, ValueError, TypeError, LookupError, AttributeError, RecursionError) as wrong:
        raise NotEditedError("this place of the file cannot be changed from here", "change it in the file") from wrong
    return _checked(new, expected)


def _item(value: Any) -> Any:
    """A value as TOML writes it; a table between { and }."""
    if not isinstance(value, Mapping):
        return tomlkit.item(value)
    table = tomlkit.inline_table()
    for key, each in value.items():
        table.append(key, _item(each))
    return table


def _walk(document: Any, path: Path, make: bool = False) -> Any:
    """What stands at a path. `make` adds the tables that are missing on the way."""
    for step in path:
        if make and isinstance(document, MutableMapping) and step not in document:
            document[step] = tomlkit.table() if isinstance(document, tomlkit.TOMLDocument) else {}
        there = step in document if isinstance(document, Mapping) else _is_position(document, step)
        if not there:
            raise NotEditedError(f"{step} is not there", "give the place of something in this file")
        document = document[step]
    return document


def _is_position(document: Any, step: str | int) -> bool:
    return isinstance(document, Sequence) and isinstance(step, int) and 0 <= step < len(document)


def _plain(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as wrong:
        raise NotEditedError("the file has a mistake in it", "mend the file first") from wrong


def _checked(text: str, expected: Mapping[str, Any]) -> str:
    if _plain(text) != expected:
        raise NotEditedError("this place of the file cannot be changed from here", "change it in the file")
    return text


def _tables(document: Mapping[str, Any], kind: str) -> list[Any]:
    tables = document.get(kind, [])
    if not isinstance(tables, list) or not all(isinstance(each, Mapping) for each in tables):
        raise NotEditedError(f"{kind} is no list of tables", f"write [[{kind}]]")
    return tables


def _block(header: str, values: Mapping[str, Any], indent: str) -> str:
    """One table of a list as text, its own tables after it and two blanks further in."""
    lines = [f"{indent}[[{header}]]", *_pairs(values, indent)]
    for key, value in values.items():
        if _is_sub(key, value) and isinstance(value, Mapping):
            lines += [f"{indent}  [{header}.{key}]", *_pairs(value, f"{indent}  ")]
        elif _is_sub(key, value):
            lines += [_block(f"{header}.{key}", each, f"{indent}  ") for each in value]
    return "\n".join(lines)


def _pairs(values: Mapping[str, Any], indent: str) -> list[str]:
    plain = ((key, value) for key, value in values.items() if not _is_sub(key, value))
    return [f"{indent}{tomlkit.key(key).as_string()} = {_item(value).as_string()}" for key, value in plain]


def _is_sub(key: str, value: Any) -> bool:
    """Is it a table with a header of its own, or a list of such?"""
    if isinstance(value, Mapping):
        return key in SUB_TABLES
    return isinstance(value, list) and bool(value) and all(isinstance(each, Mapping) for each in value)


def _put_in(text: str, block: tuple[int, int], new: str) -> str:
    """The text with a new table after a block of lines, or at the end when there is none."""
    lines = text.split("\n")
    begin, end = _without_remarks(text, block)
    if not begin:
        above = text.rstrip("\n")
        return f"{above}\n\n{new}\n" if above else f"{new}\n"
    spaced = begin > 1 and not lines[begin - 2].strip()
    return "\n".join([*lines[:end], *([""] if spaced else []), new, *lines[end:]])


def _without_remarks(text: str, block: tuple[int, int]) -> tuple[int, int]:
    """The block up to its last line that says something: remarks after it belong to what comes next."""
    begin, end = block
    lines = text.split("\n")
    while end > begin and (not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#")):
        end -= 1
    return begin, end
