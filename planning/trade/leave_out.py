"""Steps taken out of a method: those the room does not need, and those the setter skips. What follows moves up.

Whoever came after a step that is out comes after the steps before it. Of the two waits, the one counts that is about a
layer which is still there: the earlier step's; of two coats of one class, the longer. A wait for caulk or sealer goes
with them: nothing else needs it.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from planning.job.step import Band, KeepOff, Link, Step, Wait

FINISHING: frozenset[str] = frozenset(("caulk", "seal"))
"""Windows that only concern the step of that kind."""

Laid = Mapping[str, str | None]
"""Step id -> the class it lays, if any."""


def leave_out(steps: Sequence[Step], out: Collection[str], laid: Laid) -> list[Step]:
    """The steps without those in `out`, the links and stay-offs of the others joined across the gaps."""
    by_id = {step.id: step for step in steps}
    gone = frozenset(out)
    kept = []
    for step in steps:
        if step.id in gone:
            continue
        links = [each for link in step.after for each in _across(link, by_id, gone, laid)]
        keeps = tuple(keep for each in step.keeps_off if (keep := _kept_off(each, by_id, gone)) is not None)
        kept.append(replace(step, after=merged(links), keeps_off=keeps))
    return kept


def merged(links: Sequence[Link]) -> tuple[Link, ...]:
    """Links to the same end of the same step made one: the longest wait, the shortest window."""
    found: dict[tuple[str, str], Link] = {}
    for link in links:
        have = found.get((link.step, link.on))
        if have is None:
            found[link.step, link.on] = link
        else:
            found[link.step, link.on] = replace(
                have, wait=_longer(have.wait, link.wait), within=_shorter(have.within, link.within)
            )
    return tuple(found.values())


def _across(link: Link, by_id: Mapping[str, Step], gone: Collection[str], laid: Laid) -> list[Link]:
    if link.step not in gone:
        return [link]
    missing = by_id[link.step]
    found = []
    for before in missing.after:
        same = laid.get(before.step) is not None and laid.get(before.step) == laid.get(link.step)
        wait = before.wait if before.wait is None or before.wait.window not in FINISHING else None
        joined = Link(
            before.step,
            before.on,
            _longer(wait, link.wait) if same else wait,
            link.within if same else before.within,
        )
        found += _across(joined, by_id, gone, laid)
    return found


def _kept_off(keep: KeepOff, by_id: Mapping[str, Step], gone: Collection[str]) -> KeepOff | None:
    """A stay-off until a step that is out lasts until the step before it; until nothing, if there is none."""
    until = keep.until
    while isinstance(until, str) and until in gone:
        before = by_id[until].after
        if not before:
            return None
        until = before[0].step
    return replace(keep, until=until)


def _longer(one: Wait | None, other: Wait | None) -> Wait | None:
    if one is None or other is None:
        return one or other
    return one if _typical(one.label) >= _typical(other.label) else other


def _shorter(one: Wait | None, other: Wait | None) -> Wait | None:
    if one is None or other is None:
        return one or other
    return one if _typical(one.label) <= _typical(other.label) else other


def _typical(label: Band) -> int:
    return label.typical
