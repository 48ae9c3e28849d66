"""Which windows run now, read off a plan and its states: the windows of starts, of floors that cure, of inner acts."""

from dataclasses import dataclass

from planning.job.plan import Plan, PlannedStep
from planning.job.states import window_state
from planning.job.words import Instant, WindowState

ORDER: tuple[WindowState, ...] = ("shut", "closing", "open", "soon", "not_yet")
AHEAD_MIN = 24 * 60
"""Windows that open later than this are not running yet."""


@dataclass(frozen=True, slots=True)
class Running:
    """One running window: of a step's start (`what` "start"), of a floor to walk on ("walk"), or of an inner act."""

    step: PlannedStep
    what: str
    opens: Instant | None
    shuts: Instant | None
    state: WindowState
    act: str = ""
    """What to do next in two words, for a window inside a pour or a float."""
    since: Instant | None = None
    """The noted moment it counts from, for such a window."""


def running(plan: Plan, now: Instant, latest: Instant | None = None) -> list[Running]:
    """The windows of steps that may start next, of floors that cure, and of what is being poured; the worst first.

    `latest`: the latest that it can be now, when the clock is in doubt and `now` is the earliest.
    """
    over = {step.id for step in plan.steps if step.state in ("done", "curing")}
    begun = over | {step.id for step in plan.steps if step.state == "hands"}
    found = []
    for step in plan.steps:
        if step.state in ("wait", "ready", "missed") and any(link.id in begun for link in step.after):
            found += _window(step, "start", step.window.opens, step.window.shuts, now, latest)
        if step.id in begun and step.foot_ready is not None and step.foot_ready > now:
            found += _window(step, "walk", step.foot_ready, None, now)
        if step.state == "hands":
            for act in step.acts:
                found += _window(step, act.title, act.opens, act.shuts, now, latest)
    return sorted(found, key=lambda each: (ORDER.index(each.state), next_end(each), each.step.id))


def _window(
    step: PlannedStep, what: str, opens: Instant | None, shuts: Instant | None, now: Instant,
    latest: Instant | None = None,
) -> list[Running]:  # fmt: skip
    state = window_state(opens, shuts, now, latest)
    if state is None or (opens is not None and opens - now > AHEAD_MIN):
        return []
    return [Running(step, what, opens, shuts, state)]


def next_end(each: Running) -> Instant:
    """The end that comes next."""
    if each.state in ("not_yet", "soon"):
        return each.opens or 0
    return each.shuts if each.shuts is not None else 1 << 40
