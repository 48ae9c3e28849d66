"""`mudday export|import|rescue`: a job with its record handed from one laptop to another, or saved from a bad disk."""

import argparse
from contextlib import suppress
from pathlib import Path

from planning.records.clock import SystemClock
from planning.records.not_saved import NotSaved
from planning.records.rescue import rescue
from planning.records.transfer import export, import_
from planning.records.transfer_text import BadExportError
from tui.cli.opening import job_path
from tui.cli.wrong import DONE, WrongUse


def run_export(args: argparse.Namespace) -> int:
    """Write job and record as one readable text file and print where it lies."""
    print(export(job_path(args.job), None if args.to is None else Path(args.to)))
    return DONE


def run_import(args: argparse.Namespace) -> int:
    """Read such a file into a folder. Importing twice adds nothing; what both laptops noted is merged."""
    source = Path(args.file)
    if not source.is_file():
        raise WrongUse(f"there is no file {args.file}; give the text that mudday export wrote")
    try:
        done = import_(source, Path(args.to or "."), args.name, args.replace)
    except BadExportError as wrong:
        raise WrongUse(str(wrong)) from wrong
    print(f"{done.job_path}: {done.added} added, {done.only_here} only on this laptop")
    return DONE


def run_rescue(args: argparse.Namespace) -> int:
    """Make a new record of what can be read of a damaged one; the damaged file is kept beside it."""
    done = rescue(job_path(args.job), SystemClock())
    kept = "" if done.kept is None else f"; the damaged file is kept: {done.kept}"
    print(f"{done.events} noted things saved, {done.lost} could not be read{kept}")
    return DONE


def export_beside(path: Path) -> None:
    """The export written along with a snapshot: a spare copy. Losing it costs nothing, so it complains to nobody."""
    with suppress(NotSaved, OSError):
        export(path)
