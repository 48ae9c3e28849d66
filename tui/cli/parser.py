"""The words of the command line and their help. Builds parsers only; nothing of the planner is imported here."""

import argparse
from dataclasses import dataclass
from typing import NoReturn

from tui.cli.wrong import WrongUse


@dataclass(frozen=True, slots=True)
class Command:
    """One command: the module and function of `tui.cli` that runs it, its help line, whether it gives JSON too.

    `pages`: what else than text and JSON it can be written as.
    """

    module: str
    call: str
    help: str
    json: bool = True
    job: bool = True
    pages: tuple[str, ...] = ()


COMMANDS: dict[str, Command] = {
    "plan": Command("plan", "run", "the plan: what starts when, by whom, and why not sooner"),
    "check": Command("check", "run", "read the job, plan it, judge the plan; exit code 1 says what is wrong"),
    "pull": Command("pull", "run", "what to carry in, by room and step, and what is short"),
    "slip": Command("pull", "run_slip", "the helper's page for a day", json=False),
    "batch": Command("pull", "run_batch", "the batch card of a pour", json=False),
    "snapshot": Command(
        "handover", "run_snapshot", "the note for tonight, for owner or contractor", pages=("md", "html")
    ),
    "told": Command("handover", "run_told", "the notes handed over so far, or one of them again"),
    "drive-off": Command(
        "handover", "run_drive_off", "before you drive off: load, buy, fans, heat, plug, tape; tick it"
    ),
    "stay-off": Command(
        "sheets", "run_stay_off", "the paper for the door of each room that nobody may walk in", pages=("html",)
    ),
    "release": Command(
        "sheets", "run_release", "from when each floor is free, usual and safe, and whom to book", pages=("html",)
    ),
    "calendar": Command("sheets", "run_calendar", "the phone calendar (RFC 5545)", json=False),
    "packet": Command("sheets", "run_packet", "the closing packet: lots, flood log, evidence, care", pages=("html",)),
    "hours": Command("learn", "run_hours", "hours per person and room, and where they went"),
    "learn": Command("learn", "run_learn", "your own pace from what was noted: shown first, taken with --take"),
    "clocks": Command("clocks", "run", "the windows that run: not yet, soon, open, closing, shut"),
    "record": Command("record", "run", "what was noted so far"),
    "note": Command("note", "run", "note what happened: started, finished, late, tacky, gone, came ..."),
    "choices": Command("choices", "run_choices", "the ways to go on, each with its cost"),
    "take": Command("choices", "run_take", "take one of the choices (1 when none is named)"),
    "time": Command("which_time", "run", "is the clock right? After it was set: say clock, counted or stays"),
    "undo": Command("choices", "run_undo", "take back the last thing noted"),
    "redo": Command("choices", "run_redo", "have the undone thing back"),
    "export": Command("transfer", "run_export", "job and record as one text file for another laptop", json=False),
    "import": Command("transfer", "run_import", "take in a text file that mudday export wrote", json=False, job=False),
    "rescue": Command("transfer", "run_rescue", "a new record of what can be read of a damaged one", json=False),
    "demo-jobs": Command("demo", "run_list", "the made-up jobs that come with mudday", job=False),
}

DESCRIPTION = "A day planner for a tile setter who runs several rooms of one job at once."
EPILOG = (
    "mudday JOB opens the screen on a job file, mudday alone opens it on the first page, mudday --demo [NAME] copies "
    "a made-up job here and opens it. Exit codes: 0 done, 1 no plan, 2 bad input."
)


class Parser(argparse.ArgumentParser):
    """A parser that raises instead of leaving the program, so that every mistake goes the same way out."""

    def error(self, message: str) -> NoReturn:
        raise WrongUse(f"{message}; see {self.prog} --help")


def screen_parser() -> Parser:
    """For the calls that open the screen: `mudday`, `mudday JOB`, `mudday --demo [NAME]`."""
    parser = Parser("mudday", description=DESCRIPTION, epilog=_epilog(), formatter_class=_Formatter)
    parser.add_argument("--version", action="store_true", help="say the version and stop")
    parser.add_argument("--demo", nargs="?", const="", metavar="NAME", help="a made-up job, copied here")
    parser.add_argument("job", nargs="?", metavar="JOB", help="a job file, NAME.toml")
    return parser


def command_parser(name: str) -> Parser:
    """The parser of one command."""
    command = COMMANDS[name]
    parser = Parser(f"mudday {name}", description=command.help, formatter_class=_Formatter)
    if command.job:
        parser.add_argument("job", metavar="JOB", help="the job file, NAME.toml")
    if command.json:
        kinds = ("text", *command.pages, "json")
        parser.add_argument("--format", choices=kinds, default="text", help=f"one of {', '.join(kinds)}")
    parser.add_argument("--now", metavar="TIME", help="from when to plan: 7:20, 13:45, 2026-06-03 7:20 (default: now)")
    _own_words(name, parser)
    return parser


def _own_words(name: str, parser: Parser) -> None:
    if name in ("plan", "pull", "slip", "batch", "snapshot"):
        parser.add_argument("--day", metavar="DATE", help="another day than today: 2026-06-03, or all")
    if name == "pull":
        parser.add_argument("--run", nargs="?", const="", metavar="WHO", help="plan a supply run for what is short")
    if name == "plan":
        parser.add_argument("--latest", metavar="STEP", help="how late this step may start, in any order of work")
    if name == "check":
        parser.add_argument("--plan", metavar="FILE", help="judge this plan (from mudday plan --format json)")
    if name == "note":
        parser.add_argument("kind", metavar="KIND", help="what happened; mudday note JOB help lists them")
        parser.add_argument("about", nargs="*", metavar="STEP|ROOM|WHO VALUE", help="what it is about, and the value")
        parser.add_argument("--at", metavar="TIME", help="when it happened (default: now)")
        parser.add_argument("--why", metavar="TEXT", help="the reason, in your words")
    if name == "import":
        parser.add_argument("file", metavar="FILE", help="the text that mudday export wrote")
        parser.add_argument("--name", metavar="NAME", help="another name for the job here")
        parser.add_argument("--replace", action="store_true", help="take its job file though a different one is here")
    if name in ("export", "import"):
        parser.add_argument("--to", metavar="WHERE", help="the file (export) or the folder (import)")
    if name == "time":
        parser.add_argument(
            "answer",
            nargs="?",
            choices=("clock", "counted", "stays"),
            metavar="clock|counted|stays",
            help="which time is right: the clock's, the one counted on, or the clock's and all you noted stays",
        )
    if name == "take":
        parser.add_argument("choice", nargs="?", type=int, default=1, metavar="N", help="which one (default: 1)")
    if name == "stay-off":
        parser.add_argument("room", nargs="?", metavar="ROOM", help="one room only")
    if name == "snapshot":
        parser.add_argument("--long", action="store_true", help="with air, bags and readings")
    if name in ("snapshot", "calendar"):
        readers = ("owner", "contractor") if name == "snapshot" else ("me", "owner", "contractor")
        parser.add_argument("--look", action="store_true", help="only look: do not keep it as told")
        parser.add_argument("--for", dest="reader", choices=readers, default=readers[0], help="whom it is for")
    if name == "told":
        parser.add_argument("number", nargs="?", type=int, metavar="N", help="show that note again")
    if name == "drive-off":
        parser.add_argument("lines", nargs="*", type=int, metavar="LINE", help="tick these lines")
        parser.add_argument("--off", action="store_true", help="take the ticks of these lines back")
    if name == "learn":
        parser.add_argument("more", nargs="*", metavar="JOB", help="more jobs to learn from")
        parser.add_argument("--take", action="store_true", help="write what is shown into the first job file")


class _Formatter(argparse.RawDescriptionHelpFormatter):
    """Help with the epilog's lines kept."""


def _epilog() -> str:
    lines = [f"  {name:<10} {command.help}" for name, command in COMMANDS.items()]
    return "\n".join(["commands (mudday COMMAND JOB ..., mudday COMMAND --help):", *lines, "", EPILOG])
