"""`mudday check JOB`: read, plan, judge; or judge a plan read back from JSON. Exit code 1 when something is wrong."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Broken, Plan
from planning.job.plan_json import PlanFileError, from_json, iso
from planning.quantities.show import show_day, show_minutes, show_moment
from planning.schedule.no_plan import NoPlan
from planning.supply.pages import wrapped
from tui.cli.no_plan import none_fits_here, promise_clash
from tui.cli.opening import current_plan, job_of, open_session
from tui.cli.out import print_json
from tui.cli.wrong import DONE, NO_PLAN, WrongUse
from tui.session import Session

LABELS_WIDE = 118


def run(args: argparse.Namespace) -> int:
    """Say whether the job can be done as planned. 0: yes; 1: no plan, or the plan breaks a rule."""
    from planning.schedule.judge import judge

    session = open_session(args)
    job = job_of(session)
    try:
        plan = _given(args.plan, job) if args.plan else current_plan(session)
    except NoPlan as none_fits:
        return none_fits_here(args, session, none_fits)
    broken = judge(plan, job, session.steps, session.events)
    missed = promise_clash(session, plan)
    if args.format == "json":
        clash = [{"about": each.about, "words": each.words} for each in missed]
        print_json({**_as_dict(job, plan, session, broken), "promise_clash": clash})
    else:
        sys.stdout.write(check_text(job, plan, session, broken))
        if missed:
            print(f"\nA PROMISE IS MISSED. THESE CLASH (mudday choices {args.job} has ways out)")
            print("\n".join(f"  {each}" for each in missed))
    return NO_PLAN if broken else DONE


def _given(name: str, job: Job) -> Plan:
    try:
        text = sys.stdin.read() if name == "-" else Path(name).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as wrong:
        raise WrongUse(f"{name} cannot be read ({wrong}); give the output of mudday plan --format json") from wrong
    try:
        plan = from_json(text, job.zone.key)
    except PlanFileError as wrong:
        raise WrongUse(f"{name}: {wrong}") from wrong
    if plan.job != job.name:
        raise WrongUse(f"{name} is a plan of the job {plan.job!r}, and this job is {job.name!r}; give its own plan")
    return plan


def check_text(job: Job, plan: Plan, session: Session, broken: Sequence[Broken]) -> str:
    """The judgement, the windows of every step that has one, and the cautions."""
    from tui.words import proof_words

    done = show_day(local(job.zone, plan.finish).date())
    links = sum(len(step.after) for step in plan.steps)
    lines = [f"{job.name}: {len(job.rooms)} rooms, {len(plan.steps)} steps, {links} waits and windows, done {done}."]
    lines.append(proof_words(plan.proof))
    if broken:
        lines += ["", f"THE PLAN BREAKS {len(broken)} RULE{'S' if len(broken) > 1 else ''}"]
        lines += [f"  {_rule_words(each)}: {each.words}  [{', '.join(each.steps)}]" for each in broken]
    else:
        lines.append("The plan keeps every rule.")
    lines += ["", "WINDOWS"]
    lines += [f"  {line}" for line in _windows(job, plan, session)] or ["  none"]
    lines += _label_lines(session)
    lines += ["", "NOTE", *(f"  {each}" for each in session.notes)] if session.notes else []
    cautions = _cautions(session)
    if cautions:
        lines += ["", "MIND", *(f"  {each}" for each in cautions)]
    return "\n".join(lines) + "\n"


def _rule_words(broken: Broken) -> str:
    return f"rule {broken.rule}" if broken.rule else "not this job's plan, or at odds with itself"


def _label_lines(session: Session) -> list[str]:
    """The classes whose label nobody has read yet, with our numbers for what this job waits for; asked once a class."""
    from itertools import groupby

    from planning.trade.labels import missing_labels

    if session.job is None:
        return []
    missing = missing_labels(session.job, session.steps)
    if not missing:
        return []
    lines = ["", "OUR NUMBERS, NOT YOUR LABEL'S. Read the bag or pail, note what it says once for all your jobs:"]
    for material, each in groupby(missing, key=lambda one: one.material):
        windows = list(each)
        said = ", ".join(one.says for one in windows)
        lines += wrapped(f"{windows[0].title} ({material}): {said}", LABELS_WIDE, "  ")
    first = missing[0]
    words = f"{first.window.replace('_', ' ')} {show_minutes(first.least or first.most or 0)}"
    lines += ["", f"  mudday note {session.job_path.name} label {first.material} '{words}'      ('ours' if it agrees)"]
    return lines


def _windows(job: Job, plan: Plan, session: Session) -> list[str]:
    mine = {(step.id, link.step, link.on) for step in session.steps for link in step.after
            if link.wait is not None and link.wait.own_label}  # fmt: skip
    lines = []
    for step in plan.steps:
        opens, shuts = step.window.opens, step.window.shuts
        if opens is None and shuts is None:
            continue
        if step.state == "hold":
            lines.append(f"{step.id}: {step.reason}")
            continue
        said = [f"opens {show_moment(opens, job.zone)}"] if opens is not None else []
        said += [f"shuts {show_moment(shuts, job.zone)}"] if shuts is not None else []
        whole = step.piece.of if step.piece else step.id
        waits = []
        for link in step.after:
            if link.label_min:
                own = (whole, link.id.partition("#")[0], link.on) in mine
                whose = ", from your label," if own else " label"
                waits.append(f"{show_minutes(link.label_min)}{whose} x{link.factor:.2f}")
        start = show_moment(step.start, job.zone)
        tail = f"  ({', '.join(waits)})" if waits else ""
        lines.append(f"{step.id}: start {start}, {', '.join(said)}{tail}")
    return lines


def _our_labels(session: Session) -> list[dict[str, Any]]:
    from planning.trade.labels import missing_labels

    found = () if session.job is None else missing_labels(session.job, session.steps)
    return [{"class": e.material, "window": e.window, "least_min": e.least, "most_min": e.most} for e in found]


def _cautions(session: Session) -> tuple[str, ...]:
    from planning.trade.cautions import caution_words

    units = "imperial" if session.job is None else session.job.units
    return caution_words(dict.fromkeys(key for step in session.steps for key in step.cautions), units)


def _as_dict(job: Job, plan: Plan, session: Session, broken: Sequence[Broken]) -> dict[str, Any]:
    return {
        "job": job.name,
        "fits": not broken,
        "finish": iso(plan.finish, job.zone),
        "reasons": [],
        "broken": [{"rule": each.rule, "steps": list(each.steps), "words": each.words} for each in broken],
        "cautions": list(_cautions(session)),
        "our_labels": _our_labels(session),
    }
