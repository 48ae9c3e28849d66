"""Choices as they are found while the setter looks: no number is given to another one under his eyes."""

from collections.abc import Sequence

from planning.job.choice import Choice

MOST = 3


def merged(shown: Sequence[Choice], found: Sequence[Choice]) -> list[Choice]:
    """What was shown keeps its numbers; what is new comes behind it, the best first, at most three in all."""
    kept = list(shown)
    for each in found:
        place = next((n for n, old in enumerate(kept) if same(old, each)), None)
        if place is None:
            kept.append(each)
        else:
            kept[place] = each  # the same plan in better words
    return kept[: max(MOST, len(shown))]


def best_of(offers: Sequence[Choice], found: Sequence[Choice]) -> int:
    """The place of the choice that the aim likes best among those on the screen; 0 when it is not there."""
    return next((n for n, each in enumerate(offers) if found and same(each, found[0])), 0)


def same(one: Choice, other: Choice) -> bool:
    """Do two choices come to the same plan and write the same?"""
    return _times(one) == _times(other) and [(e.kind, dict(e.body)) for e in one.events] == [
        (e.kind, dict(e.body)) for e in other.events
    ]


def _times(choice: Choice) -> list[tuple[str, int, int, tuple[str, ...]]]:
    return [(step.id, step.start, step.finish, step.people) for step in choice.plan.steps]
