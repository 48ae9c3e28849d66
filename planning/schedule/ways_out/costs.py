"""What a way out costs, read off its events and its plan, and said in words."""

from collections.abc import Mapping, Sequence
from datetime import date

from planning.job.choice import Cost, EventDraft
from planning.job.events import Event
from planning.job.hours import instant, local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.progress import Accepted, read_progress
from planning.job.step import Step
from planning.job.words import Instant, Minutes
from planning.quantities.show import show_day, show_minutes
from planning.trade.expand import expand
from planning.trade.materials import material_classes
from planning.trade.noted import noted_job


def cost_of(job: Job, events: Sequence[Event], drafts: Sequence[EventDraft], plan: Plan, asks: Sequence[str]) -> Cost:
    """The cost of a plan reached by these drafts. `events`: those before the drafts; `job` as its file has it."""
    accepted = read_progress(job, events).accepted
    return Cost(
        overtime_min=sum(_overtime(job, draft) for draft in drafts),
        person_days=_person_days(job, drafts, plan, accepted),
        days_later=None if accepted is None else (_day(job, plan.finish) - _day(job, accepted.finish)).days,
        late_min=promises_late(job, events, drafts, plan),
        drives=sum(draft.kind == "agreed" and draft.body.get("what") == "errand" for draft in drafts),
        packages=_packages(job, events, drafts),
        asks=tuple(asks),
    )


def _day(job: Job, at: Instant) -> date:
    return local(job.zone, at).date()


def _overtime(job: Job, draft: EventDraft) -> Minutes:
    """Minutes outside the job's usual hours: a whole Saturday is a day, and no overtime."""
    if draft.kind != "stay_until" or _is_day(job, draft):
        return 0
    return int(draft.body["value"])


def _is_day(job: Job, draft: EventDraft) -> bool:
    """Is it a coming in the job's own hours of the day (a Saturday, another's day), not an evening?"""
    begin = draft.body.get("from")
    return begin is not None and int(begin) < instant(job.zone, _day(job, int(begin)), job.hours.finish)


def _person_days(job: Job, drafts: Sequence[EventDraft], plan: Plan, accepted: Accepted | None) -> int:
    if accepted is None:
        return sum(draft.kind == "stay_until" and _is_day(job, draft) for draft in drafts)
    now = {(who, _day(job, step.start)) for step in plan.steps for who in step.people}
    was = {(who, _day(job, start)) for start, _, people in accepted.steps.values() for who in people}
    return len(now) - len(was)


def promises_late(job: Job, events: Sequence[Event], drafts: Sequence[EventDraft], plan: Plan) -> Minutes:
    """Minutes by which a plan misses the promises of the job as it stands, the drafts' agreements in it."""
    from planning.schedule.ways_out.situation import as_events

    agreed = noted_job(job, as_events(drafts, events, plan.made_at))
    late = 0
    for promise in agreed.promises:
        steps = [step for step in plan.steps if step.room == promise.room]
        if promise.what == "toilet":
            backs = [out.back_at for out in plan.house if (out.what, out.room) == ("toilet", promise.room)]
            ends = [at for at in backs if at is not None]
        else:
            barred = {"walk"} if promise.what == "walk" else {"walk", "wet"}
            own = {step.id for step in steps}
            ends = [off.until for off in plan.stay_off if off.step in own and off.what in barred]
            ends += [step.finish for step in steps] if promise.what != "walk" else []
        late += max([0, *(end - promise.by for end in ends)])
    return late


def _packages(job: Job, events: Sequence[Event], drafts: Sequence[EventDraft]) -> Mapping[str, int]:
    """Whole packages of the classes used instead."""
    swaps = [draft.body for draft in drafts if draft.kind == "class_swapped"]
    if not swaps:
        return {}
    from planning.schedule.ways_out.situation import as_events

    swapped = noted_job(job, as_events(drafts, events, 0))
    known = material_classes(swapped)
    steps = expand(swapped).steps
    return {str(body["value"]): known[str(body["value"])].packages(_amount(steps, body)) for body in swaps}


def _amount(steps: Sequence[Step], body: Mapping[str, object]) -> float:
    wanted = [step for step in steps if body.get("room") in (None, step.room)]
    return sum(each.quantity for step in wanted for each in step.amounts if each.material == body["value"])


def cost_words(job: Job, cost: Cost, drafts: Sequence[EventDraft], plan: Plan, broke: Sequence[str]) -> str:
    """The cost as a setter counts it: minutes, days, bags, drives, who is asked; "nothing" when it costs nothing."""
    said = [*_hours_said(job, drafts, plan.made_at)]
    known = material_classes(job)
    for key, count in cost.packages.items():
        package = known[key].package.name
        said.append(f"{count} {package}{'s' if count != 1 else ''} {known[key].title}")
    if cost.drives:
        said.append(f"{cost.drives} drive{'s' if cost.drives > 1 else ''}")
    if cost.asks:
        said.append(f"ask {' and '.join(cost.asks)}")
    if cost.days_later is not None and cost.person_days:
        more = "more" if cost.person_days > 0 else "fewer"
        count = abs(cost.person_days)
        said.append(f"{count} person-day{'s' if count > 1 else ''} {more}")
    if cost.days_later:
        count = abs(cost.days_later)
        said.append(f"job {count} day{'s' if count > 1 else ''} {'later' if cost.days_later > 0 else 'sooner'}")
    if cost.late_min:
        said.append(f"a promise {show_minutes(cost.late_min)} late")
    if plan.moved:
        count = len(plan.moved)
        said.append(f"{count} step{'s move' if count > 1 else ' moves'}")
    said += broke[:1]
    return "; ".join(said) or "nothing"


def _hours_said(job: Job, drafts: Sequence[EventDraft], now: Instant) -> list[str]:
    """`40 min each, you and helper, tonight`; `helper one more day, Fri 5 Jun`."""
    stays: dict[tuple[date, Minutes], list[str]] = {}
    said: list[str] = []
    for draft in drafts:
        if draft.kind != "stay_until":
            continue
        day, who = _day(job, int(draft.body["until"])), str(draft.body.get("who", "everybody"))
        if _is_day(job, draft):
            hours = show_minutes(int(draft.body["value"]))
            said.append(f"{who} one more day, {show_day(day)}, {hours}")
        else:
            stays.setdefault((day, int(draft.body["value"])), []).append(who)
    for (day, minutes), people in sorted(stays.items()):
        when = "tonight" if day == _day(job, now) else show_day(day)
        each = " each" if len(people) > 1 else ""
        said.append(f"{show_minutes(minutes)}{each}, {' and '.join(people)}, {when}")
    return said
