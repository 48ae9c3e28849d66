"""`mudday learn|hours JOB`: the setter's own pace, shown before it is taken, and where the hours went."""

import argparse
import sys
from collections.abc import Sequence
from dataclasses import replace

from planning.job.hours import local
from planning.job.job import Job
from planning.job.progress import read_progress
from planning.job.words import Minutes
from planning.learning.hours import HoursSpent, hours_spent
from planning.learning.observed import Observation, labour_seen, waits_seen
from planning.learning.offers import Offer, learned, offers
from planning.learning.pace import LEAST_SEEN, Pace
from planning.quantities.show import show_day
from planning.records.learned_edit import write_learned
from planning.schedule.no_plan import NoPlan
from tui.cli.opening import current_plan, job_of, job_path, open_session
from tui.cli.out import print_json
from tui.cli.wrong import DONE, WrongUse
from tui.session import Session


def run_learn(args: argparse.Namespace) -> int:
    """Show what the records of these jobs say of the setter's pace, and what it would change in the first one."""
    session = open_session(args)
    job = job_of(session)
    seen = list(_seen(session))
    for name in args.more:
        other = open_session(argparse.Namespace(**{**vars(args), "job": name}))
        seen += _seen(other)
    found = learned(seen)
    progress = read_progress(job, session.events)
    begun = frozenset(step.split("#")[0] for step in (*progress.started, *progress.finished))
    made = offers(job, session.steps, begun, found)
    if args.take:
        return _take(args, made)
    if args.format == "json":
        print_json(_as_dict(job, seen, found, made))
    else:
        sys.stdout.write("\n".join([*_seen_lines(seen, found), *_offer_lines(args, session, made)]) + "\n")
    return DONE


def _seen(session: Session) -> list[Observation]:
    job, steps, events = job_of(session), session.steps, session.events
    return [*labour_seen(job, steps, events), *waits_seen(job, steps, events)]


def _take(args: argparse.Namespace, made: Sequence[Offer]) -> int:
    path = job_path(args.job)
    if not made:
        print("Nothing to take: the file says it already, or too little was seen.")
        return DONE
    problems = write_learned(path, [(each.path, each.value) for each in made])
    if problems:
        raise WrongUse(f"{path.name} was not changed: {problems[0]}")
    for each in made:
        print(f"Written into {path.name}: {each.title}: {each.now}")
    return DONE


def _seen_lines(seen: Sequence[Observation], found: dict[str, Pace | None]) -> list[str]:
    lines = ["WHAT WAS SEEN    times the usual, and how many times it was seen", ""]
    for key, pace in found.items():
        count = sum(1 for each in seen if each.key == key)
        if pace is None:
            lines.append(f"  {key:<32} seen {count}: too few to say, {LEAST_SEEN} are needed")
            continue
        low, high = pace.ratio / pace.sure, pace.ratio * pace.sure
        left = f", {pace.seen - pace.kept} far off left out" if pace.seen > pace.kept else ""
        lines.append(f"  {key:<32} x{pace.ratio:.2f} ({low:.2f} to {high:.2f})   seen {pace.seen}{left}")
    return lines if found else [*lines, "  Nothing yet: mark steps begun and done."]


def _offer_lines(args: argparse.Namespace, session: Session, made: Sequence[Offer]) -> list[str]:
    if not made:
        return ["", "Nothing to change: it is as written, or too little was seen."]
    lines = ["", f"IT WOULD CHANGE {job_path(args.job).name}", ""]
    for each in made:
        touches = f"{each.steps} step{'s' if each.steps != 1 else ''} to come"
        lines.append(f"  {each.title}: {each.was}, now {each.now} ({touches}; seen {each.pace.seen})")
    return [*lines, "", _last_day(session, made), f"Nothing is changed yet. Take it: mudday learn {args.job} --take"]


def _last_day(session: Session, made: Sequence[Offer]) -> str:
    """The last day of the plan with the labour as learned, beside the one without."""
    job = job_of(session)
    was = current_plan(session).finish
    pace = {**job.pace, **{each.key: float(each.value) for each in made if each.path[0] == "pace"}}
    try:
        plan = session.planner.plan(replace(job, pace=pace), session.events, session.now())
    except NoPlan as none_fits:
        return f"  With it no plan fits: {none_fits}"
    before, after = (show_day(local(job.zone, at).date()) for at in (was, plan.finish))
    waits = "" if all(each.path[0] == "pace" for each in made) else ", the waits not counted in"
    return f"  Last day: {before}{' as before' if before == after else f', then {after}'}{waits}."


def _as_dict(
    job: Job, seen: Sequence[Observation], found: dict[str, Pace | None], made: Sequence[Offer]
) -> dict[str, object]:
    return {
        "job": job.name,
        "seen": {
            key: {"seen": sum(1 for each in seen if each.key == key)}
            | ({} if pace is None else {"times": round(pace.ratio, 3), "kept": pace.kept, "sure": round(pace.sure, 3)})
            for key, pace in found.items()
        },
        "offers": [
            {"of": each.title, "path": list(each.path), "value": each.value, "was": each.was, "now": each.now,
             "steps": each.steps, "seen": each.pace.seen}
            for each in made
        ],
    }  # fmt: skip


def run_hours(args: argparse.Namespace) -> int:
    """Show the hours noted, per person and room and per kind of work."""
    session = open_session(args)
    job = job_of(session)
    spent = hours_spent(job, session.steps, session.events)
    if args.format == "json":
        people = {who: dict(rooms) for who, rooms in spent.by_person.items()}
        kinds = {kind: {"usual": usual, "real": real} for kind, (usual, real) in spent.by_kind.items()}
        print_json({"job": job.name, "by_person": people, "by_kind": kinds})
    else:
        sys.stdout.write(hours_text(job, spent))
    return DONE


def _hours(minutes: Minutes) -> str:
    """`7 h 05`: hours of work are summed up in hours, however many."""
    return f"{minutes // 60} h {minutes % 60:02d}" if minutes >= 60 else f"{minutes} min"


def hours_text(job: Job, spent: HoursSpent) -> str:
    """The tables as text."""
    if not spent.by_person:
        return "No hours yet: mark steps begun and done.\n"
    lines = [f"HOURS  {job.name}   {_hours(spent.total)} of work together, set-up and cleaning not in it", ""]
    for who, rooms in spent.by_person.items():
        lines.append(f"{who}: {_hours(sum(rooms.values()))}")
        lines += [f"  {job.room(room).name:<24} {_hours(minutes)}" for room, minutes in rooms.items()]
    lines += ["", f"{'WHERE THEY WENT':<26} {'USUAL':<10} {'REAL':<10}"]
    for kind, (usual, real) in sorted(spent.by_kind.items(), key=lambda item: -item[1][1]):
        lines.append(f"  {kind:<24} {_hours(usual):<10} {_hours(real):<10} x{real / usual:.2f}")
    return "\n".join(lines) + "\n"
