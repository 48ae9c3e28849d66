"""A whole job as one readable text file, and back: the job file and the record, each line with its own checksum."""

from dataclasses import dataclass
from pathlib import Path

from planning.job.problem import Problem
from planning.records.atomic import target_inside, write_bytes, write_text
from planning.records.clock import Clock, SystemClock
from planning.records.not_saved import NotSaved, from_os_error, one_line
from planning.records.record import Record
from planning.records.record_witness import export_path
from planning.records.transfer_text import MAX_BYTES, BadExportError, Carried, file_name_fault, read_text, to_text


@dataclass(frozen=True, slots=True)
class Imported:
    """How an import went: where the job lies now, events added, and events that only this laptop had."""

    job_path: Path
    added: int
    only_here: int


def export_text(job_path: Path, clock: Clock | None = None) -> str:
    """The job and everything noted as one text. Raises NotSaved when the job file cannot be read.

    A damaged record is carried as far as it can be read.
    """
    return to_text(_carried(Path(job_path), clock or SystemClock())[0])


def _carried(job_path: Path, clock: Clock) -> tuple[Carried, str | None]:
    """What an export carries, and why that may be less than was noted (None: it is all)."""
    try:
        data = job_path.read_bytes()
    except OSError as wrong:
        raise NotSaved(f"{job_path.name} cannot be read ({wrong.strerror}); give the path of a job file") from wrong
    with Record.open(job_path, clock, read_only=True) as record:
        return Carried(job_path.name, data, record.rows()), record.trouble if record.damaged else None


def export(job_path: Path, to: Path | None = None) -> Path:
    """Write the export beside the job (NAME.mudday.txt) or at `to`; returns where it lies. Raises NotSaved.

    While the record is damaged, an export that lies beside the job is left as it is: it may hold what the record lost.
    """
    job_path = Path(job_path)
    path = export_path(job_path) if to is None else Path(to)
    carried, damage = _carried(job_path, SystemClock())
    if damage is not None and to is None and path.exists():
        raise NotSaved(f"{damage}; {path.name} is left as it is, name another file for this export")
    write_text(path, to_text(carried))
    return path


def import_(
    source: Path, folder: Path, name: str | None = None, replace: bool = False, clock: Clock | None = None
) -> Imported:
    """Read an export into a folder, under its own name or `name`. Importing twice adds nothing.

    A job that is there gets the events it does not have. Its job file is replaced when the other laptop started from
    it (its record names this very text) or with `replace`; otherwise a differing one is refused. Raises BadExportError
    (`file:line: what; how`) before anything is written, NotSaved when it cannot be.
    """
    source, folder = Path(source), Path(folder)
    carried = read_text(one_line(source.name), _bytes_of(source))
    fault = file_name_fault(name if name is not None else carried.name)
    if fault:
        raise BadExportError(Problem(one_line(source.name), 1, fault, 'give a plain name for it, such as "house.toml"'))
    job_path = folder / (name or carried.name)
    return _take_in(carried, job_path, replace, clock or SystemClock())


def _bytes_of(source: Path) -> bytes:
    try:
        if source.stat().st_size > MAX_BYTES:
            raise BadExportError(
                Problem(one_line(source.name), 1, "the file is far too long", "give a text made by mudday export")
            )
        return source.read_bytes()
    except OSError as wrong:
        why = f"cannot be read ({wrong.strerror})"
        raise BadExportError(Problem(one_line(source.name), 1, why, "give a text made by mudday export")) from wrong


def _take_in(carried: Carried, job_path: Path, replace: bool, clock: Clock) -> Imported:
    try:
        job_path = target_inside(job_path)
        here = job_path.read_bytes() if job_path.exists() else None
        if here not in (None, carried.job) and not replace and not carried.started_from(here or b""):
            raise NotSaved(
                f"{job_path.name} is there already and differs; give another folder, another name or replace"
            )
        with Record.open(job_path, clock, afresh=True) as record:
            before = {event.id for event in record.events()}
            added = record.append_rows(carried.rows) if carried.rows else 0
        if here != carried.job:
            write_bytes(job_path, carried.job)
    except OSError as wrong:
        raise from_os_error(job_path, wrong) from wrong
    return Imported(job_path, added, len(before - {row.id for row in carried.rows}))
