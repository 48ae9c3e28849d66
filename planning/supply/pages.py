"""Pages to carry: the pull-list as text, the helper's slip, the batch card of a pour. Plain text, no color."""

from collections.abc import Iterable

from planning.job.events import Event
from planning.job.hours import local
from planning.job.job import Job
from planning.job.plan import Plan, PlannedStep
from planning.job.step import Step
from planning.job.words import Instant
from planning.quantities.show import show_clock, show_day, show_mass, show_minutes, show_wall, show_water
from planning.supply.pull_list import Item, PullDay, PullStep
from planning.trade.air import act_opens_at, act_shuts_at, site_air
from planning.trade.cautions import caution_words

WIDTH = 78
BATCH_KINDS = ("pour", "float")


def count_words(count: float, name: str) -> str:
    """`1 bag`, `2 bags`, `2 boxes`."""
    number = f"{count:g}"
    if count == 1:
        return f"{number} {name}"
    return f"{number} {name}{'es' if name.endswith(('s', 'x', 'ch')) else 's'}"


def need_words(item: Item) -> str:
    """`2 bags + 1 spare`."""
    return count_words(item.need, item.package) + (f" + {item.spare} spare" if item.spare else "")


def get_words(item: Item, job: Job, now: Instant) -> str:
    """What is still to do about an item: short, or coming, or nothing."""
    if item.short:
        late = f", comes {show_clock(item.comes, job.zone, now)}" if item.comes is not None else ""
        return f"SHORT {count_words(item.short, item.package)}{late}"
    if item.comes is not None:
        return f"delivered {show_clock(item.comes, job.zone, now)}"
    return ""


def pull_page(day: PullDay, job: Job, now: Instant) -> str:
    """One day's pull-list: by room and step, needed, in the van, and what is short."""
    load = f"load {show_mass(round(day.weight_kg), job.units)}"
    if day.payload_kg is not None:
        load += f" of {show_mass(day.payload_kg, job.units)}"
    head = f"PULL-LIST  {job.name}   {show_day(day.day)}   {load}"
    lines = [head + ("   TOO HEAVY: two trips" if day.too_heavy else "")]
    if day.short:
        lines[0] += f"   SHORT {len(day.short)}"
    for room, steps in day.by_room():
        lines += ["", f"{job.room(room).name.upper():<34} {'NEED':<20} {'VAN HAS':<9} GET"]
        for step in steps:
            lines += _step_lines(step, job, now)
    for step, item in day.short:
        if step.kind in BATCH_KINDS:
            lines += ["", f"{step.title.upper()} will not start until {count_words(item.take, item.package)} are here."]
    lines += ["", *(row for each in day.cautions for row in wrapped(each, WIDTH, ""))] if day.cautions else []
    return "\n".join(lines) + "\n"


def _step_lines(step: PullStep, job: Job, now: Instant) -> list[str]:
    lines = [f"  {step.title}, {_wall(step.start, job)}"]
    for item in step.items:
        mark = "√" if item.ticked else " "
        has = "" if item.comes is not None and not item.short else f"{item.stock:g}"
        lines.append(f"  {mark} {item.title:<30} {need_words(item):<20} {has:<9} {get_words(item, job, now)}".rstrip())
        if item.water_l is not None and item.take:
            water = show_water(item.water_l, job.units)
            lines.append(f"    {'water, measured ' + water + ' each':<30} {count_words(item.take, 'bucket')}")
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


def helper_slip(who: str, day: PullDay | None, plan: Plan, job: Job, now: Instant) -> str:
    """A day's page for one person: what, where, when, with whom, what to carry, and where not to walk."""
    at = now if day is None else _midday(plan, day)
    mine = [s for s in plan.steps if who in s.people and _same_day(s.start, at, job) and s.state != "done"]
    lines = [f"{who.upper()}   {job.name}   {show_day(local(job.zone, at).date())}", ""]
    for step in mine:
        others = [name for name in step.people if name != who]
        beside = f", with {' and '.join(others)}" if others else ""
        span = f"{_wall(step.start, job)} to {_wall(step.finish, job)}"
        lines.append(f"{span:<16} {step.title.upper()}, {job.room(step.room).name}{beside}")
        lines += _carry_lines(step, day)
    if not mine:
        lines.append("Nothing for you on this day.")
    offs = [off for off in plan.stay_off if off.what == "walk" and _same_day(off.start, at, job)]
    for off in offs:
        part = f", {off.part}" if off.part else ""
        till = show_clock(off.until, job.zone, at)
        lines.append(f"STAY OFF {job.room(off.room).name}{part} from {_wall(off.start, job)} till {till}")
    return "\n".join(lines) + "\n"


def _carry_lines(step: PlannedStep, day: PullDay | None) -> list[str]:
    pulled = next((each for each in day.steps if each.id == step.id), None) if day is not None else None
    if pulled is None:
        return []
    carry = [f"{need_words(item)} {item.title}" for item in pulled.items]
    return wrapped("Carry: " + ", ".join([*carry, *pulled.small_items]) + ".", WIDTH, " " * 17)


def batch_card(pulled: PullStep, step: Step, job: Job, events: Iterable[Event] = ()) -> str:
    """What to know at the buckets of one pour or float: how many, how much water, how long, and when not to begin.

    Times are those of the room's air at the planned start; clocks run from the noted water-in, not from here.
    """
    lines = [f"BATCH CARD   {pulled.title.upper()}, {job.room(pulled.room).name}", ""]
    for item in pulled.items:
        if item.water_l is None:
            continue
        water = show_water(item.water_l, job.units)
        lines.append(f"{item.title}: {need_words(item)}.")
        lines.append(
            f"Water: {water} in each of {count_words(item.take, 'bucket')}, measured before the first is open."
        )
        lines.append(f"Do not open {item.package} 1 before {count_words(item.take, item.package)} are here.")
    lines += ["", *_act_lines(step, job, events, pulled.start)]
    people = " and ".join(pulled.people)
    lines += ["", f"Who: {people}. Mixers: {pulled.gear.get('mixers', 0)}. A second drill charged, the GFCI tested."]
    lines += [row for words in caution_words(step.cautions) for row in wrapped(words, WIDTH, "")]
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


def _midday(plan: Plan, day: PullDay) -> Instant:
    return min((step.start for step in day.steps), default=plan.made_at)


def _same_day(one: Instant, other: Instant, job: Job) -> bool:
    return local(job.zone, one).date() == local(job.zone, other).date()


def _wall(at: Instant, job: Job) -> str:
    return show_wall(local(job.zone, at))
