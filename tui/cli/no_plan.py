"""What the command line says when no plan fits: the facts that clash, and the ways out with what each costs."""

import argparse

from planning.job.choice import Choice
from planning.job.plan import Plan
from planning.schedule.no_plan import ClashFact, NoPlan
from tui.cli.choices import choice_dict, choice_line
from tui.cli.opening import job_of
from tui.cli.out import print_json
from tui.cli.wrong import NO_PLAN
from tui.session import Session


def none_fits_here(args: argparse.Namespace, session: Session, none_fits: NoPlan) -> int:
    """Print it as `mudday check` does; returns the exit code. The ways out are looked for here."""
    ways = _ways_out(session)
    job = job_of(session)
    if args.format == "json":
        print_json({
            "fits": False, "reasons": list(none_fits.reasons), "broken": [],
            "clash": [{"about": each.about, "words": each.words} for each in none_fits.clash],
            "smallest": none_fits.smallest,
            "ways_out": [choice_dict(n, each, job) for n, each in enumerate(ways, start=1)],
        })  # fmt: skip
        return NO_PLAN
    print("NO PLAN FITS")
    if none_fits.clash:
        print("\nTHESE CLASH" + (" (give way on any one of them)" if none_fits.smallest else ""))
    for reason in none_fits.reasons:
        print(f"  {reason}")
    print("\nWAYS OUT")
    for n, each in enumerate(ways, start=1):
        print(f"  {choice_line(n, each, job)}")
    print(f"mudday take {args.job} N takes one." if ways else "  none found: change the job file")
    return NO_PLAN


def promise_clash(session: Session, plan: Plan) -> tuple[ClashFact, ...]:
    """Why the promises cannot all be kept, when a plan misses one and that is known: the facts that clash."""
    from planning.schedule.build.network_of import build
    from planning.schedule.clash import job_clash
    from planning.schedule.ways_out.costs import promises_late

    job = job_of(session)
    if not promises_late(job, session.events, (), plan):
        return ()
    return job_clash(build(job, session.steps, session.events, plan.made_at), session.events, dues=True).facts


def _ways_out(session: Session) -> list[Choice]:
    try:
        return session.choices()
    except NoPlan:
        return []
