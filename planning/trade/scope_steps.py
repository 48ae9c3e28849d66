"""One `[[room.do]]` turned into steps: rows, the setter's skips, changes and additions, and what is wrong in it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from planning.job.job import Job
from planning.job.place import Room
from planning.job.problem import Problem, UnreadableError
from planning.job.scope import Scope, StepChange
from planning.job.step import KeepOff, Link, Step
from planning.trade.bays import bayed
from planning.trade.changes import changed
from planning.trade.leave_out import leave_out
from planning.trade.materials import MaterialClass
from planning.trade.measures_of_room import Measured, holds, how_to_write, measure
from planning.trade.methods import Method
from planning.trade.notes import notes
from planning.trade.own_rows import with_added
from planning.trade.pace import paced
from planning.trade.pan_of import why_no_pan
from planning.trade.rows import step_id, step_of
from planning.trade.scope_words import by_keys, wrong_words
from planning.trade.tables import TableProblem


@dataclass
class Findings:
    """Collects the problems of one scope, and the notes of the trade on it, with their line."""

    file: str
    room: str
    line: int
    problems: list[Problem] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)

    def add(self, what: str, how: str, line: int = 0) -> None:
        """One problem; without a line of its own it stands at the scope's."""
        self.problems.append(Problem(self.file, line or self.line, f"{self.room}: {what}", how))


def scope_steps(
    job: Job, room: Room, scope: Scope, method: Method, known: Mapping[str, MaterialClass], toilet: bool, file: str
) -> tuple[list[Step], Findings]:
    """The method applied to the room, in working order, and what is wrong with it or odd about it.

    `toilet`: does this scope take the room's toilet out and bring it back? A scope that cannot be read has no steps.
    """
    found = Findings(file, room.id, scope.line)
    try:
        method = with_added(method, scope.add)
    except UnreadableError as unclear:
        found.add(unclear.what, unclear.how)
        return [], found
    scope = by_keys(scope, method)
    measured, unread = measure(job, room, method, scope, known, toilet)
    for each in unread:
        found.add(each.what, each.how)
    _check_words(measured, found)
    steps = [] if unread else _steps(measured, found)
    if not steps:
        return [], found
    found.notes += [Problem(file, scope.line, f"{room.id}: {what}", how) for what, how in notes(measured)]
    steps = _one_start(_from_the_edge(_needed(measured, steps)))

    def told(change: StepChange, wrong: UnreadableError) -> None:
        found.add(wrong.what, wrong.how, change.line)

    steps, more = bayed(measured, changed(paced(steps, job.pace), scope.change, told))
    found.notes += [Problem(file, scope.line, f"{room.id}: {what}", how) for what, how in more]
    return steps, found


def _check_words(measured: Measured, found: Findings) -> None:
    """Places, parts, measures, skipped and changed steps that are none."""
    scope, method = measured.scope, measured.method
    for wrong in wrong_words(method, scope, [part.id for part in measured.room.parts]):
        at, n = wrong.place[0], wrong.place[-1]
        line = scope.change[n].line if at == "change" and isinstance(n, int) else 0
        found.add(wrong.what, wrong.how, line)
    for key in scope.measures:
        if key not in method.asks and key.removesuffix("_every") not in method.asks:
            found.add(f'{method.key} has no use for "{key}"', how_to_write(key, sorted(method.asks)))


def _steps(measured: Measured, found: Findings) -> list[Step]:
    """Every row as a step, needed or not; none at all if a row or the bed cannot be read."""
    pan = why_no_pan(measured)
    if pan is not None:
        what, _, how = pan.partition("; ")
        found.add(what, how or "measure it again")
        return []
    steps = []
    for row in measured.method.row:
        try:
            steps.append(step_of(measured, row))
        except (TableProblem, UnreadableError) as unclear:
            found.add(unclear.what, unclear.how)
        except ValueError as unclear:
            what, _, how = str(unclear).partition("; ")
            found.add(f"{row.key}: {what}", how or "measure it again")
    return steps if len(steps) == len(measured.method.row) else []


def _needed(measured: Measured, steps: Sequence[Step]) -> list[Step]:
    """The steps this room needs: rows under flags that do not hold, and skipped ones, are taken out."""
    out, laid = set[str](), dict[str, str | None]()
    for row in measured.method.row:
        identity = step_id(measured, row)
        material = measured.material(row.lays)
        laid[identity] = material.key if material is not None else None
        if row.key in measured.scope.skip or not holds(row.when, measured.flags):
            out.add(identity)
    return leave_out(steps, out, laid)


def _one_start(steps: Sequence[Step]) -> list[Step]:
    """A later step that comes after nothing comes after the first one: a method begins in one place."""
    first = next((step for step in steps if not step.after), None)
    if first is None:
        return list(steps)
    return [step if step.after or step is first else replace(step, after=(Link(first.id),)) for step in steps]


def _from_the_edge(steps: Sequence[Step]) -> list[Step]:
    """A step inside a stay-off that ends with a step (its own, or a later one) is done from the edge.

    So a flood test is read, and let out, from outside a room that is all shower: nobody stands in it.
    """
    earlier = all_before(steps)
    found = []
    for step in steps:
        barred = {
            floor
            for other in steps
            if other.id in earlier[step.id]
            for keep in other.keeps_off
            if keep.what == "walk" and _still_off(keep, step.id, earlier)
            for floor in keep.floors
        }
        found.append(replace(step, stands_on=tuple(floor for floor in step.stands_on if floor not in barred)))
    return found


def _still_off(keep: KeepOff, step: str, earlier: Mapping[str, frozenset[str]]) -> bool:
    until = keep.until
    return isinstance(until, str) and (until == step or step in earlier.get(until, frozenset()))


def all_before(steps: Sequence[Step]) -> dict[str, frozenset[str]]:
    """For each step, every step that is before it by links, near or far. A step before itself is in a circle."""
    links = {step.id: [link.step for link in step.after] for step in steps}
    found: dict[str, frozenset[str]] = {}
    for name in links:
        seen: set[str] = set()
        left = list(links[name])
        while left:
            each = left.pop()
            if each not in seen:
                seen.add(each)
                left += links.get(each, [])
        found[name] = frozenset(seen)
    return found
