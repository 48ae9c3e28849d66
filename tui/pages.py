"""What some pages show beyond the plan, worked out in the helper process from the trade's own numbers: plain JSON."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.step import Step
from planning.job.words import Instant

Filler = Callable[[Plan, Job, Sequence[Step], Sequence[Event], Instant], Any]


def fill(name: str, plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> Any:
    """The values of one page. Raises KeyError for a page nobody fills."""
    return FILLERS[name](plan, job, steps, events, now)


def _air(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """The sentences about the air, and each room's air with what it does to waits."""
    from planning.quantities.show import show_share, show_temp, show_times
    from planning.trade.air import hold_reason, multiplier, site_air
    from tui.cli.plan_text import air_lines

    air = site_air(job, events)
    rooms = []
    for room in job.rooms:
        here = air.at(room.id, now)
        dry, sets = multiplier("drying", here), multiplier("maturity", here)
        rooms.append(
            {
                "room": room.id,
                "air": show_temp(here.air_c, job.units),
                "rh": show_share(here.humidity),
                "floor": show_temp(here.surface_c, job.units),
                "drying": "none" if dry is None else show_times(dry),
                "setting": "none" if sets is None else show_times(sets),
                "longer": [dry, sets],
                "hold": hold_reason("drying", here, job.units) or hold_reason("maturity", here, job.units) or "",
                "read": air.read_at(room.id) is not None,
                "known": room.air.read,
                "values": [here.air_c, here.humidity, here.surface_c],
            }
        )
    return {"lines": air_lines(job, events, now), "rooms": rooms, "units": job.units}


def _pull(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """The pull-list of every day, with masses as people say them."""
    from planning.quantities.show import show_mass
    from planning.supply.pull_json import pull_dict
    from planning.supply.pull_list import pull_list

    listed = pull_list(plan, job, steps, events)
    table = pull_dict(listed, job.zone)
    instead = _instead(job)
    for day in table["days"]:
        for room in day["rooms"]:
            for step in room["steps"]:
                for item in step["items"]:
                    item["instead"] = instead.get(item["class"], [])
        day["load"] = show_mass(round(day["weight_kg"]), job.units)
        day["payload"] = None if day["payload_kg"] is None else show_mass(day["payload_kg"], job.units)
    return table


def _instead(job: Job) -> dict[str, list[list[str]]]:
    """Class -> (key, title) of every other class of its family."""
    from planning.trade.materials import material_classes

    known = material_classes(job)
    return {
        key: [[other, each.title] for other, each in known.items() if each.family == mine.family and other != key]
        for key, mine in known.items()
    }


def _step(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """What to take, mind and prove of every step, and whose numbers its waits are."""
    from planning.trade.cautions import caution_words
    from planning.trade.materials import material_classes

    known = material_classes(job)
    names = {key: each.title for key, each in known.items()}
    return {step.id: _about(step, names, caution_words(step.cautions, job.units)) for step in steps}


def _about(step: Step, names: Mapping[str, str], cautions: Sequence[str]) -> dict[str, list[str]]:
    takes = [names.get(each.material, each.material) for each in step.amounts] + list(step.small_items)
    waits = [link.wait for link in step.after if link.wait is not None]
    common = any(not wait.own_label and wait.law != "fixed" for wait in waits)
    sure = ["Wait is common practice, not from your pail. Put your own number in the job file."] if common else []
    found = {
        "says": [step.says or step.title],
        "take": [", ".join(dict.fromkeys(takes))] if takes else [],
        "mind": list(cautions),
        "proof": [f"Done only with a {' and a '.join(step.evidence)} noted: N."] if step.evidence else [],
        "seen by": [f"{step.sees}, before anything covers it."] if step.sees else [],
        "sure?": sure,
    }
    return {label: lines for label, lines in found.items() if lines}


def _evening(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """The note for each reader as text and page, what is to be kept of it, the open questions, the list before
    driving off, and the sheets for the doors.
    """
    from planning.handover.as_page import note_page
    from planning.handover.as_text import note_text
    from planning.handover.drive_off import drive_off
    from planning.handover.evening import evening
    from planning.handover.note import AUDIENCES
    from planning.handover.sections.questions import open_questions
    from planning.handover.snapshot import make_note
    from planning.handover.stay_off import rooms_off, stay_off_page, stay_off_sheet
    from planning.handover.told import told_body

    facts = evening(plan, job, steps, events, now)
    made = {reader: make_note(facts, reader) for reader in AUDIENCES}
    offs = rooms_off(facts)
    return {
        "note": note_text(made["owner"]),
        "long": note_text(make_note(facts, "owner", long=True)),
        "contractor": note_text(made["contractor"]),
        "pages": {reader: note_page(note) for reader, note in made.items()},
        "told": {reader: told_body(note, note_text(note)) for reader, note in made.items()},
        "questions": [{"kind": q.kind, "words": q.words, "step": q.step, "at": q.at} for q in open_questions(facts)],
        "leave": [{"key": each.key, "words": each.words, "done": each.done} for each in drive_off(facts)],
        "day": facts.today.isoformat(),
        "sheets": {room: stay_off_sheet(room, each, job) for room, each in offs.items()},
        "sheets_page": stay_off_page(offs, job) if offs else "",
    }


def _calendar(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """The setter's own calendar file, and what is to be kept of it."""
    from planning.handover.calendar import calendar_body, phone_calendar

    made = phone_calendar(plan, job, steps, events, now)
    return {"text": made.data.decode("utf-8"), "told": calendar_body(made, "me")}


def _job(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """Each room's size, work and way in, as people say them."""
    from planning.quantities.show import show_area, show_size
    from planning.trade.methods import all_methods

    known = all_methods(job)
    titles = {key: method.title for key, method in known.items()}
    rooms = [
        {
            "room": room.id,
            "size": show_size(room.length_m, room.width_m, job.units),
            "area": show_area(room.area_m2, job.units),
            "does": [titles.get(scope.method, scope.method) for scope in room.do],
            "in_from": list(room.in_from),
            "parts": [{"id": part.id, "area": show_area(part.area_m2, job.units)} for part in room.parts],
            "toilet": room.toilet,
        }
        for room in job.rooms
    ]
    return {"rooms": rooms, "aim": job.aim, "steps": len(steps)}


def _labels(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """The label numbers this job counts on that are still ours, and which classes each step waits by."""
    from planning.trade.labels import WINDOW_SAYS, missing_labels
    from planning.trade.materials import material_classes

    known = material_classes(job)
    ours = [
        {"class": each.material, "title": each.title, "window": each.window, "called": WINDOW_SAYS[each.window],
         "says": each.says}
        for each in missing_labels(job, steps)
    ]  # fmt: skip
    by_step = {
        step.id: sorted({wait.material for link in step.after for wait in (link.wait, link.within)
                         if wait is not None and wait.material is not None})
        for step in steps
    }  # fmt: skip
    own = [[key, known[key].title] for key in job.materials if key in known]
    return {"ours": ours, "own": own, "by_step": {key: found for key, found in by_step.items() if found}}


def _who(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """What comes and what is owed, drives to make, and what may be found wrong."""
    from planning.job.progress import read_progress
    from planning.trade.troubles import troubles

    progress = read_progress(job, events)
    deliveries = [
        {"id": each.id, "what": each.of, "room": each.room, "from": each.earliest,
         "to": progress.delivery_due.get(each.id, each.latest)}
        for each in job.deliveries if each.id not in progress.delivered
    ]  # fmt: skip
    answers = [
        {"id": each.id, "who": each.owed_by, "what": each.what, "room": each.room, "by": each.by}
        for each in job.answers if each.id not in progress.answered
    ]  # fmt: skip
    errands = [
        {"id": each.id, "what": each.what, "who": each.who, "takes": each.takes_min}
        for each in job.errands if each.id not in progress.errands_done
    ]  # fmt: skip
    out = [each.what for each in progress.outages if each.start <= now and (each.finish is None or each.finish > now)]
    wrong = [[key, each.title] for key, each in troubles().items()]
    return {"deliveries": deliveries, "answers": answers, "errands": errands, "out": out, "troubles": wrong}


def _clocks(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """What is mixed in the steps under way, for the clocks inside them."""
    from tui.mixes import mixes

    return mixes(plan, job, steps, events, now)


FILLERS: Mapping[str, Filler] = {
    "clocks": _clocks,
    "who": _who,
    "labels": _labels,
    "air": _air,
    "pull": _pull,
    "step": _step,
    "evening": _evening,
    "calendar": _calendar,
    "job": _job,
}
