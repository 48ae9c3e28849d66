"""Names as typed on the command line: steps, rooms, people and the rest, found loosely, never guessed.

A name fits whole, or as a unique ending (`coat-1`, `powder-room/pour`), or as a unique beginning; a space counts as a
dash. On a miss the nearest names are offered.
"""

from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches

from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.step import Step
from planning.trade.references import find_steps
from tui.cli.wrong import WrongUse

MOST_OFFERED = 5


def plain(text: str) -> str:
    """A name as it is compared: small letters, dashes for spaces and underscores, no double dashes."""
    words = text.strip().casefold().replace("_", " ").replace("-", " ").split()
    return "-".join(words).replace("-/-", "/").replace("/-", "/").replace("-/", "/")


def pick(text: str, ways: Mapping[str, Iterable[str]], what: str) -> str:
    """The id that `text` names, from id -> the ways to write it. Raises WrongUse, with the nearest names offered."""
    asked = plain(text)
    if text in ways:
        return text
    table: dict[str, set[str]] = {}
    for each, written in ways.items():
        for way in (each, *written):
            table.setdefault(plain(way), set()).add(each)
    found = table.get(asked, set()) or {i for way, ids in table.items() if way.startswith(asked) for i in ids}
    if len(found) == 1:
        return next(iter(found))
    if found:
        raise WrongUse(f"{text!r} can be {_offer(sorted(found))}; write more of it")
    near = get_close_matches(asked, table, n=MOST_OFFERED, cutoff=0.5)
    offers = list(dict.fromkeys(i for way in near for i in sorted(table[way])))
    hint = f"did you mean {_offer(offers)}?" if offers else f"there is {_offer(sorted(ways)) or 'none'}"
    raise WrongUse(f"there is no {what} {text!r}; {hint}")


def pick_hint(text: str, known: Iterable[str]) -> str:
    """The nearest of the known words as a question, or all of them."""
    words = list(known)
    near = get_close_matches(plain(text).replace("-", "_"), words, n=3, cutoff=0.5)
    return f"did you mean {_offer(near)}?" if near else f"write one of {', '.join(words)}"


def _offer(ids: Sequence[str]) -> str:
    shown = list(ids[:MOST_OFFERED])
    more = f" or {len(ids) - MOST_OFFERED} more" if len(ids) > MOST_OFFERED else ""
    return ", ".join(shown) + more


def step_named(text: str, plan: Plan | None, steps: Sequence[Step], done: Iterable[str] = ()) -> str:
    """The id of a step, or of the first piece (or bay) not `done` of one cut in pieces. Raises WrongUse."""
    ways = {step.id: _step_ways(step) for step in steps}
    if plan is None:
        return pick(text.partition("#")[0], ways, "step")
    finished = set(done)
    bays = [bay.id for bay in _bays_named(text, steps)]
    if bays:
        return next((bay for bay in bays if bay not in finished), bays[-1])
    known = {planned.piece.of if planned.piece else planned.id for planned in plan.steps}
    ways.update({planned.id: {planned.title} for planned in plan.steps if planned.piece is not None})
    ways.update({each: set() for each in known if each not in ways})
    named = pick(text, ways, "step")
    pieces = sorted(p.id for p in plan.steps if p.piece and p.piece.of == named)
    return next((piece for piece in pieces if piece not in finished), pieces[-1]) if pieces else named


def _bays_named(text: str, steps: Sequence[Step]) -> list[Step]:
    """The bays of the one pour that is called so; none for a name that is no pour's, or is that of several."""
    found = find_steps(steps, None, text)
    one = len({(step.room, step.part, step.method) for step in found}) == 1
    return [step for step in found if step.bay_of == text.rpartition("/")[2]] if one else []


def _step_ways(step: Step) -> set[str]:
    place = [step.room, f"{step.room}.{step.part}"] if step.part else [step.room]
    keys = [step.key, *([step.bay_of] if step.bay_of else [])]
    ends = [*keys, *(f"{step.method}/{key}" for key in keys), step.title]
    ways = {*ends, *(f"{each}/{end}" for each in place for end in ends)}
    if step.part:
        ways |= {f"{step.part}/{end}" for end in ends}
    return ways | {f"{step.room} {step.title}"}


def room_named(text: str, job: Job) -> str:
    """The id of a room. Raises WrongUse."""
    return pick(text, {room.id: {room.name} for room in job.rooms}, "room")


def person_named(text: str, job: Job) -> str:
    """The name of a person. Raises WrongUse."""
    return pick(text, {person.name: set[str]() for person in job.people}, "person")


def visit_named(text: str, job: Job, plan: Plan | None) -> str:
    """The id of a visit, by it, by who comes, or by who and room. Raises WrongUse."""
    ways = {each.id: {each.who, f"{each.who} {each.room}", each.sees or each.who} for each in job.visits}
    for planned in plan.visits if plan is not None else ():
        ways.setdefault(planned.id, {planned.who, f"{planned.who} {planned.room}", planned.sees or planned.who})
    return pick(text, ways, "visit")


def answer_named(text: str, job: Job) -> str:
    """The id of an answer that is owed, by it or by what is asked. Raises WrongUse."""
    return pick(text, {each.id: {each.what, f"{each.room} {each.what}"} for each in job.answers}, "answer")


def delivery_named(text: str, job: Job) -> str:
    """The id of a delivery, by it or by what comes (and where to). Raises WrongUse."""
    return pick(text, {each.id: {each.of, f"{each.room or ''} {each.of}"} for each in job.deliveries}, "delivery")


def errand_named(text: str, job: Job) -> str:
    """The id of an errand, by it or by its words. Raises WrongUse."""
    return pick(text, {each.id: {each.what} for each in job.errands}, "errand")


def class_named(text: str, job: Job) -> str:
    """The key of a material class, by it or by its title. Raises WrongUse."""
    from planning.trade.materials import material_classes

    return pick(text, {key: {each.title} for key, each in material_classes(job).items()}, "material class")
