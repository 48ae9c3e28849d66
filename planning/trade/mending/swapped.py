"""Another material class used instead: what is not begun has the windows, labour and amounts of the new one."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from planning.job.events import Event, effective
from planning.job.job import Job
from planning.job.progress import read_progress
from planning.job.step import Link, Step
from planning.job.words import Instant
from planning.trade.expand import expand, in_order
from planning.trade.materials import material_classes
from planning.trade.swapped import as_filed, with_swaps


def swap_of(job: Job, swaps: Sequence[Event]) -> tuple[Step, ...] | None:
    """The steps of a job after these swaps; None when the last of them changes nothing or cannot be done."""
    changed = with_swaps(job, swaps)
    if changed == with_swaps(job, swaps[:-1]):
        return None
    expansion = expand(changed)
    return None if expansion.problems else expansion.steps


def why_no_swap(job: Job, events: Iterable[Event], body: Mapping[str, object]) -> str | None:
    """Why a class cannot be used instead of another in this job, and what to write; None when it can."""
    old, new = str(body.get("class")), str(body.get("value"))
    known = material_classes(job)
    if old not in known:
        return f"there is no material class {old}"
    family = sorted(key for key, each in known.items() if each.family == known[old].family and key != old)
    if new not in family:
        return f"{new} cannot stand in for {old}; " + (f"write one of {', '.join(family)}" if family else "nothing can")
    swaps = [event for event in effective(events) if event.kind == "class_swapped"]
    last = max((each.seq for each in swaps), default=0)
    tried = Event("tried", "class_swapped", datetime.fromtimestamp(0, UTC), body, last + 1)
    if swap_of(as_filed(job), [*swaps, tried]) is not None:
        return None
    return f"no step of this job uses {old}, or it cannot be done with {new}; mudday pull shows the classes it uses"


def swapped(job: Job, steps: Sequence[Step], events: Iterable[Event]) -> tuple[Step, ...]:
    """The steps of a job after the swaps that stand. What had begun before a swap stays what it was.

    Without a swap that can be done these are the very steps that were given.
    """
    noted = tuple(events)
    job = as_filed(job)
    versions: list[Mapping[str, Step]] = []
    done: list[Event] = []
    for event in noted:
        if event.kind == "class_swapped" and (made := swap_of(job, [*done, event])) is not None:
            versions.append({step.id: step for step in made})
            done.append(event)
    if not done:
        return tuple(steps)
    first = {step.id: step for step in expand(job).steps}
    return _merged([first, *versions], _begun_in(job, noted, [event.minute for event in done]))


def _begun_in(job: Job, events: Iterable[Event], times: Sequence[Instant]) -> dict[str, int]:
    """Begun step -> how many swaps had been made when it began."""
    began: dict[str, Instant] = {}
    for name, at in read_progress(job, events).started.items():
        whole = name.partition("#")[0]
        began[whole] = min(at, began.get(whole, at))
    return {name: sum(time <= at for time in times) for name, at in began.items()}


def _merged(versions: Sequence[Mapping[str, Step]], begun: Mapping[str, int]) -> tuple[Step, ...]:
    last = len(versions) - 1
    found: dict[str, Step] = {}
    for name, step in versions[last].items():
        version = begun.get(name)
        if version is not None:
            found[name] = versions[version].get(name, step)
        else:
            found[name] = replace(step, after=tuple(_link(versions, begun, step, link) for link in step.after))
    for name, version in begun.items():
        if name not in found and name in versions[version]:
            found[name] = versions[version][name]
    return tuple(in_order(list(found.values())))


def _link(versions: Sequence[Mapping[str, Step]], begun: Mapping[str, int], step: Step, link: Link) -> Link:
    """A link from something begun waits as long as the class that was laid asks."""
    version = begun.get(link.step)
    before = versions[version].get(step.id) if version is not None else None
    same = (each for each in before.after if (each.step, each.on) == (link.step, link.on)) if before else iter(())
    return next(same, link)
