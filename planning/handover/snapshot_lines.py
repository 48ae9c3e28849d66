"""The lines of the note for tonight, one function a section; each returns no lines when there is nothing to say."""

from collections.abc import Iterable
from datetime import date

from planning.handover.evening import Evening
from planning.handover.wording import (
    NO_FANS,
    day_words,
    listed,
    owner_clock,
    owner_time,
    quarter_up,
    room_name,
)
from planning.job.events import Event
from planning.job.hours import local, working_days
from planning.job.plan import HouseOut, PlannedStep
from planning.job.progress import read_progress
from planning.job.words import Barrier, Instant
from planning.quantities.show import show_minutes, show_temp, show_wall, show_when
from planning.trade.materials import material_classes

OFF_WORDS: dict[Barrier, str] = {"walk": "", "wet": "No water on it ", "heavy": "Nothing heavy "}


def done_today(facts: Evening) -> list[str]:
    """What was finished, and what was begun, by room, with the noted times."""
    lines = []
    for room in facts.plan.rooms:
        said = [words for step in facts.plan.steps if step.room == room.id for words in _done_words(facts, step)]
        photos = sum(1 for e in facts.noted if e.kind == "photo" and _room_of(facts, e) == room.id)
        if photos:
            said.append(f"{photos} photo{'s' if photos > 1 else ''}")
        if said:
            lines.append(f"{room_name(facts.plan, room.id, None)}: {'; '.join(said)}.")
    return lines


def _done_words(facts: Evening, step: PlannedStep) -> list[str]:
    finished = facts.progress.finished.get(step.id)
    started = facts.progress.started.get(step.id)
    if finished is not None and facts.is_today(finished):
        span = f"{_wall(facts, finished)}" if started in (None, finished) else (
            f"{_wall(facts, started or finished)} to {_wall(facts, finished)}"
        )  # fmt: skip
        return [f"{step.title} ({span})"]
    if finished is None and started is not None and facts.is_today(started):
        return [f"{step.title} (begun {_wall(facts, started)}, not done)"]
    return []


def _room_of(facts: Evening, event: Event) -> str:
    step = str(event.body.get("step", ""))
    return str(event.body.get("room") or step.split("/")[0].split(".")[0])


def stay_off(facts: Evening) -> list[str]:
    """What may not be used, till when in an owner's words; one line a floor."""
    lines = []
    for room in facts.plan.rooms:
        parts = {release.part for release in facts.standing if release.room == room.id}
        for part in sorted(parts, key=lambda each: each or ""):
            said = {each.what: each for each in facts.standing if each.room == room.id and each.part == part}
            words = [_till(facts, what, said[what].until if said[what].told else None)
                     for what in OFF_WORDS if what in said]  # fmt: skip
            lines.append(f"{room_name(facts.plan, room.id, part)}: {' '.join(words)}")
    return lines


def _till(facts: Evening, what: Barrier, until: Instant | None) -> str:
    when = "all the time, till we tell you" if until is None else f"till {owner_time(until, facts.job.zone, facts.now)}"
    words = f"{OFF_WORDS[what]}{when}."
    return words if OFF_WORDS[what] else words[0].lower() + words[1:]


def tonight(facts: Evening) -> list[str]:
    """Heat, fans, water, power and toilet for the night."""
    lines = [*_heat(facts), *_fans(facts)]
    for out in facts.plan.house:
        if out.out_from > facts.now or (out.back_at is not None and out.back_at <= facts.now):
            continue
        back = (
            "till we tell you" if out.back_at is None else f"till {owner_time(out.back_at, facts.job.zone, facts.now)}"
        )
        lines.append(f"{room_name(facts.plan, out.room, None)}: no {out.what} {back}.")
    return lines


def _back(facts: Evening, out: HouseOut) -> Instant | None:
    """When a service is back in the slow case: with the last of the room's steps that give it back."""
    if out.back_at is None:
        return None
    givers = {step.id for step in facts.steps if step.room == out.room and step.house.get(out.what) == "back"}
    return max([out.back_at, *(t[1] for step, t in facts.times.items() if step.split("#")[0] in givers)])


def _heat(facts: Evening) -> list[str]:
    """The waits count on the night air of the job file: a colder room opens later than was told."""
    curing = sorted({each.room for each in facts.standing})
    warm: dict[str, list[str]] = {}
    for room_id in curing:
        night = facts.job.room(room_id).air.night
        warm.setdefault(show_temp(min(night.air_c, night.surface_c), facts.job.units), []).append(room_id)
    return [
        f"Keep the {listed([facts.job.room(room).name for room in rooms])} at {heat} or more."
        for heat, rooms in warm.items()
    ]


def _fans(facts: Evening) -> list[str]:
    wet = sorted({facts.job.room(each.room).name for each in facts.standing if each.kind in NO_FANS})
    return [f"No fan and no draft in the {listed(wet)}."] if wet else []


def inspections(facts: Evening) -> list[str]:
    """Visits that must see something: when, what, and how they went."""
    lines = []
    for visit in facts.plan.visits:
        result = facts.progress.visit_results.get(visit.id)
        room = facts.job.room(visit.room).name
        what = f"{visit.sees}, {room}" if visit.sees else room
        if result is not None:
            lines.append(f"{visit.who}, {what}: {result}.")
        elif visit.finish > facts.now:
            booked = "Not yet passed." if visit.booked else "Not booked yet."
            lines.append(f"{show_when(visit.start, facts.job.zone, facts.now)}, {visit.who}, {what}. {booked}")
    return lines


def next_work_day(facts: Evening) -> date | None:
    """The next date after today on which somebody of the plan works; None when nothing is left to do."""
    days = {local(facts.job.zone, step.start).date() for step in facts.plan.steps}
    return min((day for day in days if day > facts.today), default=None)


def next_day(facts: Evening) -> list[str]:
    """When we start, who else comes, what must be clear."""
    day = next_work_day(facts)
    if day is None:
        return []
    when = "" if (day - facts.today).days == 1 else f" {day_words(_first(facts, day), facts.job.zone)}"
    lines = [f"We start{when} {_begin(facts, day)}."]
    for delivery in facts.job.deliveries:
        if local(facts.job.zone, delivery.earliest).date() == day:
            span = f"{_short(facts, delivery.earliest)} to {_short(facts, delivery.latest)}"
            lines.append(f"{delivery.of} comes {span}: keep the drive clear.")
    for visit in facts.plan.visits:
        if local(facts.job.zone, visit.start).date() == day:
            lines.append(f"{visit.who} comes {_short(facts, visit.start)}.")
    return lines


def _begin(facts: Evening, day: date) -> str:
    hours = facts.job.hours
    people = [person for person in facts.job.people if working_days(hours, person, day, day)]
    starts = [
        next((e.start for e in (*person.exceptions, *hours.exceptions) if e.day == day), hours.start)
        for person in people
    ]
    begin = min(starts, default=hours.start)
    return show_wall(local(facts.job.zone, _first(facts, day)).replace(hour=begin.hour, minute=begin.minute))


def _first(facts: Evening, day: date) -> Instant:
    return min(step.start for step in facts.plan.steps if local(facts.job.zone, step.start).date() == day)


def we_need(facts: Evening) -> list[str]:
    """Answers that are owed and not given: the soonest first."""
    open_ones = [each for each in facts.job.answers if each.id not in facts.progress.answered]
    return [
        f"{each.what} for the {facts.job.room(each.room).name}, by {_by(facts, each.by)}."
        for each in sorted(open_ones, key=lambda answer: answer.by)
    ]


def _by(facts: Evening, at: Instant) -> str:
    # A time by which somebody else must act is not rounded up: later would be too late.
    moment = local(facts.job.zone, at)
    days = (moment.date() - facts.today).days
    return owner_clock(moment) if days == 0 else f"{day_words(at, facts.job.zone)} {owner_clock(moment)}"


def ran_late(facts: Evening) -> list[str]:
    """What ran late today, who stayed, and what was chosen."""
    titles = {step.id: step.title for step in facts.plan.steps}
    lines = [
        f"{titles.get(str(event.body.get('step')), str(event.body.get('step')))}, "
        f"{show_minutes(int(event.body['value']))}{_why(event)}."
        for event in facts.noted
        if event.kind == "late" and isinstance(event.body.get("value"), int | float)
    ]
    stays = [event for event in facts.noted if event.kind == "stay_until" and isinstance(event.body.get("until"), int)]
    lines += [f"We stayed till {_wall(facts, int(event.body['until']))}." for event in stays]
    return [*lines, *_what_moved(facts)] if lines else []


def _what_moved(facts: Evening) -> list[str]:
    """What being late did to the plan that held before it: steps on another day, and the last day."""
    late = min(event.seq for event in facts.noted if event.kind in ("late", "stay_until"))
    held = read_progress(facts.job, [each for each in facts.events if each.seq < late]).accepted
    if held is None:
        return []

    def day(at: Instant) -> date:
        return local(facts.job.zone, at).date()

    moved = sum(1 for s in facts.plan.steps if s.id in held.steps and day(held.steps[s.id][0]) != day(s.start))
    steps = (
        "Nothing moved to another day" if not moved else f"{moved} step{'s' if moved > 1 else ''} moved to another day"
    )
    was, now = (day_words(at, facts.job.zone) for at in (held.finish, facts.plan.finish))
    return [f"{steps}. The last day {f'is still {now}' if was == now else f'was {was} and is now {now}'}."]


def _why(event: Event) -> str:
    return f": {event.body['why']}" if event.body.get("why") else ""


def last_day(facts: Evening) -> list[str]:
    """When the job is done, as usual and if slow. The slow day is never the earlier one."""
    usual, slow = (day_words(at, facts.job.zone) for at in (facts.plan.finish, quarter_up(facts.slow)))
    if facts.plan.finish <= facts.now:
        return []
    return [f"{usual}." if usual == slow else f"{usual} if all goes as usual; {slow} if slow."]


def air_log(facts: Evening) -> list[str]:
    """The air readings of the day as noted."""
    lines = []
    for event in facts.noted:
        value = event.body.get("value")
        if event.kind == "reading" and isinstance(value, dict):
            said = [show_temp(float(value["air_c"]), facts.job.units)] if "air_c" in value else []
            said += [f"{round(float(value['humidity']) * 100)} %"] if "humidity" in value else []
            said += [f"floor {show_temp(float(value['surface_c']), facts.job.units)}"] if "surface_c" in value else []
            room = facts.job.room(str(event.body["room"])).name if event.body.get("room") else ""
            lines.append(f"{_wall(facts, event.minute)}  {room}: {', '.join(said)}")
    return lines


def used(facts: Evening) -> list[str]:
    """Packages used today by class, with lot numbers where they were noted."""
    known = material_classes(facts.job)
    lines = []
    for event in facts.noted:
        if event.kind == "used":
            key = str(event.body.get("class", ""))
            title = known[key].title if key in known else key
            many = "" if event.body.get("value") == 1 else "s"
            unit = f" {known[key].package.name}{many}" if key in known else ""
            lot = f", lot {event.body['lot']}" if event.body.get("lot") else _why(event)
            lines.append(f"{title}: {event.body.get('value')}{unit}{lot}")
    return lines


def proofs(facts: Evening) -> list[str]:
    """Film gauge readings, photos and flood levels of the day, as noted."""
    titles = {step.id: step.title for step in facts.plan.steps}
    kinds: Iterable[str] = ("gauge", "photo", "visit_result")
    return [
        f"{_wall(facts, event.minute)}  {event.kind.replace('_', ' ')}: "
        f"{titles.get(str(event.body.get('step')), '')} {event.body.get('value', '')}".rstrip()
        for event in facts.noted
        if event.kind in kinds
    ]


def _wall(facts: Evening, at: Instant) -> str:
    return show_wall(local(facts.job.zone, at))


def _short(facts: Evening, at: Instant) -> str:
    return owner_clock(local(facts.job.zone, at))
