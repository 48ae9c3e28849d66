"""The lines that are always there: job and clock, what is due next, the alarm; and at the bottom what keys do."""

from collections.abc import Iterable
from dataclasses import dataclass

from planning.job.plan import Plan
from planning.job.words import Instant
from planning.quantities.show import show_minutes
from tui.commands import COMMANDS, DAILY_PAGES, PAGE_TITLES, PAGES, Command, local_commands
from tui.running import Running, running
from tui.wall import Wall
from tui.widgets.lines import Line, both_ends, line
from tui.words import WINDOW_WORDS, clock, clock_went, day, left, room_name, shorten, title, where, who, wrap
from tui.words import wall as wall_clock

STEP_ENTER = ("step", "enter")
"""On the step's own page there is nothing closer to look at."""
WIDE = 100
SHORT_ACT = 20
SMALL = 80
ANYTIME = frozenset(name for name, _, _ in PAGES)
"""Pages with a key of their own; from all others ESC goes back, and Late says what it does there."""


@dataclass(frozen=True, slots=True)
class Due:
    """What is due next: when, what it says, and the window's word if it is one that opens or shuts."""

    at: Instant
    words: str
    state: str = ""
    step: str = ""


def next_due(plan: Plan, now: Instant, runs: Iterable[Running] | None = None) -> Due | None:
    """The next thing that is due anywhere in the job: a finish, a start, a window that opens or shuts."""
    found: list[Due] = []
    for step in plan.steps:
        name = f"{where(plan, step)}, {title(step)}"
        if step.state == "hands":
            found.append(Due(step.finish, f"{name} done", step=step.id))
        elif step.state in ("ready", "wait", "missed"):
            found.append(Due(step.start, f"{name}, {who(plan, step)}", step=step.id))
    runs = running(plan, now) if runs is None else runs
    found += [each for each in (_opening(plan, one, now) for one in runs) if each is not None]
    return min(found, key=lambda each: (each.at, not each.state, each.step), default=None)


def _opening(plan: Plan, each: Running, now: Instant) -> Due | None:
    if each.act and each.shuts is not None and each.state not in ("not_yet", "soon"):
        what = each.what if len(each.what) <= SHORT_ACT else each.act
        return Due(each.shuts, f"{where(plan, each.step)}, {what}", WINDOW_WORDS[each.state], each.step.id)
    if each.what == "walk" or each.opens is None or each.opens < now:
        return None
    return Due(each.opens, f"{where(plan, each.step)}, {title(each.step)} opens", WINDOW_WORDS[each.state])


def top(wall: Wall, width: int) -> list[Line]:
    """The three lines at the top."""
    return [_first(wall, width), _due(wall, width), line((alarm(wall, width), "alarm"))]


def _first(wall: Wall, width: int) -> Line:
    plan, now = wall.plan, wall.now()
    name = wall.job_name
    if plan is None:
        right = "no job open" if wall.job_path is None and wall.new_job is None else wall.saved()
        return both_ends(line((name, "head")), line(right), width)
    when = f"{day(plan, now)}   {wall_clock(plan, now)}"
    if width < SMALL:
        when = f"{day(plan, now)[:3]} {wall_clock(plan, now)}"
        name = shorten(name, max(1, width - len(when) - len(wall.saved()) - 4))
    saved = wall.saved()
    gap = "  " if width < SMALL else "   "
    look = "alarm" if saved == "NOT SAVED" else ""
    return both_ends(line((name, "head"), gap, when), line((saved, look)), width)


def _due(wall: Wall, width: int) -> Line:
    plan, now = wall.plan, wall.now()
    if plan is None:
        return line(("planning..." if wall.job_path is not None and not wall.hindered() else "", "dim"))
    due = wall.memo("next due", lambda: next_due(plan, now, wall.running()))
    if due is None:
        return line(("NEXT DUE", "head"), "  nothing: the job is done")
    right = f"{due.state}  {left(due.at, now)}".strip()
    gap = " " if width < SMALL else "  "
    room = width - len("NEXT DUE") - len(right) - 12
    return both_ends(
        line(("NEXT DUE", "head"), f"{gap}{clock(plan, due.at, now)}{gap}", (shorten_tail(due.words, room), "bold")),
        line(right), width,
    )  # fmt: skip


def shorten_tail(words: str, room: int) -> str:
    """A `room, STEP, who` text in so many cells: the step's name gives way first, and never in mid-word."""
    if len(words) <= room:
        return words
    parts = words.split(", ")
    tail = "" if words.endswith((" done", " opens")) else f", {parts[-1]}"
    middle = ", ".join(parts[1:] if not tail else parts[1:-1])
    end = next((word for word in (" done", " opens") if words.endswith(word)), "")
    middle = middle.removesuffix(end)
    space = room - len(parts[0]) - len(tail) - len(end) - 2
    return f"{parts[0]}, {shorten(middle, space)}{end}{tail}" if space > 0 else shorten(parts[0], room)


def alarm(wall: Wall, width: int) -> str:
    """The third line: the worst thing that is so, in whole words, and how many more there are; "" when all is well."""
    found = alarms(wall)
    if not found:
        return ""
    more = f"  +{len(found) - 1} more" if len(found) > 1 else ""
    rows = wrap(found[0], max(1, width - len(more)))
    return rows[0].rstrip(",") + more


def alarms(wall: Wall) -> list[str]:
    """Everything that is wrong or rings, the worst first."""
    session, plan, now = wall.session, wall.plan, wall.now()
    found: list[str] = list(wall.file_trouble)
    if session is not None and session.not_saved is not None:
        found.append(f"NOT SAVED. {session.not_saved}")
    if wall.doubt:
        found.append(f"WHICH TIME IS RIGHT? Press C, then K. {clock_went(wall.doubt)}")
    if wall.no_planner:
        found.append(f"NO NEW PLAN. The planner failed: {wall.no_planner}")
    if plan is not None:
        found += [_window_line(plan, each, now) for each in wall.running() if _rings(each)]
    if session is not None and session.trouble is not None:
        found.append(f"NO PLAN FITS: {session.trouble}")
    if session is not None and session.offered is not None:
        found.append("A choice waits: what you noted moves other steps. L opens it.")
    if plan is not None:
        found += [f"BROKEN  {each.words}" for each in plan.broken]
    found += list(wall.old_kept)
    return found


def _rings(each: Running) -> bool:
    return each.what != "walk" and each.state in ("shut", "closing", "open") and each.shuts is not None


def _window_line(plan: Plan, each: Running, now: Instant) -> str:
    name = f"{where(plan, each.step)}, {title(each.step)}"
    if each.what not in ("start", "walk"):
        name = f"{where(plan, each.step)}, {each.what}"
    shuts = each.shuts or now
    if each.state == "shut":
        cure = f" {each.step.recovery}" if each.step.recovery else ""
        return f"SHUT {show_minutes(now - shuts)} ago: {name}.{cure}"
    if each.state == "closing":
        return f"CLOSING {show_minutes(shuts - now)} left: {name}."
    return f"OPEN {name}, shuts {clock(plan, shuts, now)}."


def least_words(wall: Wall) -> int:
    """How many cells `space_words` needs to name its step by a whole word, its room, and that it asks."""
    step, plan = wall.target(), wall.plan
    if step is None or plan is None:
        return 0
    asks = 0 if step.state in ("hands", "ready", "done", "curing") else len(" (not open: asks)")
    return len("finish ") + len(step.title.split()[0]) + 2 + len(room_name(plan, step.room)) + asks


def space_words(wall: Wall, room: int) -> str:
    """What SPACE does now, with the step and the room it touches, in so many cells."""
    plan, now, step = wall.plan, wall.now(), wall.target()
    if plan is None or step is None:
        return ""
    if step.state in ("done", "curing"):
        return f"nothing: {shorten(title(step), room - 17)} is done"
    verb = "finish" if step.state == "hands" else "start"
    tail = ""
    if step.state not in ("hands", "ready"):
        shut = step.window.opens is not None and now < step.window.opens
        tail = " (not open: asks)" if shut else " (asks first)"
    place = f", {room_name(plan, step.room)}"
    space = room - len(verb) - 1 - len(tail)
    return f"{verb} {shorten(title(step), max(1, space - len(place)))}{place}{tail}"


def foot(wall: Wall, page: str, width: int, space: str | None = None) -> list[Line]:
    """The two lines at the bottom. `space`: what SPACE does on this page, when it is not about the marked step."""
    return [_acts(wall, page, width, space), _going(page, width, wall.job_path is not None)]


def _acts(wall: Wall, page: str, width: int, space: str | None) -> Line:
    """SPACE gets what room the other keys leave: it must always name its step."""
    gap = "     " if width >= WIDE else "  "
    others = [(each.cap, label_of(each, width)) for each in _acts_of(page) if not each.wide or width >= WIDE]
    least = 0 if space == "" else 48 if width >= WIDE else 37
    if space is None:
        least = max(least, least_words(wall) + 6)
    while others and least + sum(len(cap) + 1 + len(label) + len(gap) for cap, label in others) > width:
        others.pop()
    room = width - 6 - sum(len(cap) + 1 + len(label) + len(gap) for cap, label in others)
    said = space_words(wall, room) if space is None else space
    made: list[tuple[str, str] | str] = []
    for cap, label in [("SPACE", said), *others] if said else others:
        made += [gap if made else "", (cap, "key"), f" {label}"]
    return line(*made)


def label_of(command: Command, width: int) -> str:
    """The command's label without its own key in it, short where there is little room."""
    label = command.label if width >= WIDE else command.short or command.label
    return label.removeprefix(f"{command.cap} ")


def _acts_of(page: str) -> list[Command]:
    own = [each for each in local_commands(page) if each.label]
    common = [each for each in COMMANDS if each.page == "everywhere" and each.label and (page, each.id) != STEP_ENTER]
    if page in ("morning", "rooms", "step", "clocks", "days"):
        return [*[each for each in own if not each.wide], *common, *[each for each in own if each.wide]]
    return own


def _going(page: str, width: int, job: bool) -> Line:
    if page in ("start", "new") or (page == "add" and not job):
        cap, does = ("Q", " leave") if page == "start" else ("ESC", " back")
        return line(("F1", "key"), " all keys   ", (cap, "key"), does)
    if width < SMALL:
        letters = " ".join(key.upper() for _, key, _ in PAGES[:DAILY_PAGES])
        return line((letters, "key"), "  go    ", ("F1", "key"), " all keys")
    shown = PAGES if width >= WIDE else PAGES[:DAILY_PAGES]
    gap = "   " if width >= WIDE else "  "
    made: list[tuple[str, str] | str] = []
    for name, key, _ in shown:
        made += [(key.upper(), "bold" if name == page else "key"), f" {PAGE_TITLES[name]}{gap}"]
    if page not in ANYTIME and page != "late":
        gap = "  "
        made = [piece.replace("   ", "  ") if isinstance(piece, str) else (piece[0], piece[1]) for piece in made]
        made[:0] = [("ESC", "key"), f" back{gap}"]
    return both_ends(line(*made), line(("F1", "key"), " all keys"), width)
