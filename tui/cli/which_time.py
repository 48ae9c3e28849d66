"""`mudday time JOB [clock|counted|stays]`: is the computer's clock right, and when it was set, which time is."""

import argparse

from planning.job.plan_json import iso
from planning.job.words import Instant
from planning.quantities.show import show_moment
from tui.cli.opening import job_of, open_session
from tui.cli.out import print_json
from tui.cli.wrong import DONE, WrongUse

ANSWERS = (
    ("clock", "the clock is right now and was wrong before: what you noted moves along"),
    ("counted", "the clock is wrong now: it is left out until it is set right"),
    ("stays", "the clock is right, and what you noted too: the computer slept, or was set right"),
)


def run(args: argparse.Namespace) -> int:
    """Say the time and whether it is in doubt, or note which one is right. Raises WrongUse, NotSaved."""
    session = open_session(args, at_once=False, save=args.answer is not None or None)
    job, doubt = job_of(session), session.doubt
    clock: Instant = session.now() + doubt
    if args.answer is None:
        if args.format == "json":
            print_json({"job": job.name, "now": iso(session.now(), job.zone), "clock": iso(clock, job.zone),
                        "ahead_min": doubt})  # fmt: skip
            return DONE
        print(f"It is {show_moment(session.now(), job.zone)}" + ("." if not doubt else " by the time counted on."))
        if doubt:
            print(f"The computer's clock says {show_moment(clock, job.zone)}. Which time is right?")
            for answer, words in ANSWERS:
                print(f"  mudday time {args.job} {answer:<8} {words}")
        return DONE
    if not doubt:
        raise WrongUse("the computer's clock is in no doubt: there is nothing to say")
    session.settle_clock(args.answer)
    print(f"Noted. It is {show_moment(session.now(), job.zone)}.")
    return DONE
