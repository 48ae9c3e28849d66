"""Nothing fits: the smallest set of facts that cannot all be kept, in trade words."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from planning.job.events import Event
from planning.schedule.build.network_of import Built
from planning.schedule.build.visits import delivered_to
from planning.schedule.no_plan import ClashFact, NoPlan
from planning.trade.expand import find_steps

Key = tuple[str, ...]

EFFORT = 0.15
"""Deterministic time the solver may take for one question "is there a plan?" (ours)."""


@dataclass(frozen=True, slots=True)
class JobClash:
    """The facts that clash; none: nothing does, or it was not found out (`settled` False).

    `smallest`: with any one of them given up, the others can be kept together.
    """

    facts: tuple[ClashFact, ...]
    settled: bool
    smallest: bool


def check_possible(built: Built, events: Sequence[Event]) -> None:
    """Raises NoPlan when some step has nobody who can do it or no way to it, or fits into nobody's hours.

    With an accepted plan, work that fits into no hours is planned all the same: there the plan says what it breaks.
    """
    tasks = {task.id for task in built.network.tasks}
    never = [each for each in built.unplannable if each.step not in tasks]
    if never:
        raise NoPlan([f"{each.step}: {each.why}" for each in never])
    if built.unplannable and built.network.before is None:
        found = job_clash(built, events)
        reasons = [str(fact) for fact in found.facts]
        reasons = [*(f"{each.step}: {each.why}" for each in built.unplannable), *reasons]
        raise NoPlan(reasons, found.facts, found.smallest)


NEVER = "No order of work keeps the hours, windows, floors and visits together."


def no_plan(built: Built, events: Sequence[Event], otherwise: str = NEVER) -> NoPlan:
    """Why no plan fits the network of a job, for the setter; `otherwise` when no clash was found."""
    found = job_clash(built, events)
    if found.facts:
        return NoPlan([str(fact) for fact in found.facts], found.facts, found.smallest)
    return NoPlan([otherwise])


def job_clash(built: Built, events: Sequence[Event], *, dues: bool = False) -> JobClash:
    """A smallest set of facts of the job that no plan keeps together. `dues`: promises are facts too.

    A plan may be late for a promise, so promises clash only when asked. Working hours, absences and what the house
    forbids are facts of their own here. Same inputs, same answer; bounded by deterministic effort.
    """
    from planning.schedule.ways_out.easing import Easing
    from planning.schedule.ways_out.fact_words import fact_words
    from planning.schedule.ways_out.smallest import has_plan, smallest
    from planning.schedule.ways_out.start_rules import wide_open

    easing = Easing(*wide_open(built, events), dues)
    fold = folding(built)
    members: dict[Key, list[Key]] = {}
    for fact in easing.facts():
        members.setdefault(fold(fact), []).append(fact)

    def plannable(kept: Sequence[Key]) -> bool | None:
        return has_plan(easing.keeping([fact for key in kept for fact in members[key]]), EFFORT)

    found = smallest(list(members), plannable)
    return JobClash(fact_words(built, easing.network, found.facts), found.settled, found.smallest)


def folding(built: Built) -> Callable[[Key], Key]:
    """Facts of the network called by the fact of the job they come from: a delivery, the waits of a room."""
    visits = {each.visit.id for each in built.visits}
    errands = {errand.id for errand in built.site.job.errands}
    task_step = {task.id: task.piece_of or task.id for task in built.network.tasks}
    held = _held_by(built)

    def fold(key: Key) -> Key:
        if key[0] == "wait":
            errand = next((name for name in key[1:] if name in errands), None)
            if errand is not None:
                return ("errand", errand)
            name = key[1] if key[2] in visits else key[2]
            step = built.site.step_by_id.get(task_step.get(name, name))
            return ("waits", step.room) if step is not None else key
        if key[0] == "release":
            step_id = task_step.get(key[1], key[1])
            return held.get(step_id, ("held", step_id))
        return ("nights",) if key[0] == "night" else key

    return fold


def _held_by(built: Built) -> dict[str, Key]:
    """The delivery or answer that holds a step longest."""
    site = built.site
    found: dict[str, tuple[int, Key]] = {}
    for delivery in site.job.deliveries:
        at = site.progress.delivered.get(delivery.id, delivery.latest)
        for step in site.steps:
            if delivered_to(delivery, step):
                found[step.id] = max(found.get(step.id, (at, ())), (at, ("delivery", delivery.id)))
    for answer in site.job.answers:
        at = site.progress.answered.get(answer.id, answer.by)
        for step in find_steps(site.steps, answer.room, answer.holds):
            found[step.id] = max(found.get(step.id, (at, ())), (at, ("answer", answer.id)))
    return {step: key for step, (_, key) in found.items()}
