"""The paper for the door: one sheet a room, plain text in a frame, till when to stay off and why."""

from collections.abc import Iterable, Sequence

from planning.handover.release import Release, releases, standing_at
from planning.handover.wording import WHAT_HAPPENED, WHY_OFF, WHY_OFF_ELSE, listed, owner_clock, quarter_up
from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.progress import read_progress
from planning.job.step import Step
from planning.job.words import Instant
from planning.quantities.show import show_day

INSIDE = 54
"""Characters inside the frame: it prints at a size that fills a page."""


def rooms_off(
    plan: Plan, job: Job, steps: Sequence[Step], events: Iterable[Event], now: Instant
) -> dict[str, list[Release]]:
    """Room -> what nobody may walk on there now: of the steps begun, or beginning today."""
    listed_events = list(events)
    progress = read_progress(job, listed_events)
    today = local(job.zone, now).date()
    begun = {*progress.started, *progress.finished}
    begun |= {step.id for step in plan.steps if local(job.zone, step.start).date() == today}
    standing = standing_at(releases(plan, job, steps, listed_events), now, frozenset(begun))
    found: dict[str, list[Release]] = {}
    for each in standing:
        if each.what == "walk":
            found.setdefault(each.room, []).append(each)
    return found


def stay_off_sheet(room: str, offs: Sequence[Release], job: Job) -> str:
    """One sheet. Raises ValueError for a room that nobody must stay off."""
    if not offs:
        raise ValueError(f"nobody must stay off {room} now")
    last = max(offs, key=lambda each: (each.until is None or not each.told, each.until or 0))
    parts = sorted({each.part.replace("-", " ") for each in offs if each.part})
    name = job.room(room).name.upper()
    lines = ["", "STAY OFF".center(INSIDE), ""]
    lines.append(f"   {name:<28}{WHAT_HAPPENED[last.kind]}")
    if parts:
        lines.append(f"   {listed(parts)}")
    lines += ["", f"   {_till(last, job)}", "", f"   {WHY_OFF.get(last.kind, WHY_OFF_ELSE)}"]
    lines += ["   Let fans off. Leave this door shut.", ""]
    frame = "+" + "-" * INSIDE + "+"
    return "\n".join([frame, *(f"|{line[:INSIDE]:<{INSIDE}}|" for line in lines), frame]) + "\n"


def _till(last: Release, job: Job) -> str:
    if last.until is None or not last.told:
        return "till we tell you"
    moment = local(job.zone, quarter_up(last.until))
    return f"till  {owner_clock(moment)}   {show_day(moment.date()).upper()}"
