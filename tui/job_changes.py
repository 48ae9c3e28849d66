"""Changes to the job file that the screens ask for, tried before they are written. Runs in the helper process.

An edit is a JSON table: {"do": "new", "tables"}, {"do": "room" or "person", "values"}, {"do": "drop", "room"},
{"do": "set", "path", "value"} or {"do": "out", "path"}. Every other line of the file stays as it is.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from planning.job.job import Job
from planning.job.problem import Problem
from planning.job.step import Step
from planning.job.words import Instant
from planning.trade.materials import MaterialClass
from planning.trade.methods import Method

OFTEN = ("plain-tile-floor", "level-and-tile-floor")
"""The methods offered first."""
GROUPS = (("floor", "a floor"), ("shower", "a shower or wet room"), ("wall", "a wall, tub or fireplace"))
"""What a method is done on: (key, words), in the order offered."""

Edit = Mapping[str, Any]


def changed(text: str, edits: Sequence[Edit]) -> str:
    """The text of the job file after the edits. Raises NotEditedError (planning.records.job_edit)."""
    from planning.records import job_edit

    for edit in edits:
        match edit["do"]:
            case "new":
                text = job_edit.job_text(edit["tables"])
            case "room":
                text = job_edit.add_table(text, "room", edit["values"])
            case "person":
                text = job_edit.add_table(text, "person", edit["values"])
            case "drop":
                text = job_edit.drop_room(text, str(edit["room"]))
            case "set":
                text = job_edit.set_value(text, tuple(edit["path"]), edit["value"])
            case "out":
                text = job_edit.take_out(text, tuple(edit["path"]))
            case other:
                raise ValueError(f"nobody knows how to {other} a job file")
    return text


def change_job(path: Path, edits: Sequence[Edit], about: str, now: Instant, write: bool) -> dict[str, Any]:
    """Try the edits and say what they come to for the room `about` ("" for none); write them when nothing is wrong.

    Returns {"problems", "steps", "takes", "finish", "days", "written", "read_as"}.
    """
    from planning.job.problem import UnreadableError
    from planning.records.job_edit import edit_job
    from planning.records.job_file import read_job_bytes
    from planning.records.not_saved import NotSaved
    from planning.records.own_labels import with_own_labels

    try:
        old = path.read_text(encoding="utf-8") if path.exists() else ""
        new = changed(old, edits)
    except (UnreadableError, OSError, UnicodeDecodeError) as wrong:
        return _nothing([f"{wrong}"])
    job, problems = read_job_bytes(new.encode(), path.name)
    if job is None or problems:
        return _nothing([told(each) for each in problems])
    # By the numbers of his own labels, as the plan on the wall is: labels that are wrong are told when the job is read.
    found = _comes_to(with_own_labels(job)[0], about, now)
    if write and not found["problems"]:
        try:
            edit_job(path, lambda text: changed(text, edits))
            found["written"] = True
        except (NotSaved, OSError) as wrong:
            found["problems"] = [f"NOT SAVED, nothing was changed. {getattr(wrong, 'reason', wrong)}"]
    return found


def _nothing(problems: list[str]) -> dict[str, Any]:
    return {"problems": problems, "steps": [], "takes": [], "written": False, "read_as": "", "days": 0, "finish": None}


def _comes_to(job: Job, about: str, now: Instant) -> dict[str, Any]:
    """The steps, the packages and the days of one room of a job, and when the whole job would end."""
    from planning.quantities.show import show_area, show_size
    from planning.trade.expand import expand

    expansion = expand(job)
    found = _nothing([told(each) for each in expansion.problems])
    mine = [each for each in expansion.steps if each.room == about]
    found["steps"] = [[each.title, each.labour.typical, each.kind] for each in mine]
    found["takes"] = _takes(job, mine)
    room = next((each for each in job.rooms if each.id == about), None)
    if room is not None:
        size = show_size(room.length_m, room.width_m, job.units)
        found["read_as"] = f"{size} = {show_area(room.area_m2, job.units)}"
    if about and not found["problems"]:
        found.update(_when(job, about, now))
    return found


def _when(job: Job, about: str, now: Instant) -> dict[str, Any]:
    """Days of hands in that room, and the end of the job, by the first plan that is found at once."""
    from planning.job.hours import local
    from planning.schedule.make_plan import make_plan
    from planning.schedule.no_plan import NoPlan

    try:
        plan = make_plan(job, (), now, improve=False)
    except NoPlan as none_fits:
        return {"no_plan": list(none_fits.reasons)}
    days = {local(job.zone, step.start).date() for step in plan.steps if step.room == about}
    return {"days": len(days), "finish": plan.finish}


def _takes(job: Job, steps: Sequence[Step]) -> list[list[str]]:
    """Each class with its whole packages: ["leveler, rapid", "2 bags + 1 spare"]."""
    from planning.trade.materials import material_classes

    known = material_classes(job)
    sums: dict[str, float] = {}
    for step in steps:
        for each in step.amounts:
            sums[each.material] = sums.get(each.material, 0.0) + each.quantity
    bought = [(known[key], amount) for key, amount in sums.items() if key in known and amount]
    return [[each.title, packages_words(each, amount)] for each, amount in bought]


def packages_words(material: MaterialClass, amount: float) -> str:
    """An amount as whole packages: 2 bags + 1 spare."""
    from planning.supply.count_words import count_words

    said = count_words(material.packages(amount), material.package.name)
    return said + (f" + {material.spare} spare" if material.spare else "")


def menu(job: Job | None) -> list[dict[str, Any]]:
    """The methods to choose from, in groups: what each measures and which rapid class may fill a slot.

    `job`: whose own methods are among them; None for a job that is not there yet.
    """
    from planning.trade.materials import common_classes, material_classes
    from planning.trade.methods import all_methods, common_methods

    classes = common_classes() if job is None else material_classes(job)
    methods = common_methods() if job is None else all_methods(job)
    listed = sorted(methods.values(), key=lambda each: (each.key not in OFTEN, each.title))
    return [
        {
            "key": key, "title": title,
            "methods": [_offered(each, classes) for each in listed if group_of(each) == key],
        }
        for key, title in GROUPS
    ]  # fmt: skip


def group_of(method: Method) -> str:
    """On what a method is done: its floor alone, a shower (its floor is flood tested), or walls too."""
    if any(link.wait == "flood_hold" for row in method.row for link in row.after):
        return "shower"
    return "wall" if any(place.floor is not None for place in method.places.values()) else "floor"


def _offered(method: Method, classes: Mapping[str, MaterialClass]) -> dict[str, Any]:
    faster = {slot: classes[key].faster or "" for slot, key in method.classes.items() if key in classes}
    return {
        "key": method.key,
        "title": method.title,
        "measures": {key: value if isinstance(value, int | float | str) else str(value)
                     for key, value in method.measures.items()},
        "floors": [name for name, place in method.places.items() if place.floor is None],
        "faster": {slot: [classes[key].title, key] for slot, key in faster.items() if key in classes},
        "rows": [[row.key, row.title] for row in method.row],
        "toilet": any("toilet" in row.house for row in method.row),
    }  # fmt: skip


def told(problem: Problem) -> str:
    """A problem without the name of the file it was tried in."""
    return f"{problem.what}; {problem.how}"
