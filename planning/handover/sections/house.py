"""What the household lives with: floors to stay off, and the toilet, water, power and heat of the night."""

from collections.abc import Iterator

from planning.handover.evening import Evening
from planning.handover.wording import NO_FANS, WHY_OFF, listed, owner_clock, owner_time, room_name
from planning.job.hours import local
from planning.job.plan import HouseOut
from planning.job.words import Barrier, Instant
from planning.quantities.show import show_day, show_temp

OFF_WORDS: dict[Barrier, str] = {"walk": "", "wet": "No water on it ", "heavy": "Nothing heavy "}
TILL_TOLD = "till we tell you"


def stay_off(facts: Evening) -> list[str]:
    """What may not be used, till when in an owner's words, and why; one line a floor."""
    lines = []
    for room in facts.plan.rooms:
        parts = {release.part for release in facts.standing if release.room == room.id}
        for part in sorted(parts, key=lambda each: each or ""):
            said = {each.what: each for each in facts.standing if each.room == room.id and each.part == part}
            words = [_till(facts, what, said[what].until if said[what].told else None)
                     for what in OFF_WORDS if what in said]  # fmt: skip
            if "walk" in said and said["walk"].kind in WHY_OFF:
                words.append(WHY_OFF[said["walk"].kind])
            lines.append(f"{room_name(facts.plan, room.id, part)}: {' '.join(words)}")
    return lines


def _till(facts: Evening, what: Barrier, until: Instant | None) -> str:
    when = f"all the time, {TILL_TOLD}" if until is None else f"till {owner_time(until, facts.job.zone, facts.now)}"
    words = f"{OFF_WORDS[what]}{when}."
    return words if OFF_WORDS[what] else words[0].lower() + words[1:]


def tonight(facts: Evening) -> list[str]:
    """Heat, fans, water, power and toilet for the night."""
    out = [*_services(facts), *_outages(facts)]
    nothing = ["Toilet, water and power: nothing is off tonight."] if not out else []
    return [*_heat(facts), *_fans(facts), *out, *nothing]


def services_off(facts: Evening) -> list[HouseOut]:
    """What a step of ours took away and did not give back yet."""
    return [out for out in facts.plan.house
            if out.out_from <= facts.now and (out.back_at is None or out.back_at > facts.now)]  # fmt: skip


def _services(facts: Evening) -> Iterator[str]:
    for out in services_off(facts):
        back = back_at(facts, out)
        till = TILL_TOLD if back is None else f"till {owner_time(back, facts.job.zone, facts.now)}"
        yield f"{room_name(facts.plan, out.room, None)}: no {out.what} {till}."


def back_at(facts: Evening, out: HouseOut) -> Instant | None:
    """When a service is back in the slow case: with the last of the room's steps that give it back."""
    if out.back_at is None:
        return None
    givers = {step.id for step in facts.steps if step.room == out.room and step.house.get(out.what) == "back"}
    return max([out.back_at, *(t[1] for step, t in facts.times.items() if step.split("#")[0] in givers)])


def _outages(facts: Evening) -> Iterator[str]:
    """What went out by itself, as noted. When it comes back is somebody else's word, so it is told as such."""
    for out in facts.progress.outages:
        if out.start <= facts.now and (out.finish is None or out.finish > facts.now):
            till = "" if out.finish is None else f"; we were told till {_moment(facts, out.finish)}"
            yield f"{out.what.capitalize()} is out in the house since {_moment(facts, out.start)}{till}."


def _moment(facts: Evening, at: Instant) -> str:
    """A time as it was noted: not rounded."""
    moment = local(facts.job.zone, at)
    clock = owner_clock(moment)
    return clock if facts.is_today(at) else f"{show_day(moment.date())} {clock}"


def heat_of(facts: Evening) -> dict[str, list[str]]:
    """What to keep each curing room at, in words -> the rooms. The waits count on the job's night air: in a colder
    room everything opens later than was told.
    """
    warm: dict[str, list[str]] = {}
    for room_id in sorted({each.room for each in facts.standing}):
        night = facts.job.room(room_id).air.night
        warm.setdefault(show_temp(min(night.air_c, night.surface_c), facts.job.units), []).append(room_id)
    return warm


def _heat(facts: Evening) -> list[str]:
    return [
        f"Keep the {listed([facts.job.room(room).name for room in rooms])} at {heat} or more."
        for heat, rooms in heat_of(facts).items()
    ]


def fan_rooms(facts: Evening) -> list[str]:
    """The rooms whose fresh work must not dry from above."""
    return sorted({each.room for each in facts.standing if each.kind in NO_FANS})


def _fans(facts: Evening) -> list[str]:
    wet = [facts.job.room(room).name for room in fan_rooms(facts)]
    return [f"No fan and no draft in the {listed(wet)}."] if wet else []
