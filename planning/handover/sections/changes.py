"""What was found, what was added with a yes, what ran late and why, and what moved since the reader was last told."""

from collections.abc import Callable, Mapping, Sequence

from planning.handover.evening import Evening, end_of
from planning.handover.note import ToldDate
from planning.handover.told import Told, moved_dates
from planning.handover.wording import day_words, listed, owner_time, plural, room_name
from planning.job.events import Event, effective
from planning.job.progress import read_progress, visit_word
from planning.job.words import Instant
from planning.quantities.show import show_minutes


def found(facts: Evening) -> list[str]:
    """Damage and surprises of the day, and extra work with the owner's yes."""
    lines = [f"{_where(facts, event)}: {_words(event)} ({facts.wall(event.minute)})."
             for event in facts.noted if event.kind == "found"]  # fmt: skip
    lines += [
        f"Extra work, {_where(facts, event)}: {_words(event)}. Yes given {facts.wall(event.minute)}."
        for event in facts.noted
        if event.kind == "extra_work"
    ]
    return lines


def _where(facts: Evening, event: Event) -> str:
    room = str(event.body.get("room") or str(event.body.get("step", "")).split("/")[0].split(".")[0])
    return room_name(facts.plan, room, None) if room else "On site"


def _words(event: Event) -> str:
    return str(event.body.get("value", "")).rstrip(".")


def ran_late(facts: Evening) -> list[str]:
    """What ran late or went wrong today, by how much and why, who stayed, and what that did to the plan."""
    lines = [f"{words[:1].upper()}{words[1:]}." for event in facts.noted if (words := cause(facts, event))]
    ends = {int(event.body["until"]) for event in facts.noted
            if event.kind == "stay_until" and isinstance(event.body.get("until"), int)}  # fmt: skip
    stays = [until for until in ends if facts.is_today(until) and until > end_of(facts.job, facts.today)]
    lines += [f"We stayed till {facts.wall(until)}." for until in sorted(stays)[-1:]]
    return [*lines, *_what_moved(facts)] if lines else []


def _what_moved(facts: Evening) -> list[str]:
    """How many steps stand on another day than in the plan that held before. Days themselves: see `since_told`."""
    first = min(
        (event.seq for event in facts.noted if event.kind in CAUSES or event.kind == "stay_until"), default=None
    )
    held = read_progress(facts.job, [each for each in facts.events if first is None or each.seq < first]).accepted
    if held is None:
        return []
    moved = sum(1 for s in facts.plan.steps
                if s.id in held.steps and facts.day(held.steps[s.id][0]) != facts.day(s.start))  # fmt: skip
    return [f"{plural(moved, 'step')} moved to another day." if moved else "Nothing moved to another day."]


def cause(facts: Evening, event: Event) -> str:
    """Why dates move, in a few words; "" for an event that moves none."""
    said = CAUSES.get(event.kind)
    words = said(facts, event) if said is not None else ""
    return f"{words}{_why(event)}" if words else ""


def _why(event: Event) -> str:
    return f": {str(event.body['why']).rstrip('.')}" if event.body.get("why") else ""


def _late(facts: Evening, event: Event) -> str:
    value = event.body.get("value")
    step = facts.named(str(event.body.get("step")))
    return f"{step}, {show_minutes(int(value))}" if isinstance(value, int | float) and value > 0 else ""


def _tacky(facts: Evening, event: Event) -> str:
    return f"{facts.named(str(event.body.get('step')))} waits: the layer under it was not dry yet"


def _gone(facts: Evening, event: Event) -> str:
    return f"one of us had to leave at {facts.wall(event.minute)}"


def _result(facts: Evening, event: Event) -> str:
    word = visit_word(str(event.body.get("value", "")))
    who = str(event.body.get("visit") or event.body.get("who", "")).split("/")[-1].replace("-", " ")
    visit = next((v for v in facts.plan.visits if v.id == event.body.get("visit")), None)
    name = who if visit is None else f"{visit.who}, {facts.job.room(visit.room).name}"
    return {"failed": f"{name}: not passed", "no_show": f"{name}: nobody came"}.get(str(word), "")


def _moved(facts: Evening, event: Event) -> str:
    visit = next((v for v in facts.plan.visits if v.id == event.body.get("visit")), None)
    until = event.body.get("until")
    if visit is None or not isinstance(until, int):
        return ""
    return f"{visit.who}, {facts.job.room(visit.room).name}, now comes {owner_time(until, facts.job.zone, facts.now)}"


def _short(facts: Evening, event: Event) -> str:
    return f"{event.body.get('value')} {str(event.body.get('class', '')).replace('-', ' ')} were missing"


def _out(facts: Evening, event: Event) -> str:
    return f"no {event.body.get('service', 'power')} in the house from {facts.wall(event.minute)}"


def _delivery(facts: Evening, event: Event) -> str:
    name = str(event.body.get("delivery") or event.body.get("class", "")).split("/")[-1]
    return f"{name.replace('-', ' ')} comes at another time"


def _wrong_thing(facts: Evening, event: Event) -> str:
    wrong = str(event.body.get("value", "")).casefold().startswith("wrong")
    name = str(event.body.get("delivery") or event.body.get("class", "")).split("/")[-1]
    return f"the wrong {name.replace('-', ' ')} came" if wrong else ""


def _held(facts: Evening, event: Event) -> str:
    held = event.body.get("value") != "off"
    return f"{facts.named(str(event.body.get('step')))} had to wait" if held else ""


def _found(facts: Evening, event: Event) -> str:
    return f"found in the {_where(facts, event)[:1].lower()}{_where(facts, event)[1:]}: {_words(event)}"


CAUSES: Mapping[str, Callable[[Evening, Event], str]] = {
    "late": _late,
    "tacky": _tacky,
    "gone": _gone,
    "visit_result": _result,
    "visit_moved": _moved,
    "short": _short,
    "service_out": _out,
    "delivery_moved": _delivery,
    "delivered": _wrong_thing,
    "held": _held,
}
"""What can move dates, each with its words; found damage stands under FOUND."""


def since_told(facts: Evening, before: Told | None, dates: Mapping[str, ToldDate]) -> list[str]:
    """Which dates moved since the reader was last told, by how much, and what had happened in between."""
    if before is None:
        return []
    moved = moved_dates(before.dates, dates, facts.job.zone)
    if not moved:
        return ["No date we told you has moved."]
    lines = [
        f"{each.label}: was {_date(facts, was, each.clock)}, now {_date(facts, each.until, each.clock)}"
        f"{_by(facts, was, each.until)}."
        for was, each in moved
    ]
    reasons = _reasons(facts, before)
    return [
        *lines,
        f"Because: {listed(reasons)}." if reasons else "Because: the work went at another pace than planned.",
    ]


def _reasons(facts: Evening, before: Told) -> list[str]:
    later: Sequence[Event] = [each for each in effective(facts.events) if each.seq > before.seq]
    words = [_found(facts, event) if event.kind == "found" else cause(facts, event) for event in later]
    return list(dict.fromkeys(word for word in words if word))


def _date(facts: Evening, until: Instant | None, clock: bool) -> str:
    if until is None:
        return "when we tell you"
    return owner_time(until, facts.job.zone, facts.now) if clock else day_words(until, facts.job.zone)


def _by(facts: Evening, was: Instant | None, now: Instant | None) -> str:
    """Whole days when the date moved, else hours and minutes."""
    if was is None or now is None:
        return ""
    days = (facts.day(now) - facts.day(was)).days
    way = "later" if now > was else "sooner"
    return f" ({plural(abs(days), 'day')} {way})" if days else f" ({show_minutes(abs(now - was))} {way})"
