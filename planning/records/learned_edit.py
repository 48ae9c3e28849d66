"""What was learned, written into a job file: the setter's pace by kind of work, and a class's own waits."""

from collections.abc import Iterable
from pathlib import Path

from planning.job.problem import Problem
from planning.records.job_edit import add_table, edit_job, set_value
from planning.records.own_labels import place_of

Change = tuple[tuple[str, ...], float | str]
"""("pace", KIND) -> a number, or ("material", CLASS, WINDOW) -> words; see planning.learning.offers."""


def with_learned(text: str, changes: Iterable[Change]) -> str:
    """The job file's text with these changes; all else, remarks too, as it was. Raises NotEditedError."""
    for path, value in changes:
        text = _with_material(text, path[1], path[2], value) if path[0] == "material" else set_value(text, path, value)
    return text


def _with_material(text: str, material: str, key: str, value: float | str) -> str:
    place = place_of(text, material)
    if place is None:
        return add_table(text, "material", {"class": material, key: value})
    return set_value(text, ("material", place, key), value)


def write_learned(path: Path, changes: Iterable[Change]) -> list[Problem]:
    """Change the job file on disk, all or nothing. Returns the problems it would have: then it is not saved."""
    listed = list(changes)
    return edit_job(path, lambda text: with_learned(text, listed))
