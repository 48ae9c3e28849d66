"""From the words typed to the command that runs, and every mistake to one line on stderr and an exit code."""

import os
import sys
from collections.abc import Sequence
from contextlib import ExitStack, suppress
from importlib import import_module
from io import TextIOWrapper

from tui.cli.parser import COMMANDS, command_parser, screen_parser
from tui.cli.wrong import BAD_INPUT, DONE, NO_PLAN, WrongUse

LONGEST = 600
"""Signs of a line that says what is wrong; words typed without end are cut."""

STOPPED = 130
"""Exit code of a program stopped from the keyboard, as shells have it."""


def run(words: Sequence[str]) -> int:
    """Run the command in `words`; returns its exit code. Prints data on stdout, talk on stderr, never a traceback."""
    _utf8()
    try:
        code = _dispatch(list(words))
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read us has gone (`| head`). Python would complain again when it flushes at exit.
        with suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except SystemExit as left:
        return left.code if isinstance(left.code, int) else BAD_INPUT
    except KeyboardInterrupt:
        return STOPPED
    except Exception as wrong:  # the last stop before the user: one line instead of a traceback
        return _say(wrong)
    return code


def _dispatch(words: list[str]) -> int:
    if words and words[0] in COMMANDS:
        command = COMMANDS[words[0]]
        args = command_parser(words[0]).parse_intermixed_args(words[1:])
        call = getattr(import_module(f"tui.cli.{command.module}"), command.call)
        with ExitStack() as args.closing:
            return int(call(args))
    from tui.cli.screen import open_screen

    return open_screen(screen_parser().parse_args(words))


def _say(wrong: Exception) -> int:
    from planning.quantities.number_words import shown
    from planning.records.not_saved import NotSaved, one_line
    from planning.schedule.no_plan import NoPlan

    if isinstance(wrong, NoPlan):
        for reason in wrong.reasons:
            print(f"no plan: {reason}", file=sys.stderr)
        return NO_PLAN
    line = one_line(" ".join(str(wrong).split()))
    line = line if len(line) <= LONGEST else f"{line[:LONGEST]} ..."
    if isinstance(wrong, WrongUse | NotSaved):
        print(f"mudday: {line}", file=sys.stderr)
        return BAD_INPUT
    if isinstance(wrong, OSError) and wrong.strerror:
        print(f"mudday: {shown(str(wrong.filename or 'a file'))} cannot be used ({wrong.strerror})", file=sys.stderr)
        return BAD_INPUT
    if sys.flags.dev_mode:
        raise wrong
    print(
        f"mudday: this went wrong inside ({type(wrong).__name__}: {line}); what was noted stays noted", file=sys.stderr
    )
    return BAD_INPUT


def _utf8() -> None:
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")
