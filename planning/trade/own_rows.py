"""The setter's own steps in a method: what he added in the job file, in the shape of a method's row."""

from collections.abc import Mapping, Sequence
from typing import Any

from pydantic import ValidationError

from planning.job.problem import UnreadableError
from planning.quantities import units
from planning.trade.methods import LinkRow, Method, Row
from planning.trade.row_words import mistakes

HOW = 'write step, labor and after, such as { step = "heat-mat", labor = "90 min", after = ["prime"] }'
SOURCE = "the job file"


def with_added(method: Method, added: Sequence[Mapping[str, object]]) -> Method:
    """The method with the setter's rows in it, each after the last row it comes after (else at the end).

    A row says `step` (or key), `labor` (or labour), and what it may of `title`, `kind`, `place`, `crew`, `after`,
    `before` and the other fields of a row. Raises UnreadableError.
    """
    rows = list(method.row)
    for raw in added:
        row, before = _row(method, rows, raw)
        if any(each.key == row.key for each in rows):
            raise UnreadableError(f'there is already a step "{row.key}"', "give the added step a name of its own")
        rows.insert(_place_for(rows, row), row)
        rows = [_moved_behind(each, row) if each.key in before else each for each in rows]
    return method.model_copy(update={"row": tuple(rows)}) if added else method


def _row(method: Method, rows: Sequence[Row], raw: Mapping[str, object]) -> tuple[Row, frozenset[str]]:
    given: dict[str, Any] = {key: value for key, value in raw.items() if key != "line"}
    before = given.pop("before", ())
    before = frozenset([before] if isinstance(before, str) else before)
    key = given.setdefault("key", given.pop("step", None))
    given.setdefault("title", str(key).replace("-", " "))
    given.setdefault("kind", "fit")
    given.setdefault("source", SOURCE)
    if "place" not in given and len(method.places) == 1:
        given["place"] = next(iter(method.places))
    if "after" not in given:
        given["after"] = _usual_after(rows, before)
    labor = given.pop("labor", None)
    if labor is not None:
        minutes = units.band(labor)
        given["labour"] = [{"of": (minutes.low, minutes.typical, minutes.high), "source": SOURCE}]
    try:
        return Row.model_validate(given), before
    except ValidationError as wrong:
        _, what, how = mistakes(wrong.errors(include_url=False), Row)[0]
        raise UnreadableError(f'added step "{key}": {what}', HOW if "labour" in what else how) from wrong


def _usual_after(rows: Sequence[Row], before: frozenset[str]) -> list[dict[str, Any]]:
    """Without an `after`: behind what the steps before which it goes came after, else behind the last row."""
    for row in rows:
        if row.key in before:
            return [link.model_dump() for link in row.after]
    return [{"step": rows[-1].key}] if rows else []


def _place_for(rows: Sequence[Row], row: Row) -> int:
    names = {link.step for link in row.after}
    return max((n + 1 for n, each in enumerate(rows) if each.key in names), default=len(rows))


def _moved_behind(row: Row, added: Row) -> Row:
    return row.model_copy(update={"after": (*row.after, LinkRow(step=added.key))})
