"""What some pages show beyond the plan, worked out in the helper process from the trade's own numbers: plain JSON."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.problem import Problem
from planning.job.step import Step
from planning.job.words import Instant

OFTEN = ("plain-tile-floor", "level-and-tile-floor")
"""The methods offered first."""

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
    for day in table["days"]:
        day["load"] = show_mass(round(day["weight_kg"]), job.units)
        day["payload"] = None if day["payload_kg"] is None else show_mass(day["payload_kg"], job.units)
    return table


def _step(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """What to take, mind and prove of every step, and whose numbers its waits are."""
    from planning.trade.cautions import caution_words
    from planning.trade.materials import material_classes

    known = material_classes(job)
    names = {key: each.title for key, each in known.items()}
    return {step.id: _about(step, names, caution_words(step.cautions)) for step in steps}


def _about(step: Step, names: Mapping[str, str], cautions: Sequence[str]) -> dict[str, list[str]]:
    takes = [names.get(each.material, each.material) for each in step.amounts] + list(step.small_items)
    waits = [link.wait for link in step.after if link.wait is not None]
    common = any(not wait.own_label and wait.law != "fixed" for wait in waits)
    sure = ["Wait is common practice, not from your pail. Put your own number in the job file."] if common else []
    found = {
        "take": [", ".join(dict.fromkeys(takes))] if takes else [],
        "mind": list(cautions),
        "proof": [f"Done only with a {' and a '.join(step.evidence)} noted: N."] if step.evidence else [],
        "seen by": [f"{step.sees}, before anything covers it."] if step.sees else [],
        "sure?": sure,
    }
    return {label: lines for label, lines in found.items() if lines}


def _evening(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> dict[str, Any]:
    """The note, short and long, and the sheets for the doors."""
    from planning.handover.snapshot import snapshot
    from planning.handover.stay_off import rooms_off, stay_off_sheet

    offs = rooms_off(plan, job, steps, events, now)
    return {
        "note": snapshot(plan, job, steps, events, now),
        "long": snapshot(plan, job, steps, events, now, long=True),
        "sheets": {room: stay_off_sheet(room, each, job) for room, each in offs.items()},
    }


def _calendar(plan: Plan, job: Job, steps: Sequence[Step], events: Sequence[Event], now: Instant) -> str:
    """The calendar file's text."""
    from planning.handover.calendar import phone_calendar

    return phone_calendar(plan, job, steps, events, now).decode("utf-8")


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
    methods = [
        {"key": key, "title": method.title, "measures": {k: str(v) for k, v in method.measures.items()}}
        for key, method in sorted(known.items(), key=lambda each: (each[0] not in OFTEN, each[1].title))
        if sum(place.floor is None for place in method.places.values()) <= 1
    ]
    return {"rooms": rooms, "aim": job.aim, "steps": len(steps), "methods": methods}


def try_job(text: str) -> dict[str, Any]:
    """What a changed job file would come to: its problems, and the steps of its last room with their minutes."""
    from planning.records.job_file import read_job
    from planning.trade.expand import expand

    with TemporaryDirectory() as folder:
        path = Path(folder) / "job.toml"
        path.write_text(text, encoding="utf-8")
        job, problems = read_job(path)
    if job is None:
        return {"problems": [_told(each) for each in problems], "steps": []}
    expansion = expand(job)
    last = job.rooms[-1].id
    steps = [[each.title, each.labour.typical] for each in expansion.steps if each.room == last]
    return {"problems": [_told(each) for each in (*problems, *expansion.problems)], "steps": steps}


def _told(problem: Problem) -> str:
    """A problem without the name of the file it was tried in."""
    return f"{problem.what}; {problem.how}"


FILLERS: Mapping[str, Filler] = {
    "air": _air,
    "pull": _pull,
    "step": _step,
    "evening": _evening,
    "calendar": _calendar,
    "job": _job,
}
