"""A job's scopes turned into steps: every room, every method, in working order, with what is wrong in the job file."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from heapq import heapify, heappop, heappush

from planning.job.job import Job
from planning.job.place import Room
from planning.job.problem import Problem
from planning.job.scope import Scope
from planning.job.step import Link, Step
from planning.trade.materials import material_classes
from planning.trade.measures_of_room import how_to_write
from planning.trade.methods import Method, all_methods
from planning.trade.own_methods import own_method_problems
from planning.trade.references import dangling, find_steps
from planning.trade.scope_steps import all_before, scope_steps

__all__ = ["Expansion", "expand", "find_steps"]

FILE = "job file"


@dataclass(frozen=True, slots=True)
class Expansion:
    """The steps of a job in working order, and what is wrong in the job file. With problems the steps are not whole.

    `notes` are what the trade finds odd though it can be planned: a slope too steep, a pour for too few hands.
    """

    steps: tuple[Step, ...]
    problems: tuple[Problem, ...]
    notes: tuple[Problem, ...] = ()


def expand(job: Job, file: str = FILE) -> Expansion:
    """Every scope of every room as steps. Never raises for what a job file says; `file` names it in the problems."""
    methods = all_methods(job)
    known = material_classes(job)
    problems = own_method_problems(job, file)
    notes: list[Problem] = []
    steps: list[Step] = []
    starts: list[tuple[Room, Scope, tuple[str, ...]]] = []
    for room in job.rooms:
        toilet_in = room.toilet
        for scope in room.do:
            method = methods.get(scope.method)
            if method is None:
                what = f'{room.id}: there is no method "{scope.method}"'
                problems.append(Problem(file, scope.line, what, how_to_write(scope.method, methods)))
                continue
            takes_out = toilet_in and _takes_toilet_out(method)
            made, found = scope_steps(job, room, scope, method, known, takes_out, file)
            toilet_in = toilet_in and not takes_out
            problems += found.problems
            notes += found.notes
            problems += _twice(made, steps, room, scope, file)
            steps += made
            starts.append((room, scope, tuple(step.id for step in made if not step.after)))
    steps = _after_others(steps, starts, problems, file)
    problems += _circles(steps, file)
    problems += dangling(job, steps, file)
    return Expansion(tuple(in_order(steps)), tuple(sorted(dict.fromkeys(problems))), tuple(notes))


def in_order(steps: Sequence[Step]) -> list[Step]:
    """The steps so that each comes after those it is linked to, else as given. Circles come last, as given."""
    place = {step.id: n for n, step in enumerate(steps)}
    waits = {step.id: {link.step for link in step.after if link.step in place} for step in steps}
    followers: dict[str, list[str]] = {}
    for name, before in waits.items():
        for each in before:
            followers.setdefault(each, []).append(name)
    ready = [place[name] for name, before in waits.items() if not before]
    heapify(ready)
    found: list[Step] = []
    while ready:
        step = steps[heappop(ready)]
        found.append(step)
        for name in followers.get(step.id, ()):
            waits[name].discard(step.id)
            if not waits[name]:
                heappush(ready, place[name])
    done = {step.id for step in found}
    return [*found, *(step for step in steps if step.id not in done)]


def _takes_toilet_out(method: Method) -> bool:
    return any(row.house.get("toilet") == "out" for row in method.row)


def _twice(made: list[Step], steps: Sequence[Step], room: Room, scope: Scope, file: str) -> list[Problem]:
    """The same method twice on one floor gives the same steps twice: they are taken out again."""
    have = {step.id for step in steps}
    if not any(step.id in have for step in made):
        return []
    made.clear()
    how = "do it once, or give each its own part with on = { ... }"
    return [Problem(file, scope.line, f"{room.id}: {scope.method} is done twice on the same floor", how)]


def _after_others(
    steps: Sequence[Step], starts: Sequence[tuple[Room, Scope, tuple[str, ...]]], problems: list[Problem], file: str
) -> list[Step]:
    """The first steps of each scope linked to the steps that its `after` names."""
    more: dict[str, tuple[Link, ...]] = {}
    for room, scope, first in starts:
        links: list[Link] = []
        for ref in scope.after:
            found = find_steps(steps, room.id, ref)
            if not found:
                names = [_short(step, room) for step in steps]
                what = f'{room.id}: after "{ref}", which is no step'
                problems.append(Problem(file, scope.line, what, how_to_write(ref, names)))
            links += [Link(step.id) for step in found]
        for name in first:
            more[name] = tuple(link for link in links if link.step != name)
    return [replace(step, after=(*step.after, *more.get(step.id, ()))) for step in steps]


def _short(step: Step, room: Room) -> str:
    """The shortest full name of a step as seen from a room."""
    if step.room != room.id:
        return step.id
    return f"{step.part}/{step.method}/{step.key}" if step.part else f"{step.method}/{step.key}"


def _circles(steps: Sequence[Step], file: str) -> list[Problem]:
    before: Mapping[str, frozenset[str]] = all_before(steps)
    round_and_round = [name for name, earlier in before.items() if name in earlier]
    if not round_and_round:
        return []
    return [Problem(file, 0, f"{', '.join(round_and_round[:4])} wait for each other", "take one `after` out")]
