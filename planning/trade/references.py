"""Steps found by the names people write, and what in a job file names nothing."""

import re
from collections.abc import Iterable, Sequence

from planning.job.job import Job
from planning.job.problem import Problem
from planning.job.step import Step
from planning.trade.materials import common_classes
from planning.trade.measures_of_room import how_to_write


def slug(name: str) -> str:
    """A key or a title as names are compared: small letters and digits with dashes, so that `check flat` and
    `check-flat` are one name."""
    return "-".join(re.findall(r"[a-z0-9]+", name.lower()))


def find_steps(steps: Sequence[Step], room: str | None, ref: str) -> tuple[Step, ...]:
    """The steps that `ref` names, in order; () if it names none.

    `ref` is a full id (a piece's too), `key`, `method/key`, `part/key`, `room/key`, `part/method/key` or
    `room/method/key`. Without a room of its own it is looked for in `room` (None or "": in all rooms). The key of a
    row that was dammed into bays names all of them. For the key the title may stand ("check flat"); where one step's
    title is another's key, the key counts.
    """
    name = ref.partition("#")[0].strip("/ ")
    exact = tuple(step for step in steps if step.id in (name, f"{room}/{name}"))
    if exact:
        return exact
    *front, key = name.split("/")
    keyed = [step for step in steps if key in (step.key, step.repeats, step.bay_of)]
    titled = [step for step in steps if slug(step.title) == slug(key)]
    for called in (keyed, titled):
        for at in dict.fromkeys((room or None, None)):
            if at is None and room and not front:
                break
            found = tuple(step for step in called if at in (None, step.room) and _lies(step, front, at))
            if found:
                return found
    return ()


def _lies(step: Step, front: Sequence[str], room: str | None) -> bool:
    """Does the step lie where the words before its key say? Outside of a given room they must name the room."""
    if not front:
        return True
    place = step.id.split("/", 1)[0]
    names = {step.room, place} if room is None else {step.room, place, step.part, step.method}
    if len(front) == 1:
        return front[0] in names
    return len(front) == 2 and front[0] in names and front[1] == step.method


def dangling(job: Job, steps: Sequence[Step], file: str) -> list[Problem]:
    """Visits, answers and errands that name no step; deliveries, errands and labels that name no class."""
    return [*_visits(job, steps, file), *_errands(job, steps, file), *_materials(job, file)]


def _visits(job: Job, steps: Sequence[Step], file: str) -> Iterable[Problem]:
    asked = [(v.line, v.room, v.sees, f"visit of {v.who} sees") for v in job.visits if v.sees]
    asked += [(a.line, a.room, a.holds, f"answer of {a.owed_by} holds") for a in job.answers]
    for line, room, ref, what in asked:
        if not find_steps(steps, room, ref):
            keys = [step.key for step in steps if step.room == room]
            yield Problem(file, line, f'{what} "{ref}", which is no step of {room}', how_to_write(ref, keys))


def _errands(job: Job, steps: Sequence[Step], file: str) -> Iterable[Problem]:
    for errand in job.errands:
        if errand.before is None:
            continue
        room, _, ref = errand.before.partition("/")
        if not find_steps(steps, room, ref) and not find_steps(steps, None, errand.before):
            names = [f"{step.room}/{step.key}" for step in steps]
            yield Problem(file, errand.line, f'errand "{errand.what}" is before "{errand.before}", which is no step',
                          how_to_write(errand.before, names))  # fmt: skip


def _materials(job: Job, file: str) -> Iterable[Problem]:
    classes = common_classes()
    families = {key.split("-")[0] for key in classes}
    for delivery in job.deliveries:
        if delivery.of not in classes and delivery.of not in families:
            yield _no_class(file, delivery.line, "delivery of", delivery.of)
    for errand in job.errands:
        for name in errand.brings:
            if name not in classes:
                yield _no_class(file, errand.line, "errand brings", name)
    for name, own in job.materials.items():
        if name not in classes:
            yield _no_class(file, own.line, "label of", name)
    for name in job.van:
        if name not in classes:
            yield _no_class(file, 0, "van holds", name)


def _no_class(file: str, line: int, what: str, name: str) -> Problem:
    return Problem(file, line, f'{what} "{name}", which is no material class', how_to_write(name, common_classes()))
