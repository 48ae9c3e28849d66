"""Any trouble: one seeded report of something that goes wrong (or better) at a moment of a job, of every kind."""

from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from random import Random
from typing import Any

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.trade.troubles import troubles

Body = Mapping[str, Any] | None


def event(n: int, kind: str, at: Instant, body: Mapping[str, Any]) -> Event:
    """An event at a minute; `n` is its place in the record."""
    return Event(f"e{n}", kind, datetime.fromtimestamp(at * 60, UTC), dict(body), n)


def accepted(n: int, plan: Plan) -> Event:
    """The plan as taken by the setter when it was made."""
    steps = {s.id: {"start": s.start, "finish": s.finish, "people": list(s.people)} for s in plan.steps}
    return event(n, "plan_accepted", plan.made_at, {"steps": steps, "finish": plan.finish, "choice": ""})


def undone(n: int, at: Instant, back: Event) -> Event:
    """The undo of an event."""
    return event(n, "undone", at, {"event": back.id})


def any_trouble(kind: str, pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
    """The body of one report of that kind that fits the plan; None when there is nothing of the sort in it."""
    return TROUBLES[kind](pick, job, plan, now)


def _step(pick: Random, plan: Plan, states: Sequence[str]) -> str | None:
    there = [step.id for step in plan.steps if step.state in states and not step.id.startswith("errand/")]
    return pick.choice(there) if there else None


def _on_step(states: Sequence[str], **more: Callable[[Random, Instant], Any]) -> Callable[..., Body]:
    def made(pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
        step = _step(pick, plan, states)
        return None if step is None else {"step": step, **{key: value(pick, now) for key, value in more.items()}}

    return made


def _later(pick: Random, now: Instant) -> Instant:
    return now + pick.choice((20, 45, 90, 300))


def _found(pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
    trouble = pick.choice(sorted(troubles()))
    return {"room": pick.choice(job.rooms).id, "trouble": trouble, "value": trouble}


def _visit(value: str) -> Callable[..., Body]:
    def made(pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
        met = [visit.id for visit in plan.visits if visit.start <= now]
        return {"visit": pick.choice(met), "value": value} if met else None

    return made


def _visit_moved(pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
    coming = [visit for visit in plan.visits if visit.start > now]
    if not coming:
        return None
    visit = pick.choice(coming)
    return {"visit": visit.id, "until": visit.start + pick.choice((0, 1440, 2 * 1440))}


def _short(pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
    running = [step.id for step in plan.steps if step.state == "hands" and step.kind in ("pour", "float")]
    return {"class": "leveler", "value": 1, **({"step": running[0]} if running else {})}


def _delivery(value: str) -> Callable[..., Body]:
    def made(pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
        return {"delivery": pick.choice(job.deliveries).id, "value": value} if job.deliveries else None

    return made


def _delivery_moved(pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
    return {"delivery": pick.choice(job.deliveries).id, "until": _later(pick, now)} if job.deliveries else None


def _reading(pick: Random, job: Job, plan: Plan, now: Instant) -> Body:
    cold = pick.choice((12.0, 16.0, 26.0))
    return {"room": pick.choice(job.rooms).id, "value": {"air_c": cold, "humidity": 0.55, "surface_c": cold - 1}}


TROUBLES: Mapping[str, Callable[[Random, Job, Plan, Instant], Body]] = {
    "late": _on_step(("hands", "wait", "ready"), until=_later),
    "tacky": _on_step(("wait", "ready"), until=lambda pick, now: now + 30),
    "held": _on_step(("wait", "ready"), until=_later),
    "found": _found,
    "gone": lambda pick, job, plan, now: {"who": pick.choice(job.people).name, "until": now + 300},
    "came": lambda pick, job, plan, now: {"who": pick.choice(job.people).name},
    "visit_moved": _visit_moved,
    "visit_failed": _visit("failed"),
    "visit_no_show": _visit("no-show"),
    "delivered": _delivery("2"),
    "delivered_wrong": _delivery("wrong"),
    "delivery_moved": _delivery_moved,
    "short": _short,
    "class_swapped": lambda pick, job, plan, now: {"class": "leveler", "value": "leveler-rapid"},
    "label": lambda pick, job, plan, now: {"class": "thin-set", "value": "walk 30 h"},
    "reading": _reading,
    "power": lambda pick, job, plan, now: {"service": "power"},
    "water": lambda pick, job, plan, now: {"service": "water", "until": now + 120},
    "heat": lambda pick, job, plan, now: {"service": "heat", "until": now + 1200},
    "extra_work": lambda pick, job, plan, now: {"room": pick.choice(job.rooms).id, "value": "niche", "minutes": 90},
}  # fmt: skip
"""What may happen -> who makes its body."""

KINDS: Mapping[str, str] = {
    "visit_failed": "visit_result", "visit_no_show": "visit_result", "delivered_wrong": "delivered",
    "power": "service_out", "water": "service_out", "heat": "service_out",
}  # fmt: skip
"""The kind of event that each of them is, where it has another name."""
