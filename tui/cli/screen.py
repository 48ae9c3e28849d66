"""`mudday`, `mudday JOB`, `mudday --demo [NAME]`: the screen, imported only here."""

import argparse
import sys
from pathlib import Path

from tui.cli.wrong import DONE
from tui.version import VERSION


def open_screen(args: argparse.Namespace) -> int:
    """Open the screen and return its exit code. Raises WrongUse for a job or demo that is not there."""
    if args.version:
        print(f"mudday {VERSION}")
        return DONE
    path: Path | None = None
    demo = args.demo is not None
    if demo:
        path = _demo(args)
    elif args.job is not None:
        from tui.cli.opening import job_path

        path = job_path(args.job)
    from tui.app import run

    return run(path, demo) or DONE


def _demo(args: argparse.Namespace) -> Path:
    from planning.records.clock import SystemClock
    from tui.cli.demo import copy_demo

    path, copied = copy_demo(args.demo or args.job or "", Path.cwd(), SystemClock())
    if copied:
        print(f"The made-up job is now {path.name} here; write in it as you like.", file=sys.stderr)
    return path
