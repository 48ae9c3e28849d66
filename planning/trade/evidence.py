"""Evidence that a step must leave before anything covers it: a photo, a gauge reading, a level, or a said reason."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from planning.job.step import Step
from planning.job.words import Kind

COVERING: frozenset[Kind] = frozenset(("prime", "pour", "float", "coat", "set", "grout", "fit"))
"""Kinds of work after which what was there before is not seen again."""
PROVING: tuple[str, ...] = ("photo", "gauge", "reading", "note")
"""Kinds of events that can prove a step when they name it."""
SAID_REASON = "note"
"""A note that names the step says why there is no photo or reading: that is enough."""


def proving_kinds(asks: str) -> tuple[str, ...]:
    """The kinds of events that prove it: a photo by a photo, a film by its gauge, all else by any; a reason always."""
    if asks.startswith("photo"):
        return ("photo", SAID_REASON)
    return ("gauge", SAID_REASON) if "gauge" in asks else PROVING


def missing_evidence(step: Step, noted: Collection[str]) -> tuple[str, ...]:
    """What the step asks for and has not, from the kinds of events `noted` of it."""
    return tuple(asks for asks in step.evidence if not set(proving_kinds(asks)) & set(noted))


def covered_by(step: Step, by_id: Mapping[str, Step]) -> Iterator[Step]:
    """The steps with evidence that this one is the first to cover: before it by links, on a floor it works on."""
    if step.kind not in COVERING:
        return
    todo, seen = [link.step for link in step.after], set[str]()
    while todo:
        name = todo.pop()
        earlier = by_id.get(name)
        if earlier is None or name in seen:
            continue
        seen.add(name)
        if earlier.evidence and set(earlier.works_on) & set(step.works_on):
            yield earlier
        if earlier.kind not in COVERING:
            todo += [link.step for link in earlier.after]


def unproved(step: Step, steps: Mapping[str, Step], noted: Mapping[str, Collection[str]]) -> list[tuple[Step, str]]:
    """The steps it would cover whose evidence is missing, each with the first thing missing, in order of id."""
    found = []
    for earlier in covered_by(step, steps):
        missing: Sequence[str] = missing_evidence(earlier, noted.get(earlier.id, ()))
        if missing:
            found.append((earlier, missing[0]))
    return sorted(found, key=lambda each: each[0].id)
