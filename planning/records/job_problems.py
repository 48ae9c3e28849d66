"""The document of a job file with every problem of form at once: what cannot be read is reported, then taken out.

pydantic finds the errors; this turns each into a line, what is wrong and how to write it, and goes on without it.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from planning.job.problem import Problem
from planning.quantities.number_words import shown
from planning.quantities.plain_words import listed, nearest
from planning.records import job_names
from planning.records.job_schema import TABLES, Document, Table
from planning.records.toml_lines import MOST_DEEP, Lines, Path

MOST_PROBLEMS = 100
_ROUNDS = 12


class Findings:
    """The problems found in one file, and the places that were taken out because of them."""

    def __init__(self, file: str, lines: Lines) -> None:
        self.file = file
        self.lines = lines
        self.found: dict[tuple[int, str], Problem] = {}
        self.gone: set[Path] = set()
        self.broken: set[Path] = set()

    @property
    def full(self) -> bool:
        """Are there so many that more would not help?"""
        return len(self.found) > MOST_PROBLEMS

    def add(self, path: Path, what: str, how: str) -> None:
        """Report a problem at the line of this path."""
        self.add_at(self.lines.of(path), what, how)

    def add_at(self, line: int, what: str, how: str) -> None:
        """Report a problem at a line. The same thing twice on one line is one problem."""
        problem = Problem(_visible(self.file), line, _visible(what), _visible(how))
        self.found.setdefault((line, problem.what), problem)

    def broken_in(self, line: int) -> None:
        """A statement of the table at this line could not be parsed: its keys may look missing and are not."""
        self.broken.add(self.lines.table_at(line))

    def listed(self) -> list[Problem]:
        """All problems in the order of their lines; after a hundred the rest is only counted."""
        every = sorted(self.found.values())
        if len(every) <= MOST_PROBLEMS:
            return every
        rest = len(every) - MOST_PROBLEMS
        last = Problem(_visible(self.file), every[MOST_PROBLEMS].line, f"and {rest} more problems", "mend these first")
        return [*every[:MOST_PROBLEMS], last]


def _visible(text: str) -> str:
    return "".join(each if each.isprintable() else f"\\u{ord(each):04x}" for each in text)


def read_document(raw: dict[str, Any], findings: Findings) -> Document:
    """What could be read of the file. `raw` is emptied of what could not; list positions stay as they are."""
    _take_out_unseemly(raw, findings)
    for _ in range(_ROUNDS):
        try:
            return Document.model_validate(raw)
        except ValidationError as wrong:
            errors = wrong.errors(include_url=False)
            findings.gone |= _misspelled(errors[:MOST_PROBLEMS])
            for path in [_report(error, raw, findings) for error in errors]:
                _take_out(path, raw, findings)
    return Document()


def _report(error: ErrorDetails, raw: Mapping[str, Any], findings: Findings) -> Path:
    """Report one error; returns what is to be taken out because of it (nothing: an empty path)."""
    path: Path = tuple(each for each in error["loc"] if each != "[key]")
    context = error.get("ctx") or {}
    if context.get("key"):
        path = (*path, str(context["key"]))
    if error["type"] == "missing":
        if path not in findings.gone and path[:-1] not in findings.broken:
            findings.add(
                path[:-1], f"{where(path[:-1], raw)} has no {path[-1]}", f"write {path[-1]} = {_example(path)}"
            )
        return () if _stand_in(path, raw) else path[:-1]
    findings.add(
        path,
        *(
            _words(error, path, raw)
            if not findings.full
            else (f"{_key_words(path)} is wrong too", "mend it or take it out")
        ),
    )
    return path


STAND_INS: Mapping[str, Any] = {"size": "10 x 6 ft", "in_from": ["outside"]}
"""What a room without a readable size or way in is taken for, so that the mistakes behind it are found as well."""


def _stand_in(path: Path, raw: Mapping[str, Any]) -> bool:
    """Put a stand-in where a room's key is missing; the file is refused all the same."""
    room = _at(path[:-1], raw)
    if path[0] != "room" or len(path) != 3 or path[-1] not in STAND_INS or not isinstance(room, dict):
        return False
    room[str(path[-1])] = STAND_INS[str(path[-1])]
    return True


def _misspelled(errors: list[ErrorDetails]) -> set[Path]:
    """Keys that are missing because they stand there under a wrong spelling, which is reported itself."""
    missing = {tuple(error["loc"]) for error in errors if error["type"] == "missing"}
    return {
        (*strange["loc"][:-1], meant)
        for strange in errors
        if strange["type"] == "extra_forbidden"
        for meant in [nearest(str(strange["loc"][-1]), keys_of(table_of(strange["loc"][:-1])))]
        if meant is not None and (*strange["loc"][:-1], meant) in missing
    }


def _words(error: ErrorDetails, path: Path, raw: Mapping[str, Any]) -> tuple[str, str]:
    context = error.get("ctx") or {}
    place = where(path[:-1], raw)
    before = f"{place}{' ' if place.endswith(']') else ', '}" if place else ""
    key = str(path[-1]) if path else ""
    named = f"{before}{_key_words(path)}"
    if error["type"] == "written":
        is_table = (path and isinstance(path[-1], int)) or not path
        return f"{where(path, raw) if is_table else named}: {context['what']}", str(context["how"])
    if error["type"] == "extra_forbidden":
        return _unknown(path, key, place)
    if error["type"] == "list_type":
        return f"{named} is not a list", f"write {_as_list(path)}"
    example = _example(path)
    return f"{named} is not a table", f"write {example}" if example.startswith("[") else f"write {key} = {example}"


def _key_words(path: Path) -> str:
    """The key, and for an item of a list which one it is."""
    if path and isinstance(path[-1], int) and len(path) > 1:
        return f"{path[-2]} {path[-1] + 1}"
    return str(path[-1]) if path else ""


def _unknown(path: Path, key: str, place: str) -> tuple[str, str]:
    right = keys_of(table_of(path[:-1]))
    kind = "keys here" if place else "tables of a job file"
    what = f"{place}: unknown key {shown(key)}" if place else f"unknown table {shown(key)}"
    close = nearest(key, right)
    there = f"the {kind} are {listed(right)}"
    return what, f"write {close}; {there}" if close else there


def table_of(path: Path) -> type[Table]:
    """The model of the table at this path; the whole document when there is none."""
    return TABLES.get(tuple(each for each in path if isinstance(each, str)), Document)


def keys_of(table: type[Table]) -> list[str]:
    """The keys of a table as they are written."""
    return [field.alias or key for key, field in table.model_fields.items()]


def _field(path: Path) -> Any:  # Any: pydantic's FieldInfo, or None
    keys = [each for each in path if isinstance(each, str)]
    fields = TABLES.get(tuple(keys[:-1]), Document).model_fields if keys else {}
    return next((field for key, field in fields.items() if keys and keys[-1] in (field.alias, key)), None)


def _example(path: Path) -> str:
    field = _field(path)
    return str(field.examples[0]) if field is not None and field.examples else '"..."'


def _as_list(path: Path) -> str:
    example = _example(path)
    if example.startswith("[["):
        return f"{example} with two brackets, once for each"
    return f"{path[-1]} = {example}"


def where(path: Path, raw: Mapping[str, Any]) -> str:
    """The table in words: room "powder-room", plain-tile-floor. Empty for the file itself."""
    words: list[str] = []
    at: Any = raw
    for n, step in enumerate(path):
        at = at.get(step) if isinstance(at, dict) and isinstance(step, str) else _item(at, step)
        if isinstance(step, int):
            words[-1] = f"{words[-1]} {_title(at) or step + 1}"
        elif n == 0 or isinstance(at, dict | list):
            words.append(f"[{step}]" if isinstance(at, dict) and n == 0 else step)
    return ", ".join(words)


def _item(at: Any, step: str | int) -> Any:
    return at[step] if isinstance(at, list) and isinstance(step, int) and step < len(at) else None


def _title(table: Any) -> str:
    if isinstance(table, dict):
        for key in ("id", "name", "method", "who", "what", "of", "class", "step"):
            if isinstance(table.get(key), str):
                return shown(table[key])
    return ""


def _take_out(path: Path, raw: dict[str, Any], findings: Findings) -> None:
    """Take a value out: a key from its table, a table from its list (its place stays), any other item with its list."""
    while path and not any(path[:n] in findings.gone for n in range(1, len(path))):
        findings.gone.add(path)
        holder = _at(path[:-1], raw)
        last = path[-1]
        if isinstance(holder, dict) and last in holder:
            del holder[last]
            return
        if isinstance(holder, list) and isinstance(last, int) and isinstance(holder[last], dict):
            holder[last] = None
            return
        path = path[:-1]


def _at(path: Path, raw: Any) -> Any:
    for step in path:
        raw = raw.get(step) if isinstance(raw, dict) and isinstance(step, str) else _item(raw, step)
    return raw


def _take_out_unseemly(raw: dict[str, Any], findings: Findings) -> None:
    """Report and take out texts and keys with signs that cannot be shown, and tables nested without end."""
    todo: list[tuple[Path, Any]] = [((), raw)]
    while todo:
        path, value = todo.pop()
        if len(path) > MOST_DEEP:
            findings.add(path, "tables or lists stand in each other without end", f"nest at most {MOST_DEEP} deep")
            _take_out(path[:1], raw, findings)
        elif isinstance(value, str) and job_names.unprintable(value):
            findings.add(
                path,
                f"{_key_words(path)}: {shown(value)} holds a sign that cannot be shown",
                "write it on one line, with visible letters only",
            )
            _take_out(path, raw, findings)
        else:
            todo.extend(_inside(path, value, raw, findings))


def _inside(path: Path, value: Any, raw: dict[str, Any], findings: Findings) -> Iterable[tuple[Path, Any]]:
    if isinstance(value, list):
        return [((*path, n), each) for n, each in enumerate(value)]
    if not isinstance(value, dict):
        return []
    for key in [key for key in value if job_names.unprintable(key)]:
        findings.add((*path, key), f"the key {shown(key)} holds a sign that cannot be shown", "write plain letters")
        _take_out((*path, key), raw, findings)
    return [((*path, key), each) for key, each in value.items()]
