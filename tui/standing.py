"""How the steps of a plan stand right now: states over a plan whose times are left alone, and events said in words."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from planning.job.events import Event, effective
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep, StepWindow
from planning.job.progress import Progress, read_progress
from planning.job.states import window_state
from planning.job.words import Instant, StepState


def step_state(step: PlannedStep, progress: Progress, now: Instant) -> StepState:
    """How one planned step stands at `now`, from what was noted. The plan's own word stands where nothing newer is."""
    if step.id in progress.finished:
        return "curing" if step.foot_ready is not None and step.foot_ready > now else "done"
    if step.id in progress.started:
        return "hands"
    if step.id in progress.held:
        return "hold"
    if step.window.shuts is not None and now >= step.window.shuts:
        return "missed"
    return "wait" if step.state in ("hands", "done", "curing", "missed") else step.state


def with_states(plan: Plan, job: Job, events: Iterable[Event], now: Instant) -> Plan:
    """The same plan, its times untouched, with each step's and window's state as of `now`.

    A waiting step whose earlier steps are all done and whose window is open becomes READY. A new plan is not made.
    """
    progress = read_progress(job, events)
    stood = {step.id: step_state(step, progress, now) for step in plan.steps}
    return replace(plan, steps=tuple(_stand(step, stood, progress, now) for step in plan.steps))


def _stand(step: PlannedStep, stood: dict[str, StepState], progress: Progress, now: Instant) -> PlannedStep:
    state = stood[step.id]
    window = StepWindow(step.window.opens, step.window.shuts, window_state(step.window.opens, step.window.shuts, now))
    if state in ("wait", "ready"):
        state = "ready" if _may_start(step, stood, progress, now) else "wait"
    return replace(step, state=state, window=window)


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


def event_words(event: Event, plan: Plan | None, zone: ZoneInfo) -> str:
    """One event in a few words a setter knows again: `COAT 1 started 7:22`."""
    clock = _clock(event.at, zone)
    body = event.body
    name = _name(str(body.get("step", "")), plan) or str(body.get("who") or body.get("room") or body.get("class") or "")
    value = body.get("value", "")
    match event.kind:
        case "late":
            return f"{name} {value} min late"
        case "corrected":
            return f"{name} time put right to {_clock(datetime.fromisoformat(str(body['at'])), zone)}"
        case "plan_accepted":
            return f"plan taken {clock}" + (f": {body['choice']}" if body.get("choice") else "")
        case "started" | "finished" | "tacky" | "gone":
            return f"{name} {event.kind} {clock}"
        case "came":
            return f"{name} here {clock}"
    return " ".join(str(part) for part in (event.kind.replace("_", " "), name, value, clock) if part != "")


def _name(step_id: str, plan: Plan | None) -> str:
    if not step_id:
        return ""
    titles = {step.id: step.title for step in plan.steps} if plan is not None else {}
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


def noted_since(plan: Plan, events: Sequence[Event]) -> tuple[Event, ...]:
    """The events that stand and came after the plan was made: what the plan on the wall does not know yet."""
    return tuple(event for event in effective(events) if event.minute > plan.made_at)
