"""What is wrong in the methods that the setter wrote in his job file: every mistake at once, with its line."""

from collections.abc import Iterable, Mapping, Sequence

from pydantic import ValidationError

from planning.job.job import Job
from planning.job.problem import Problem
from planning.job.words import SKILLS, WINDOW_NAMES
from planning.quantities import units
from planning.quantities.plain_words import listed, nearest, reads
from planning.trade.materials import common_classes
from planning.trade.methods import ROOM_PLACE, Method, Row, read_own
from planning.trade.rates import rates
from planning.trade.recoveries import recoveries
from planning.trade.row_words import Path, mistakes
from planning.trade.rows import FLOOD_HOLD

Mistake = tuple[str, str]
"""What is wrong, and how to write it right."""


def own_method_problems(job: Job, file: str) -> list[Problem]:
    """What is wrong in the setter's own methods of this job: keys, words, and names that name nothing."""
    return problems_of(job.own_methods, file)


def problems_of(own_methods: Iterable[Mapping[str, object]], file: str) -> list[Problem]:
    """The same of methods as the file has them, rows with the `line` they stand in where it is known."""
    found: list[Problem] = []
    for raw in own_methods:
        name = str(raw.get("key", "without a key"))
        read = read_own(raw)
        if isinstance(read, ValidationError):
            for path, what, how in mistakes(read.errors(include_url=False)):
                where, line = _where(raw, path)
                found.append(Problem(file, line, f"method {name}{where}: {what}", how))
        elif not read.row:
            found.append(Problem(file, _line(raw), f"method {name} has no rows", "write a [[method.row]] a step"))
        else:
            for n, row in enumerate(read.row):
                where, line = _where(raw, ("row", n))
                wrong = _dangling(read, row)
                found += [Problem(file, line, f"method {name}{where}: {what}", how) for what, how in wrong]
    return found


def _where(raw: Mapping[str, object], path: Path) -> tuple[str, int]:
    """`, row 2 (set)` for a path into a row, and the line of that row, else of the method."""
    line = _line(raw)
    if len(path) < 2 or path[0] != "row" or not isinstance(path[1], int):
        return "", line
    rows = raw.get("row")
    row = rows[path[1]] if isinstance(rows, Sequence) and path[1] < len(rows) else None
    if not isinstance(row, Mapping):
        return f", row {path[1] + 1}", line
    called = f" ({row['key']})" if isinstance(row.get("key"), str) else ""
    return f", row {path[1] + 1}{called}", _line(row) or line


def _line(raw: Mapping[str, object]) -> int:
    line = raw.get("line", 0)
    return line if isinstance(line, int) else 0


def _dangling(method: Method, row: Row) -> Iterable[Mistake]:
    """Names in a row that name nothing: without them the row cannot become a step."""
    keys = [each.key for each in method.row]
    places = [ROOM_PLACE, *method.places]
    parts = [*row.labour, *(row.alone or ())]
    listed_amounts = [part for each in row.amounts.values() for part in each]
    named: list[tuple[str, Iterable[str | None], Iterable[str]]] = [
        ("row", (link.step for link in row.after), keys),
        ("place", (row.place, *(row.stands_on or ()), *(p.place for p in parts), *(p.place for p in listed_amounts)),
         places),
        ("skill", row.crew, SKILLS),
        ("rate", (part.rate for part in parts), rates()),
        ("material class", ([row.lays] if row.lays else []) + list(row.amounts), [*method.classes, *common_classes()]),
        ("recovery", (row.recovery,), recoveries()),
    ]  # fmt: skip
    for what, said, right in named:
        choices = list(right)
        names = [name for name in dict.fromkeys(said) if name is not None]
        yield from (_no(what, name, choices) for name in names if name not in choices)
    for said_time in (time for link in row.after for time in (link.wait, link.within) if time is not None):
        if said_time != FLOOD_HOLD and said_time not in WINDOW_NAMES and not reads(units.band, said_time):
            yield (f'"{said_time}" is no window and no time',
                   f"write a time such as \"2 h\", {FLOOD_HOLD}, or one of {', '.join(WINDOW_NAMES)}")  # fmt: skip


def _no(what: str, name: str, choices: Sequence[str]) -> Mistake:
    close = nearest(name, choices)
    return f'there is no {what} "{name}"', f'write "{close}"' if close else f"write one of {listed(choices)}"
