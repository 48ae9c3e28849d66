"""Who else knows that things were noted: a record cut to nothing, or gone, looks like a new one from the inside.

The saved plan counts the events that were noted when it was saved; the export holds them. Read only when the record
itself is empty or not there.
"""

from dataclasses import dataclass
from pathlib import Path

from planning.records.record_row import Row
from planning.records.saved_plan import noted_when_saved, saved_path
from planning.records.transfer_text import MAX_BYTES, BadExportError, read_text

EXPORT_SUFFIX = ".mudday.txt"


@dataclass(frozen=True, slots=True)
class Witness:
    """So many events were noted, by the file of that name."""

    events: int
    file: str


def export_path(job_path: Path) -> Path:
    """Where a job's export lies unless another place is named: beside the job file."""
    return job_path.with_name(job_path.stem + EXPORT_SUFFIX)


def witness_of(record_path: Path) -> Witness | None:
    """What the files beside an empty or missing record tell of events noted; None when nothing does. Never raises."""
    plan, export = saved_path(record_path), export_path(record_path)
    told = [Witness(noted_when_saved(plan), plan.name), Witness(len(exported_rows(record_path)), export.name)]
    most = max(told, key=lambda each: each.events)
    return most if most.events else None


def exported_rows(record_path: Path) -> tuple[Row, ...]:
    """The events in the export beside a record; none when there is no whole export of this job. Never raises."""
    path = export_path(record_path)
    try:
        if path.stat().st_size > MAX_BYTES:
            return ()
        carried = read_text(path.name, path.read_bytes())
    except (OSError, BadExportError):
        return ()
    return carried.rows if Path(carried.name).stem == record_path.stem else ()
