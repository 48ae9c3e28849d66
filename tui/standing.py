"""How the steps of a plan stand right now: states over a plan whose times are left alone, and events said in words."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep, StepWindow
from planning.job.progress import Progress, read_progress
from planning.job.states import window_state
from planning.job.step import Step
from planning.job.words import Instant, StepState
from planning.quantities.show import show_minutes, show_moment


def step_state(step: PlannedStep, progress: Progress, now: Instant, latest: Instant | None = None) -> StepState:
    """How one planned step stands at `now`, from what was noted. The plan's own word stands where nothing newer is.

    `latest`: the latest that it can be now, when the clock is in doubt and `now` is the earliest.
    """
    if step.id in progress.finished:
        ready = foot_ready(step, progress)
        return "curing" if ready is not None and ready > now else "done"
    if step.id in progress.started:
        return "hands"
    if step.id in progress.held:
        return "hold"
    if step.window.shuts is not None and (now if latest is None else latest) >= step.window.shuts:
        return "missed"
    return "wait" if step.state in ("hands", "done", "curing", "missed") else step.state


def with_states(plan: Plan, job: Job, events: Iterable[Event], now: Instant, latest: Instant | None = None) -> Plan:
    """The same plan with each step's and window's state as of `now`; no time of what is still to come moves.

    A waiting step whose earlier steps are all done and whose window is open becomes READY. A new plan is not made.
    While the clock is in doubt, `now` is the earliest and `latest` the latest that it can be: no wait is over too
    early, and no window is open too long.
    """
    progress = read_progress(job, events)
    stood = {step.id: step_state(step, progress, now, latest) for step in plan.steps}
    return replace(plan, steps=tuple(_stand(step, stood, progress, now, latest) for step in plan.steps))


def _stand(
    step: PlannedStep, stood: dict[str, StepState], progress: Progress, now: Instant, latest: Instant | None
) -> PlannedStep:
    state = stood[step.id]
    opens, shuts = _window(step, progress)
    window = StepWindow(opens, shuts, window_state(opens, shuts, now, latest))
    if state in ("wait", "ready"):
        state = "ready" if _may_start(step, stood, progress, now) else "wait"
    # With its finish, so that a second look at the same plan adds nothing.
    finish = max(step.finish, progress.finished.get(step.id, step.finish))
    return replace(step, state=state, window=window, finish=finish, foot_ready=foot_ready(step, progress))


def foot_ready(step: PlannedStep, progress: Progress) -> Instant | None:
    """When feet may go on it: as planned, or later by as much as it was done later than the plan on the wall has it."""
    done = progress.finished.get(step.id)
    if step.foot_ready is None or done is None:
        return step.foot_ready
    return step.foot_ready + max(0, done - step.finish)


def _window(step: PlannedStep, progress: Progress) -> tuple[Instant | None, Instant | None]:
    """The step's window: as planned, but opening no sooner and shutting no later than what was noted allows.

    A plan waits on the wall while the setter chooses; the clocks must not wait with it.
    """
    opens, shuts = step.window.opens, step.window.shuts
    for link in step.after:
        counted = (progress.started if link.on == "start" else progress.finished).get(link.id)
        if counted is not None and opens is not None and link.wait_min:
            opens = max(opens, counted + link.wait_min)
        if counted is not None and shuts is not None and link.within_min is not None:
            shuts = min(shuts, counted + link.within_min)
    return opens, shuts


def _may_start(step: PlannedStep, stood: dict[str, StepState], progress: Progress, now: Instant) -> bool:
    if step.window.opens is not None and now < step.window.opens:
        return False
    if progress.not_before.get(step.id, now) > now:
        return False
    ended = ("done", "curing")
    for link in step.after:
        if link.id not in stood:
            continue
        begun = stood[link.id] in (("hands", *ended) if link.on == "start" else ended)
        counted = progress.started if link.on == "start" else progress.finished
        if not begun or counted.get(link.id, now) + link.wait_min > now:
            return False
    if step.piece is not None and step.piece.n > 1:
        return f"{step.piece.of}#{step.piece.n - 1}" in progress.finished
    return step.state == "ready" or bool(step.after) or step.start <= now


def event_words(event: Event, plan: Plan | None, zone: ZoneInfo, steps: Sequence[Step] = ()) -> str:
    """One event in a few words a setter knows again: `COAT 1 started 7:22`. `steps` name it while there is no plan."""
    clock = _clock(event.at, zone)
    body = event.body
    name = _name(str(body.get("step", "")), plan, steps) or _about(body)
    value = body.get("value", "")
    if isinstance(value, Mapping):
        value = ""
    match event.kind:
        case "late":
            return f"{name} {value} min late"
        case "corrected":
            return f"{name} time put right to {_clock(datetime.fromisoformat(str(body['at'])), zone)}"
        case "plan_accepted":
            return f"plan taken {clock}" + (f": {body['choice']}" if body.get("choice") else "")
        case "clock_changed":
            return clock_words(body)
        case "started" | "finished" | "tacky" | "gone":
            return f"{name} {event.kind} {clock}"
        case "came":
            return f"{name} here {clock}"
    until = body.get("until")
    till = f"till {show_moment(until, zone)}" if isinstance(until, int) and event.kind in TILL else ""
    return " ".join(str(part) for part in (event.kind.replace("_", " "), name, value, till, clock) if part != "")


TILL = frozenset(("visit_moved", "delivery_moved", "service_out", "stay_until", "held"))
"""Reports of which the time that they name is what they say."""


def _about(body: Mapping[str, Any]) -> str:
    """Who or what a report names that is no step: ids as people say them, the last words of them."""
    for key in ("who", "room", "service", "class"):
        if body.get(key):
            return str(body[key])
    named = next((str(body[key]) for key in ("visit", "delivery", "errand") if body.get(key)), "")
    return " ".join(named.split("/")[1:])


def clock_words(body: Mapping[str, Any]) -> str:
    """What was noted of the computer's clock: that it was set, or which time was said to be right."""
    value = body.get("value")
    minutes = round(value / 60) if isinstance(value, int | float) else 0
    if body.get("trust") == "asked":
        way = "ahead" if minutes > 0 else "back"
        return (
            f"clock went {show_minutes(abs(minutes))} {way}: which time is right?" if minutes else "clock right again"
        )
    wrong = f"wrong by {show_minutes(abs(minutes))}"
    answers = {"clock": "right now", "counted": wrong, "stays": "right, and right before"}
    return f"clock said to be {answers.get(str(body.get('trust')), 'set')}"


def _name(step_id: str, plan: Plan | None, steps: Sequence[Step]) -> str:
    if not step_id:
        return ""
    titles = {step.id: step.title for step in (steps if plan is None else plan.steps)}
    return titles.get(step_id, step_id.rsplit("/", 1)[-1]).upper()


def _clock(at: datetime, zone: ZoneInfo) -> str:
    local = at.astimezone(zone)
    return f"{local.hour % 12 or 12}:{local.minute:02d}"


def due_step(plan: Plan, now: Instant) -> PlannedStep | None:
    """What SPACE acts on when the setter marked nothing: what runs and is due to end, or else what is to start next.

    A running step that is not due yet gives way to a READY one whose planned start has come.
    """

    def due(step: PlannedStep) -> tuple[Instant, int, str]:
        rank = {"hands": 0, "ready": 1}.get(step.state, 2)
        return (step.finish if step.state == "hands" else step.start, rank, step.id)

    open_steps = [step for step in plan.steps if step.state in ("hands", "ready", "wait")]
    startable = [step for step in open_steps if step.state == "ready" and step.start <= now]
    return min(startable or open_steps, key=due, default=None)
