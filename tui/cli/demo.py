"""`mudday demo-jobs` and `mudday --demo [NAME]`: the made-up jobs, copied to a folder of the user's to write in."""

import argparse
import re
from datetime import date, timedelta
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from planning.records.clock import Clock
from tui.cli.names import pick
from tui.cli.out import print_json
from tui.cli.wrong import DONE, WrongUse

DATE = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
START = re.compile(r"^\s*start\s*=\s*(\d{4}-\d{2}-\d{2})", re.MULTILINE)
FIRST = "guest-house"
"""The demo that opens when none is named, where there is one of that name."""


def demo_jobs() -> dict[str, Traversable]:
    """Name -> the demo job's file: in the wheel they lie in the package, in a clone at its top."""
    packaged = files("planning").joinpath("demo_jobs")
    folder: Traversable = packaged if packaged.is_dir() else Path(__file__).parents[2] / "demo_jobs"
    if not folder.is_dir():
        return {}
    found = sorted((each for each in folder.iterdir() if each.name.endswith(".toml")), key=lambda each: each.name)
    return {each.name.removesuffix(".toml"): each for each in found}


def run_list(args: argparse.Namespace) -> int:
    """Print the names of the demo jobs, with the first line of each."""
    listed = {name: _first_line(each.read_text(encoding="utf-8")) for name, each in demo_jobs().items()}
    if args.format == "json":
        print_json([{"name": name, "about": about} for name, about in listed.items()])
        return DONE
    for name, about in listed.items():
        print(f"{name:<16} {about}")
    return DONE


def _first_line(text: str) -> str:
    first = text.lstrip().split("\n", 1)[0]
    return first.lstrip("# ").strip() if first.startswith("#") else ""


def copy_demo(name: str, folder: Path, clock: Clock) -> tuple[Path, bool]:
    """The demo job of that name (the first when "") as a file of the user's in `folder`; was it copied just now?

    One that is there already is opened as it is. Dates are moved by whole weeks, so that the job begins today or
    within the coming week. Raises WrongUse.
    """
    known = demo_jobs()
    if not known:
        raise WrongUse("no demo jobs came with this mudday; install it again")
    first = FIRST if FIRST in known else next(iter(known))
    chosen = pick(name, {each: set[str]() for each in known}, "demo job") if name else first
    target = folder / f"{chosen}.toml"
    if target.exists():
        return target, False
    text = moved_to(known[chosen].read_text(encoding="utf-8"), clock.wall().astimezone().date())
    from planning.records.atomic import write_text

    write_text(target, text)
    return target, True


def moved_to(text: str, today: date) -> str:
    """The job file with every date moved by the whole weeks that bring its start to `today` or the week after."""
    start = START.search(text)
    if start is None:
        return text
    behind = (today - date.fromisoformat(start.group(1))).days
    shift = timedelta(weeks=-(-behind // 7))
    return DATE.sub(lambda found: (date.fromisoformat(found.group()) + shift).isoformat(), text)
