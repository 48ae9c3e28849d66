"""How likely a plan holds, in words: the only sentences of it, for every screen and for the command line.

Plain text from plain values; nothing is drawn here, and nothing heavy is imported.
"""

from zoneinfo import ZoneInfo

from planning.job.chance import DayChance
from planning.job.hours import local
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.quantities.show import show_day, show_minutes

SURE, NEVER = 0.95, 0.05
"""From here on a share is said without a number: no count of draws bears "10 times in 10"."""

WORTH_SAYING = 0.1
"""A difference smaller than this is not told."""


def day_line(plan: Plan, now: Instant) -> str:
    """The LIKELY line of the day at hand, or of the next day with work: how often it holds, what fails first, what
    would lift it. Empty when the plan has no chance worked out.
    """
    here = _day(plan, now)
    if here is None:
        return ""
    named = "The day" if here.day == local(ZoneInfo(plan.zone), now).date() else show_day(here.day)
    said = f"{named} holds {times_in_ten(here.holds)}."
    if here.weakest is not None and here.holds < SURE:
        said += f" Weakest: {_title(plan, here.weakest)}{_lift(here)}."
    if here.holds - here.any_label >= WORTH_SAYING:
        said += f" If your labels differ from ours: {times_in_ten(here.any_label)}."
    return said


def finish_line(plan: Plan) -> str:
    """How likely the job is done on its planned day, and by which day eight times in ten. Empty without a chance."""
    chance = plan.chance
    if chance is None:
        return ""
    zone = ZoneInfo(plan.zone)
    planned, likely = (local(zone, at).date() for at in (chance.finish, chance.finish_likely))
    said = f"Done by {show_day(planned)}: {times_in_ten(chance.finish_holds)}."
    return said if likely <= planned else f"{said} By {show_day(likely)}: 8 times in 10."


def likely_lines(plan: Plan, now: Instant) -> list[str]:
    """Both lines, those that have something to say."""
    return [said for said in (day_line(plan, now), finish_line(plan)) if said]


def times_in_ten(share: float) -> str:
    """A share in words: "8 times in 10"."""
    if share >= SURE:
        return "nearly always"
    if share < NEVER:
        return "hardly ever"
    times = round(share * 10)
    return f"{times} time{'' if times == 1 else 's'} in 10"


def _day(plan: Plan, now: Instant) -> DayChance | None:
    if plan.chance is None:
        return None
    today = local(ZoneInfo(plan.zone), now).date()
    return min((day for day in plan.chance.days if day.day >= today), key=lambda day: day.day, default=None)


def _title(plan: Plan, step_id: str) -> str:
    for step in plan.steps:
        if step.id == step_id:
            room = next((room.name for room in plan.rooms if room.id == step.room), step.room)
            return f"{step.title.upper()}, {room}"
    return next((f'"{visit.who.upper()}"' for visit in plan.visits if visit.id == step_id), step_id)


def _lift(day: DayChance) -> str:
    """What a buffer at the weakest step makes of the day, if anything worth saying."""
    if not day.buffer_min or day.lifted - day.holds < WORTH_SAYING:
        return ""
    return f"; {show_minutes(day.buffer_min)} more for it makes that {times_in_ten(day.lifted)}"
