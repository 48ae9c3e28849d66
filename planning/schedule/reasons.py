"""Why a step is not earlier, how late it may start, and what is lost then: in words, from the solved order.

The sentences are the only ones; screens and command line show them as they are.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from planning.job.step import Step, Wait
from planning.job.words import AXIS_MIN, Instant
from planning.quantities.show import show_minutes, show_when
from planning.schedule.assemble import Words
from planning.schedule.build.network_of import Built
from planning.schedule.network import Solution, Task
from planning.schedule.propagate import Reason, latest_starts, reason_codes, what_breaks


@dataclass(frozen=True)
class _Voice:
    """What a sentence needs: the plan's facts, and names for tasks and times."""

    built: Built
    solution: Solution
    tasks: Mapping[str, Task]

    def clock(self, at: Instant) -> str:
        return show_when(at, self.built.site.job.zone, self.built.site.now)

    def tick_clock(self, tick: int) -> str:
        return self.clock(self.built.network.instant(tick))

    def step(self, task_id: str) -> Step | None:
        task = self.tasks.get(task_id)
        return None if task is None else self.built.site.step_by_id.get(task.piece_of or task.id)

    def name(self, task_id: str) -> str:
        step = self.step(task_id)
        if step is not None:
            return f"{step.title} in the {self.room(step.room)}"
        for each in self.built.visits:
            if each.visit.id == task_id:
                return f"the {each.visit.who}"
        return next((errand.what for errand in self.built.site.job.errands if errand.id == task_id), task_id)

    def room(self, room_id: str) -> str:
        return self.built.site.job.room(room_id).name

    def floor(self, floor: str) -> str:
        room, _, part = floor.partition(".")
        return f"{self.room(room)}, {part}" if part else self.room(room)


def explain(built: Built, solution: Solution) -> Words:
    """The sentences of every task not yet begun."""
    voice = _Voice(built, solution, {task.id: task for task in built.network.tasks})
    free = [task.id for task in built.network.tasks if task.fixed is None and task.id in solution.starts]
    codes = reason_codes(built.network, solution)
    latest = latest_starts(built.network, solution)
    return Words(
        reasons={task: _reason(voice, task, codes[task]) for task in free if task in codes},
        latest={task: _latest(built, latest.get(task)) for task in free},
        lost={
            task: _lost(voice, what_breaks(built.network, solution, task))
            for task in free
            if latest.get(task) is not None
        },
    )


def _latest(built: Built, tick: int | None) -> Instant | None:
    return None if tick is None else built.network.instant(tick)


def _reason(voice: _Voice, task: str, reason: Reason) -> str:
    sentence = SENTENCES.get(reason.kind)
    return "" if sentence is None else sentence(voice, task, reason)


def _lag(voice: _Voice, task: str, reason: Reason) -> str:
    opens = voice.tick_clock(reason.until)
    if reason.other is None:
        return f"Opens {opens}."
    wait = _wait(voice, task, reason.other)
    if any(each.visit.id == reason.other for each in voice.built.visits):
        return f"{_big(voice.name(reason.other))} must see it first, {opens}."
    if wait is None:
        return f"Not sooner: {voice.name(reason.other)} comes first, till {opens}."
    label = show_minutes(wait.label.typical)
    whose = ", from your label," if wait.own_label else " by its label,"
    return f"Opens {opens}: {voice.name(reason.other)} needs {label}{whose} at this air till then."


def _wait(voice: _Voice, task: str, other: str) -> Wait | None:
    step, before = voice.step(task), voice.step(other)
    if step is None or before is None:
        return None
    return next((link.wait for link in step.after if link.step == before.id and link.wait), None)


def _person(voice: _Voice, task: str, reason: Reason) -> str:
    who = " and ".join(voice.tasks[task].crews[voice.solution.crews.get(task, 0)].people)
    if reason.other is None:
        return f"{_big(who)} cannot before {voice.tick_clock(reason.until)}."
    return f"Not sooner: {who} at {voice.name(reason.other)} till {voice.tick_clock(reason.until)}."


def _gear(voice: _Voice, task: str, reason: Reason) -> str:
    gear = " and ".join(sorted(voice.tasks[task].gear)) or "gear"
    where = f" at {voice.name(reason.other)}" if reason.other else ""
    return (
        f"Not sooner: the {gear} {'are' if gear.endswith('s') else 'is'}{where} till {voice.tick_clock(reason.until)}."
    )


def _floor(voice: _Voice, task: str, reason: Reason) -> str:
    if reason.other is None:
        return f"Not sooner: no way in till {voice.tick_clock(reason.until)}."
    other = voice.tasks[reason.other]
    used = {floor for way in voice.tasks[task].ways for floor in way}
    barred = next((off.floor for off in other.off if off.floor in used), None)
    where = voice.floor(barred) if barred else "the way in"
    step = voice.step(task)
    if barred and step is not None and barred.partition(".")[0] != step.room:
        where += f", the way to the {voice.room(step.room)},"
    return f"Not sooner: nobody walks on {where} till {voice.tick_clock(reason.until)} ({voice.name(reason.other)})."


def _wet(voice: _Voice, task: str, reason: Reason) -> str:
    by = f": {voice.name(reason.other)}" if reason.other else ""
    return f"Not sooner: other wet work is on this floor till {voice.tick_clock(reason.until)}{by}."


def _hours(voice: _Voice, task: str, reason: Reason) -> str:
    start = voice.built.network.instant(voice.solution.starts[task])
    people = voice.tasks[task].crews[voice.solution.crews.get(task, 0)].people
    shifts = voice.built.site.shifts
    if any(abs(shift.start - start) < AXIS_MIN for person in people for shift in shifts.get(person, ())):
        before = _behind(voice, task, reason)
        if before:
            return f"{before} The next hours begin {voice.clock(start)}."
        return f"Nothing comes before it that morning: work begins {voice.clock(start)}."
    return f"Before {voice.clock(start)} it does not fit into a working day."


def _behind(voice: _Voice, task: str, reason: Reason) -> str:
    """The sentence of what held it at the last start before that the hours do allow; "" for nothing."""
    if reason.behind is None or reason.behind.kind in ("now", "hours", "meal"):
        return ""
    return _reason(voice, task, reason.behind)


def _meal(voice: _Voice, task: str, reason: Reason) -> str:
    before = _behind(voice, task, reason)
    if before:
        return f"{before} From then on it would run into the meal."
    return "Sooner it would run into the meal, and it may not stop half way."


def _release(voice: _Voice, task: str, reason: Reason) -> str:
    site = voice.built.site
    step = voice.step(task)
    at = voice.tick_clock(reason.until)
    if step is not None:
        from planning.schedule.build.visits import delivered_to

        for delivery in site.job.deliveries:
            if delivered_to(delivery, step):
                return f"Not sooner: {delivery.of} comes by {at}."
        for answer in site.job.answers:
            if answer.room == step.room and answer.holds in (step.key, step.bay_of or step.key, step.id):
                return f"Not sooner: the {answer.owed_by} owes an answer by {at}: {answer.what}."
    return f"Not sooner: you said not before {at}."


def _night(voice: _Voice, task: str, reason: Reason) -> str:
    return "Not sooner: the household would have no working toilet that night."


def _now(voice: _Voice, task: str, reason: Reason) -> str:
    return "Nothing holds it: it is first."


def _order(voice: _Voice, task: str, reason: Reason) -> str:
    by = f" after {voice.name(reason.other)}" if reason.other else ""
    return f"It comes{by} in this order of work."


def _visit(voice: _Voice, task: str, reason: Reason) -> str:
    name = voice.name(reason.other) if reason.other else "a visit"
    return f"Not sooner: {name} comes {voice.tick_clock(reason.until)}."


def _window(voice: _Voice, task: str, reason: Reason) -> str:
    then = voice.name(reason.other) if reason.other else "what follows"
    return f"Not sooner: its window would shut before {then} can begin."


SENTENCES: dict[str, Callable[[_Voice, str, Reason], str]] = {
    "lag": _lag, "person": _person, "gear": _gear, "floor": _floor, "wet": _wet, "hours": _hours, "meal": _meal,
    "release": _release, "visit": _visit, "night": _night, "now": _now, "order": _order, "window": _window,
}  # fmt: skip


def _lost(voice: _Voice, broken: tuple[str, ...] | None) -> str | None:
    """What is lost first past the latest start."""
    if not broken:
        return None
    kind, *what = broken
    if kind == "within":
        return f"the window of {voice.name(what[-1])} shuts"
    if kind == "visit":
        return f"{voice.name(what[0])} is lost"
    if kind == "due":
        room, _, promise = what[0].partition(" ")
        return f"the promise for the {voice.room(room)} ({promise}) is late"
    if kind == "night":
        return "a night without a working toilet"
    if kind == "finish":
        return "the job ends later"
    return f"{voice.name(what[0])} is lost for the day" if what else None


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]
