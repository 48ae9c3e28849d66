"""`mudday clocks JOB`: the windows that run, the worst first."""

import argparse
from dataclasses import dataclass

from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.plan_json import iso
from planning.job.states import window_state
from planning.job.words import Instant, WindowState
from planning.quantities.show import show_clock, show_minutes
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.out import print_json
from tui.cli.plan_text import room_words
from tui.cli.wrong import DONE

ORDER: tuple[WindowState, ...] = ("shut", "closing", "open", "soon", "not_yet")
WORDS: dict[WindowState, str] = {
    "shut": "SHUT",
    "closing": "CLOSING",
    "open": "OPEN",
    "soon": "SOON",
    "not_yet": "NOT YET",
}
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


def run(args: argparse.Namespace) -> int:
    """Print every window that runs."""
    session = open_session(args)
    job, plan, now = job_of(session), current_plan(session), session.now()
    found = running(plan, session.earliest(), session.latest())
    if args.format == "json":
        print_json({"job": job.name, "now": iso(now, job.zone), "clocks": [_as_dict(each, job) for each in found]})
        return DONE
    for each in found:
        print(_line(each, plan, job, now))
    if not found:
        print("No window runs now.")
    return DONE


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
    return sorted(found, key=lambda each: (ORDER.index(each.state), _due(each), each.step.id))


def _window(
    step: PlannedStep, what: str, opens: Instant | None, shuts: Instant | None, now: Instant,
    latest: Instant | None = None,
) -> list[Running]:  # fmt: skip
    state = window_state(opens, shuts, now, latest)
    if state is None or (opens is not None and opens - now > AHEAD_MIN):
        return []
    return [Running(step, what, opens, shuts, state)]


def _due(each: Running) -> Instant:
    """The end that comes next."""
    if each.state in ("not_yet", "soon"):
        return each.opens or 0
    return each.shuts if each.shuts is not None else 1 << 40


def _line(each: Running, plan: Plan, job: Job, now: Instant) -> str:
    due = _due(each)
    if each.state in ("not_yet", "soon"):
        tail = f"opens {show_clock(due, job.zone, now)}, in {show_minutes(due - now)}"
    elif each.shuts is None:
        tail = ""
    elif each.state == "shut":
        tail = f"{show_minutes(now - due)} ago. {each.step.recovery or ''}"
    else:
        tail = f"shuts {show_clock(due, job.zone, now)}, {show_minutes(due - now)} left"
    what = {"start": each.step.title, "walk": f"walk on it ({each.step.title})"}.get(each.what, each.what)
    return f"{WORDS[each.state]:<8} {room_words(plan, each.step)}, {what}: {tail}".rstrip(": ")


def _as_dict(each: Running, job: Job) -> dict[str, str | None]:
    def text(at: Instant | None) -> str | None:
        return None if at is None else iso(at, job.zone)

    return {"step": each.step.id, "what": each.what, "opens": text(each.opens), "shuts": text(each.shuts),
            "state": each.state}  # fmt: skip
