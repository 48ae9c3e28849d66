"""`mudday`, `mudday JOB`, `mudday --demo [NAME]`: the screen, imported only here."""

import argparse
import gc
import sys
from pathlib import Path

from tui.cli.wrong import DONE
from tui.version import VERSION


def open_screen(args: argparse.Namespace) -> int:
    """Open the screen and return its exit code. Raises WrongUse for a job or demo that is not there."""
    if args.version:
        print(f"mudday {VERSION}")
        return DONE
    # Nothing made before the first picture is garbage: looking for it would only make the setter wait.
    gc.disable()
    try:
        return _open(args)
    finally:
        gc.enable()


def _open(args: argparse.Namespace) -> int:
    path: Path | None = None
    demo = args.demo is not None
    if demo:
        path = _demo(args)
    elif args.job is not None:
        from tui.cli.opening import job_path

        new = _new_job(args.job)
        if new is not None:
            from tui.app import run_new

            return run_new(new) or DONE
        path = job_path(args.job)
    from tui.app import run

    return run(path, demo) or DONE


def _new_job(text: str) -> Path | None:
    """The file of a job to be set up: a name that is not taken, in a folder that is there, typed by a person.

    A program that names a file which is not there gets the mistake told instead of a screen.
    """
    path = Path(text)
    if path.exists() or not sys.stdin.isatty():
        return None
    named = path if path.suffix == ".toml" else path.with_name(path.name + ".toml")
    if named.exists() or not named.parent.is_dir():
        return None
    return named


def _demo(args: argparse.Namespace) -> Path:
    from planning.records.clock import SystemClock
    from tui.cli.demo import copy_demo

    path, copied = copy_demo(args.demo or args.job or "", Path.cwd(), SystemClock())
    if copied:
        print(f"The made-up job is now {path.name} here; write in it as you like.", file=sys.stderr)
    return path
