"""The clocks inside a pour, a float or a bucket: counted from the noted water-in, batch by batch and lift by lift.

How long each act has is worked out by the trade for the room's air (see `inner_acts`) and comes as plain minutes; here
they meet what was noted:

    water_in {step}                   the next batch: its powder met water
    bucket {step, value "stopped"}    the oldest batch that is not poured is in place
    bucket {step, value "dumped"}     that batch was thrown away
    bucket {step, value "stopped", act}   an act of a chain (a lift, a trowel pass) is done
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from planning.job.events import Event, effective
from planning.job.plan import Plan, PlannedStep
from planning.job.states import window_state
from planning.job.words import Instant, Minutes
from tui.running import ORDER, Running, running

WATER_IN = "water_in"
ENDS: Mapping[str, str] = {"bucket": "poured", "edge": "met", "spread": "met"}
"""When an act of one batch is over: when the batch is poured, or when the next one has met its edge."""
TWO_WORDS: Mapping[str, str] = {
    "bucket": "USE BUCKET", "edge": "JOIN EDGE", "spread": "SMOOTH IT", "rails": "SCREED RAILS", "bulk": "BULK LIFT",
    "skim": "SKIM LIFT", "trowel": "TROWEL IT", "hard": "HARD NOW", "pack": "PACK IT",
}  # fmt: skip
"""The next act in two words, by its key in the table of classes; others get the first words of their title."""


@dataclass(frozen=True, slots=True)
class ActTimes:
    """An act in minutes from what it counts from (water-in of a batch, or the act before it), for the room's air."""

    key: str
    title: str
    counts_from: str = WATER_IN
    opens: Minutes | None = None
    shuts: Minutes | None = None

    @property
    def two_words(self) -> str:
        """What to do, in two words."""
        return TWO_WORDS.get(self.key) or " ".join(self.title.split()[:2]).upper()


@dataclass(frozen=True, slots=True)
class Mix:
    """What one running step is mixed of: how many packages (0: not known), what one is called, and its acts."""

    count: int
    package: str
    acts: tuple[ActTimes, ...]

    @property
    def chained(self) -> bool:
        """One mix worked in lifts, each act counted from the one before; else batch after batch."""
        return any(act.counts_from != WATER_IN for act in self.acts)


@dataclass(frozen=True, slots=True)
class Batch:
    """One batch: when its powder met water, and when it was poured (None: not yet). `dumped`: it was thrown away."""

    n: int
    water_in: Instant
    poured: Instant | None = None
    dumped: bool = False

    @property
    def open(self) -> bool:
        """Is it mixed and not yet used?"""
        return self.poured is None and not self.dumped


@dataclass(frozen=True, slots=True)
class PourLog:
    """What was noted inside one step."""

    batches: tuple[Batch, ...] = ()
    acts: Mapping[str, Instant] | None = None

    def done(self, key: str) -> Instant | None:
        """When an act of a chain was done."""
        return (self.acts or {}).get(key)


@dataclass(frozen=True, slots=True)
class NextAct:
    """What SPACE notes next: in words, and as an event."""

    words: str
    kind: str
    body: Mapping[str, Any]


def pour_log(events: Iterable[Event], step_id: str) -> PourLog:
    """The batches and acts of a step, as the events that stand say."""
    batches: list[Batch] = []
    acts: dict[str, Instant] = {}
    for event in effective(events):
        if event.body.get("step") != step_id:
            continue
        value = event.body.get("value", "stopped")
        if event.kind == WATER_IN or (event.kind == "bucket" and value == "started"):
            batches.append(Batch(len(batches) + 1, event.minute))
        elif event.kind == "bucket" and event.body.get("act"):
            acts[str(event.body["act"])] = event.minute
        elif event.kind == "bucket":
            place = next((n for n, each in enumerate(batches) if each.open), None)
            if place is not None:
                old, dumped = batches[place], value == "dumped"
                batches[place] = Batch(old.n, old.water_in, None if dumped else event.minute, dumped)
    return PourLog(tuple(batches), acts)


def mixes_of(filled: Mapping[str, Any] | None) -> dict[str, Mix]:
    """The mixes that the helper filled in, by step."""
    return {
        step: Mix(int(each["count"]), str(each["package"]), tuple(ActTimes(**act) for act in each["acts"]))
        for step, each in (filled or {}).items()
    }


def next_act(step: PlannedStep, mix: Mix, log: PourLog) -> NextAct | None:
    """The next thing to note inside a step; None when all is poured or worked, so that the step itself is to finish."""
    body = {"step": step.id}
    unused = next((each for each in log.batches if each.open), None)
    if mix.chained:
        if not log.batches:
            return NextAct("water is in", WATER_IN, body)
        left = next((act for act in mix.acts if log.done(act.key) is None), None)
        return None if left is None else NextAct(f"{left.two_words} done", "bucket", {**body, "value": "stopped",
                                                                                      "act": left.key})  # fmt: skip
    if unused is not None:
        return NextAct(f"{mix.package} {unused.n} is poured", "bucket", {**body, "value": "stopped"})
    used = sum(1 for each in log.batches if not each.dumped)
    if used < mix.count:
        return NextAct(f"water is in, {mix.package} {len(log.batches) + 1}", WATER_IN, body)
    return None


def windows(step: PlannedStep, mix: Mix, log: PourLog, now: Instant, latest: Instant) -> list[Running]:
    """Every clock that runs inside a step now."""
    return _chain(step, mix, log, now, latest) if mix.chained else _batches(step, mix, log, now, latest)


def _batches(step: PlannedStep, mix: Mix, log: PourLog, now: Instant, latest: Instant) -> list[Running]:
    poured = [each for each in log.batches if each.poured is not None]
    used = sum(1 for each in log.batches if not each.dumped)
    more = used < mix.count or any(each.open for each in log.batches)
    found = []
    for batch in log.batches:
        for act in mix.acts:
            ends = ENDS.get(act.key, "met")
            met = any(each.n > batch.n for each in poured)
            runs = batch.open if ends == "poured" else batch.poured is not None and not met and not batch.dumped
            if act.key == "edge" and not more:
                runs = False  # nothing is poured to the last edge
            if runs:
                name = {"bucket": "bucket", "edge": "edge", "spread": "smooth"}.get(act.key, act.title)
                found.append(_running(step, act, f"{name}, {mix.package} {batch.n}", batch.water_in, now, latest))
    return found


def _chain(step: PlannedStep, mix: Mix, log: PourLog, now: Instant, latest: Instant) -> list[Running]:
    """The next act of the chain; each later one is not known before the one before it is done."""
    if not log.batches:
        return []
    for act in mix.acts:
        if log.done(act.key) is None:
            since = log.batches[0].water_in if act.counts_from == WATER_IN else log.done(act.counts_from)
            return [] if since is None else [_running(step, act, act.title, since, now, latest)]
    return []


def _running(step: PlannedStep, act: ActTimes, what: str, since: Instant, now: Instant, latest: Instant) -> Running:
    opens = None if act.opens is None else since + act.opens
    shuts = None if act.shuts is None else since + act.shuts
    begins = since if opens is None else opens
    state = window_state(begins, shuts, now, latest) or "open"
    return Running(step, what, begins, shuts, state, act.two_words, since)


def all_running(
    plan: Plan, events: Sequence[Event], mixes: Mapping[str, Mix], now: Instant, latest: Instant
) -> list[Running]:
    """Every window that runs: those of the plan, and inside a step under way those from its noted water-in."""
    inside = [step for step in plan.steps if step.state == "hands" and step.id in mixes]
    mixed = {step.id for step in inside}
    found = [each for each in running(plan, now, latest) if each.what in ("start", "walk") or each.step.id not in mixed]
    for step in inside:
        found += windows(step, mixes[step.id], pour_log(events, step.id), now, latest)
    return sorted(found, key=lambda each: (ORDER.index(each.state), each.shuts or each.opens or 0, each.step.id))


def pouring(plan: Plan) -> bool:
    """Is a pour under way? Then hands are wet."""
    return any(step.kind == "pour" and step.state == "hands" for step in plan.steps)
