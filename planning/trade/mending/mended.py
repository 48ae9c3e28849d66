"""The steps of a job as its events leave them: one handler for each kind of event that changes what must be done."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from planning.job.events import Event, effective
from planning.job.job import Job
from planning.job.progress import read_progress
from planning.job.step import Band, Link, Step, Wait
from planning.job.words import Instant
from planning.trade.expand import in_order
from planning.trade.materials import material_classes
from planning.trade.mending.asked import found_id, is_trouble, said_no, tags, trouble_of
from planning.trade.mending.bench import Bench, Repair, mend
from planning.trade.mending.layers import floors_of, hurt_layer, running_pour, seen_step
from planning.trade.mending.measured import band_of, batches_of, share_of, window_of
from planning.trade.mending.shut import mend_shut_windows
from planning.trade.mending.swapped import swapped
from planning.trade.rates import scaled
from planning.trade.recoveries import Recovery, recoveries
from planning.trade.rows import FLOOD_HOLD
from planning.trade.troubles import Trouble, trouble_named

LEAST_PART = 0.05
"""Of a pour cut short, the poured part and the rest are each at least this share of it (ours, no source)."""
SPREAD_LOW, SPREAD_HIGH = 0.75, 1.5
"""Labour the setter gave as one number: low and high as shares of it (ours, no source)."""


def mended(job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant) -> tuple[Step, ...]:
    """The steps of `job` (in working order) with all that the events made of them by `now`; twice is as once.

    Begun steps keep their ids and what was done; mends, repeats and found work come in as steps of their own, and what
    waited for a lost layer waits for the mended one. A step of nobody's (unknown ids in events) changes nothing.
    """
    noted = tuple(events)
    standing = effective(noted)
    bench = Bench(job, list(swapped(job, steps, standing)), read_progress(job, noted))
    before = len(bench.steps)
    ends = tags(noted)
    for event in standing:
        handler = HANDLERS.get(event.kind)
        if handler is not None and is_trouble(event) and not _no_need(standing, event):
            handler(bench, event, ends[event.id])
    mend_shut_windows(bench, noted, now)
    if len(bench.steps) == before:
        return tuple(bench.steps)
    return tuple(in_order(bench.steps))


def _no_need(standing: Sequence[Event], event: Event) -> bool:
    """The owner said no to it: it stays as it is."""
    return event.kind == "found" and said_no(standing, event)


def _found(bench: Bench, event: Event, tag: str) -> None:
    trouble = trouble_of(event)
    if trouble is None:
        return
    if trouble.hits == "floor":
        cure = trouble.cure("")
        assert cure is not None
        _mend_floor(bench, event, cure, f"{trouble.key}-", tag)
        return
    hit = hurt_layer(bench, event, trouble)
    if hit is not None:
        _mend_layer(bench, hit, trouble, event, tag)


def _mend_layer(bench: Bench, hit: Step, trouble: Trouble, event: Event, tag: str) -> None:
    cure = trouble.cure(hit.kind)
    if cure is not None and not bench.waits_for_mending(hit):
        mend(Repair(bench, hit, cure, tag, event.minute, cure.part))


def _visit_result(bench: Bench, event: Event, tag: str) -> None:
    """An inspection that failed: the step is put right, done again and shown again."""
    value = str(event.body.get("value", "")).casefold()
    hit = seen_step(bench, str(event.body.get("visit", "")))
    if hit is None or not bench.begun(hit):
        return
    trouble = trouble_named(value)
    cure = trouble.cure(hit.kind) if trouble.hits == "test" else None
    if cure is None:
        holds = any(link.wait is not None and link.wait.window == FLOOD_HOLD for link in hit.after)
        cure = recoveries()["drain-and-retest" if holds else "put-right-and-show"]
    mend(Repair(bench, hit, cure, tag, event.minute))


def _short(bench: Bench, event: Event, tag: str) -> None:
    """Bags short in the middle of a pour: the poured part stands behind a bulkhead, the rest is a later bay."""
    hit = running_pour(bench, event)
    material = material_classes(bench.job).get(str(event.body.get("class", "")))
    missing = event.body.get("value")
    if hit is None or material is None or not isinstance(missing, int | float):
        return
    needed = sum(material.packages(a.quantity) for a in hit.amounts if a.material == material.key)
    if needed <= 0 or bench.waits_for_mending(hit):
        return
    rest = min(1 - LEAST_PART, max(LEAST_PART, float(missing) / needed))
    if not mend(Repair(bench, hit, recoveries()["bulkhead-and-bay"], tag, event.minute, rest)):
        return
    poured = 1 - rest
    cut = replace(
        hit, labour=scaled(hit.labour, poured), amounts=share_of(hit.amounts, poured),
        batches=batches_of(hit.batches, poured), sees=None,
    )  # fmt: skip
    bench.change(lambda step: cut if step.id == hit.id else step)


def _extra_work(bench: Bench, event: Event, tag: str) -> None:
    """Work the owner said yes to: before the named step, else before the room is handed over."""
    takes = event.body.get("minutes")
    labour = None
    if isinstance(takes, int | float) and takes > 0:
        labour = Band(max(1, round(takes * SPREAD_LOW)), round(takes), round(takes * SPREAD_HIGH))
    _mend_floor(bench, event, recoveries()["extra-work"], "", tag, labour, str(event.body.get("value", "")))


def _mend_floor(
    bench: Bench, event: Event, cure: Recovery, front: str, tag: str, labour: Band | None = None, says: str = ""
) -> None:
    """New steps for a floor itself; what is not begun there waits for them."""
    floors = floors_of(bench, event)
    if not floors:
        return
    room, _, part = floors[0].partition(".") if len(floors) == 1 else (floors[0].partition(".")[0], "", "")
    made: list[Step] = []
    after: tuple[Link, ...] = ()
    wait: Wait | None = None
    for row in cure.rows:
        name = found_id(bench.job, event, f"{front}{row.key}", tag)
        step = Step(
            id=name, job=bench.job.name, room=room, part=part or None, method=name.split("/")[1],
            key=name.rpartition("/")[2], title=row.title, kind=row.kind, crew=row.crew,
            labour=Band(1, 1, 1), pause=row.pause, after=after, stands_on=floors, works_on=floors,
            cautions=row.cautions, small_items=row.small_items, says=says or cure.say, sources=(cure.source,),
            known_since=event.minute,
        )  # fmt: skip
        made.append(replace(step, labour=labour or band_of(bench.job, step, row)))
        wait = window_of(bench.job, room, row)
        after = (Link(name, wait=wait),)
    if bench.step(made[0].id) is not None:
        return
    waiting = _waiting(bench, event, set(floors))
    link = Link(made[-1].id, wait=wait)
    bench.change(lambda step: _behind(step, link) if step.id in waiting else step)
    bench.add(None, made)


def _behind(step: Step, link: Link) -> Step:
    return step if link in step.after else replace(step, after=(*step.after, link))


def _waiting(bench: Bench, event: Event, floors: set[str]) -> set[str]:
    """Who waits for work on a floor: the named step; for extra work the room's last steps; else the first of each
    chain of what is not begun there."""
    named = bench.step(str(event.body.get("step", "")))
    opens = _opens(bench, floors)
    if named is not None and not bench.begun(named) and named.id not in opens:
        return {named.id}
    there = [step for step in bench.steps if set(step.works_on) & floors and not bench.begun(step)]
    there = [step for step in there if step.id not in opens]
    if event.kind == "extra_work":
        there = [step for step in there if step.kind == "finish"]
    behind = _all_behind(bench.steps, {step.id for step in there})
    return {step.id for step in there if step.id not in behind}


def _opens(bench: Bench, floors: set[str]) -> set[str]:
    """What must be done first so that anybody may stand on a floor again: the steps a stay-off there lasts until (a
    flood is let out), and all before them."""
    last = {
        keep.until
        for step in bench.steps
        if bench.begun(step)
        for keep in step.keeps_off
        if isinstance(keep.until, str) and set(keep.floors) & floors
    }
    return last | {step.id for step in bench.steps if last & _all_behind(bench.steps, {step.id})}


def _all_behind(steps: Sequence[Step], some: set[str]) -> set[str]:
    """Everything that comes, near or far, after any of these."""
    followers: dict[str, list[str]] = {}
    for step in steps:
        for link in step.after:
            followers.setdefault(link.step, []).append(step.id)
    found: set[str] = set()
    left = [name for each in some for name in followers.get(each, ())]
    while left:
        name = left.pop()
        if name not in found:
            found.add(name)
            left += followers.get(name, ())
    return found


HANDLERS: Mapping[str, Callable[[Bench, Event, str], None]] = {
    "found": _found,
    "visit_result": _visit_result,
    "short": _short,
    "extra_work": _extra_work,
}
