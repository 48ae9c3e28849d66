"""Pages to carry: the pull-list as text, the helper's slip, the batch card of a pour. Plain text, no color."""

from collections.abc import Iterable

from planning.job.events import Event
from planning.job.hours import joined, local
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.step import Step
from planning.job.words import Instant
from planning.quantities.show import show_clock, show_day, show_mass, show_minutes, show_wall, show_water
from planning.supply.count_words import count_words, need_words
from planning.supply.pull_list import Item, PullDay, PullStep
from planning.supply.shortages import Shortage
from planning.trade.air import act_opens_at, act_shuts_at, site_air
from planning.trade.cautions import caution_words
from planning.trade.materials import material_classes

WIDTH = 78
BATCH_KINDS = ("pour", "float")
TITLE, NEED, HAS = 27, 17, 7
MOST_WIDE = 80
"""Columns of a pull-list, and what a printed page holds."""
SLIP_INDENT = " " * 17


def get_words(item: Item, job: Job, now: Instant) -> str:
    """What is still to do about an item: short, or coming, or nothing."""
    if item.short:
        late = f", comes {show_clock(item.comes, job.zone, now)}" if item.comes is not None else ""
        return f"SHORT {count_words(item.short, item.package)}{late}"
    if item.comes is not None:
        return f"delivered {show_clock(item.comes, job.zone, now)}"
    return ""


def pull_page(day: PullDay, job: Job, now: Instant, short_later: Iterable[Shortage] = ()) -> str:
    """One day's pull-list: by room and step, needed, in the van, and what is short; then what runs short later."""
    load = f"load {show_mass(round(day.weight_kg), job.units)}"
    if day.payload_kg is not None:
        load += f" of {show_mass(day.payload_kg, job.units)}"
    head = f"PULL-LIST  {job.name}   {show_day(day.day)}   {load}"
    lines = [head + ("   TOO HEAVY: two trips" if day.too_heavy else "")]
    if day.short:
        lines[0] += f"   SHORT {len(day.short)}"
    for room, steps in day.by_room():
        lines += ["", f"{job.room(room).name.upper():<{TITLE + 4}} {'NEED':<{NEED}} {'VAN HAS':<{HAS}} GET"]
        for step in steps:
            lines += _step_lines(step, job, now)
    for step, item in day.short:
        if step.kind in BATCH_KINDS:
            lines += ["", f"{step.title.upper()} will not start until {count_words(item.take, item.package)} are here."]
    later = [each for each in short_later if each.day > day.day]
    lines += ["", *(f"{_big(each.words(job.zone, now))}." for each in later)] if later else []
    lines += ["", *(row for each in day.cautions for row in wrapped(each, WIDTH, ""))] if day.cautions else []
    return "\n".join(lines) + "\n"


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def _step_lines(step: PullStep, job: Job, now: Instant) -> list[str]:
    says = wrapped(step.says, WIDTH, "    ") if step.says else []
    lines = [f"  {step.title}, {_wall(step.start, job)}", *says]
    for item in step.items:
        mark = "√" if item.ticked else " "
        has = "" if item.comes is not None and not item.short else f"{item.stock:g}"
        need, get = need_words(item.need, item.spare, item.package), get_words(item, job, now)
        line = f"  {mark} {item.title:<{TITLE}} {need:<{NEED}} {has:<{HAS}}"
        fits = len(line) + 1 + len(get) <= MOST_WIDE
        lines += [f"{line} {get}".rstrip()] if fits else [line.rstrip(), f"    {get:>{MOST_WIDE - 4}}"]
        if item.more:
            lines.append(f"    {count_words(item.more, item.package)} over plan: the pieces so far used more")
        if item.water_l is not None and item.take:
            water = show_water(item.water_l, job.units)
            lines.append(f"    {'water, measured ' + water + ' each':<{TITLE}} {count_words(item.take, 'bucket')}")
    gear = [count_words(count, name.removesuffix("s")) for name, count in step.gear.items()]
    small = ", ".join([*gear, *step.small_items])
    return [*lines, *wrapped(small, WIDTH, "    ")] if small else lines


def wrapped(text: str, width: int, indent: str) -> list[str]:
    """The text in lines of at most so many characters, each indented, words whole."""
    lines, line = [], indent
    for word in text.split():
        if len(line) > len(indent) and len(line) + 1 + len(word) > width:
            lines.append(line)
            line = indent
        line += word if line == indent else f" {word}"
    return [*lines, line] if line.strip() else lines


def helper_slip(
    who: str, day: PullDay | None, plan: Plan, job: Job, now: Instant, steps: Iterable[Step] = ()
) -> str:  # fmt: skip
    """A day's page for one person: what, where, when, with whom, what to carry and to mix, and where not to walk.

    `steps` give the long names and the cautions; without them the slip is shorter.
    """
    at = now if day is None else _first_start(plan, day)
    by_id = {step.id: step for step in steps}
    mine = [s for s in plan.steps if who in s.people and _same_day(s.start, at, job) and s.state != "done"]
    lines = [f"{who.upper()}   {job.name}   {show_day(local(job.zone, at).date())}", ""]
    for step in mine:
        lines += _job_lines(who, step, by_id.get(step.id.partition("#")[0]), day, job)
    if not mine:
        lines.append("Nothing for you on this day.")
    offs = _off_lines(plan, job, at)
    minds = caution_words((key for s in mine if (full := by_id.get(s.id.partition("#")[0])) for key in full.cautions),
                          job.units)  # fmt: skip
    lines += ["", *offs] if offs else []
    lines += ["", *(row for words in minds for row in wrapped(words, WIDTH, ""))] if minds else []
    return "\n".join(lines) + "\n"


def _job_lines(who: str, step: PlannedStep, full: Step | None, day: PullDay | None, job: Job) -> list[str]:
    """One job of the slip: time and title, the long name, what to carry, what to mix."""
    if step.state == "hold":
        head = f"{'HOLD':<16} {step.title.upper()}, {job.room(step.room).name}. Not until you are told."
        return wrapped(head, WIDTH, "")
    others = [name for name in step.people if name != who]
    beside = f", with {' and '.join(others)}" if others else ""
    span = f"{_wall(step.start, job)} to {_wall(step.finish, job)}"
    drive = next((errand for errand in job.errands if errand.id == step.id), None)
    where = f", {job.room(step.room).name}" if drive is None else ""
    lines = wrapped(f"{step.title.upper()}{where}{beside}", WIDTH - len(SLIP_INDENT), "")
    lines = [f"{span if n == 0 else '':<16} {line}" for n, line in enumerate(lines)]
    if full is not None and full.says:
        lines += wrapped(f"{_big(full.says)}.", WIDTH, SLIP_INDENT)
    if drive is not None and drive.brings:
        known = material_classes(job)
        loads = (f"{count_words(count, known[key].package.name)} {known[key].title}"
                 for key, count in drive.brings.items() if key in known)  # fmt: skip
        lines += wrapped(f"Bring: {', '.join(loads)}.", WIDTH, SLIP_INDENT)
    return lines + _carry_lines(step, day, job)


def _off_lines(plan: Plan, job: Job, at: Instant) -> list[str]:
    """Where nobody walks that day, one line a floor and stretch; stretches that touch are one."""
    spans: dict[tuple[str, str | None], list[tuple[Instant, Instant]]] = {}
    for off in sorted(plan.stay_off, key=lambda off: off.start):
        if off.what == "walk" and _same_day(off.start, at, job):
            spans.setdefault((off.room, off.part), []).append((off.start, off.until))
    return [
        f"STAY OFF {job.room(room).name}{f', {part}' if part else ''} from {_wall(start, job)} "
        f"till {show_clock(until, job.zone, at)}"
        for (room, part), listed in spans.items()
        for start, until in joined(listed)
    ]


def _carry_lines(step: PlannedStep, day: PullDay | None, job: Job) -> list[str]:
    pulled = next((each for each in day.steps if each.id == step.id), None) if day is not None else None
    if pulled is None:
        return []
    carry = [f"{need_words(item.need, item.spare, item.package)} {item.title}" for item in pulled.items]
    lines = wrapped("Carry: " + ", ".join([*carry, *pulled.small_items]) + ".", WIDTH, SLIP_INDENT)
    for item in pulled.items:
        if item.water_l is not None and item.take:
            mix = (f"Water for {item.title}: {show_water(item.water_l, job.units)} in each of "
                   f"{count_words(item.take, 'bucket')}, measured.")  # fmt: skip
            lines += wrapped(mix, WIDTH, SLIP_INDENT)
    return lines


def batch_card(pulled: PullStep, step: Step, job: Job, events: Iterable[Event] = ()) -> str:
    """What to know at the buckets of one pour or float: how many, how much water, how long, and when not to begin.

    Times are those of the room's air at the planned start; clocks run from the noted water-in, not from here.
    """
    lines = [f"BATCH CARD   {pulled.title.upper()}, {job.room(pulled.room).name}"]
    lines += [*(wrapped(f"{_big(step.says)}.", WIDTH, "") if step.says else []), ""]
    for item in pulled.items:
        if item.water_l is None:
            continue
        each = show_mass(item.weight_kg / item.take, job.units) if item.take else ""
        lines.append(f"{_big(item.title)}: {need_words(item.need, item.spare, item.package)}, {each} each.")
        lines.append(f"Water: {show_water(item.water_l, job.units)} in each of {count_words(item.take, 'bucket')}, "
                     f"measured before the first is open.")  # fmt: skip
        lines.append(f"Do not open {item.package} 1 before {count_words(item.take, item.package)} are here.")
    lines += ["", *(row for each in _act_lines(step, job, events, pulled.start) for row in wrapped(each, WIDTH, ""))]
    people = " and ".join(pulled.people)
    who = f"Who: {people}. Mixers: {pulled.gear.get('mixers', 0)}. A second drill charged, the GFCI tested."
    lines += ["", *wrapped(who, WIDTH, "")]
    lines += [row for words in caution_words(step.cautions, job.units) for row in wrapped(words, WIDTH, "")]
    return "\n".join(lines) + "\n"


def _act_lines(step: Step, job: Job, events: Iterable[Event], start: Instant) -> list[str]:
    air = site_air(job, events)
    ends: dict[str, Instant] = {"water_in": start}
    lines = []
    for act in step.acts:
        begin = ends.get(act.counts_from, start)
        opens = begin if act.opens is None else act_opens_at(act.opens, air, begin)
        shuts = None if act.shuts is None else act_shuts_at(act.shuts, air, begin)
        ends[act.key] = opens
        since = "water-in" if act.counts_from == "water_in" else act.counts_from.replace("-", " ")
        span = [f"from {show_minutes(opens - begin)}"] if opens > begin else []
        span += [f"within {show_minutes(shuts - begin)}"] if shuts is not None else []
        lines.append(f"{act.title}: {' and '.join(span) or 'at once'} after {since}")
    return lines


def batch_steps(steps: Iterable[Step], day: PullDay) -> list[tuple[PullStep, Step]]:
    """The pours and floats of a day that have a batch card, with their steps."""
    by_id = {step.id: step for step in steps}
    return [(each, by_id[each.id]) for each in day.steps if each.kind in BATCH_KINDS and each.id in by_id]


def _first_start(plan: Plan, day: PullDay) -> Instant:
    return min((step.start for step in day.steps), default=plan.made_at)


def _same_day(one: Instant, other: Instant, job: Job) -> bool:
    return local(job.zone, one).date() == local(job.zone, other).date()


def _wall(at: Instant, job: Job) -> str:
    return show_wall(local(job.zone, at))
