"""What a running window says: its room, act, time left and since when, in a row, in figures, and ten feet away."""

from collections.abc import Sequence
from datetime import datetime

from planning.job.plan import Plan, PlannedStep
from planning.job.words import Instant
from planning.quantities.show import show_minutes
from tui.running import Running
from tui.screens.lanes import DRIES
from tui.widgets.digits import ROWS, big, big_left, big_width, figure, join, seconds_figure, taller
from tui.widgets.lines import Line, fitted, line, texts
from tui.words import WINDOW_WORDS, clock, room_name, shorten, wall, where, wrap

WIDE = 110
SHORT_NAME = 9
SECONDS_BELOW = 120
"""Below so many seconds the figures count seconds."""
FAR_TALL = 33
ABREAST = 3
LEAST_WORDS = 12
"""Cells for the room and the act beside a figure."""


def due_at(each: Running) -> Instant:
    """The end of a window that comes next: it opens, or it shuts; one that only opened stays due then."""
    if each.state in ("not_yet", "soon") or each.shuts is None:
        return each.opens or 0
    return each.shuts


def endless(each: Running) -> bool:
    """It is open and never shuts: there is no hurry in it."""
    return each.state == "open" and each.shuts is None


def what_of(each: Running) -> str:
    """What the window is about."""
    if each.what == "walk":
        return f"walk on {each.step.title}"
    return each.step.title.upper() if each.what == "start" else each.what


def act(each: Running) -> str:
    """The next act in two or three words."""
    if each.what == "walk":
        return "WALK ON IT" if each.state == "open" else "STAY OFF"
    if each.act:
        return each.act if each.state not in ("not_yet", "soon") else f"WAIT, then {each.act}"
    return each.step.title.upper() if each.what == "start" else each.what.upper()


def ends(plan: Plan, each: Running, now: Instant) -> str:
    """When it opens and shuts."""
    opens = "" if each.opens is None or each.opens == each.since else f"opens {clock(plan, each.opens, now)}"
    shuts = "" if each.shuts is None else f"shuts {clock(plan, each.shuts, now)}"
    return ", ".join(text for text in (opens, shuts) if text)


def since_words(plan: Plan, each: Running, now: Instant) -> str:
    """Since when it counts: `mixed 9:55`, `2 h 28 drying`; blank when it counts from nothing that was noted."""
    if each.since is not None:
        return f"{'mixed' if each.opens == each.since else 'since'} {wall(plan, each.since)}"
    if each.what == "walk" and each.step.state == "hands":
        return ""
    if each.what == "walk":
        return f"{show_minutes(max(0, now - each.step.finish))} curing"
    before = _counted(plan, each.step)
    if before is None:
        return ""
    step, law = before
    return f"{show_minutes(max(0, now - step.finish))} {'drying' if law in DRIES else 'curing'}"


def _counted(plan: Plan, step: PlannedStep) -> tuple[PlannedStep, str] | None:
    """The step whose stuff is waited for, and the law it works by."""
    by_id = {each.id: each for each in plan.steps}
    found = [(by_id[link.id], link.law) for link in step.after if link.wait_min and link.id in by_id]
    over = [each for each in found if each[0].state in ("done", "curing")]
    return max(over, key=lambda each: each[0].finish, default=None)


def left_words(each: Running, now: Instant) -> str:
    """How long till then, or since."""
    due = due_at(each)
    if endless(each):
        return "no end"
    return show_minutes(due - now) if due >= now else f"{show_minutes(now - due)} ago"


def table_head(width: int) -> Line:
    """The line above the rows."""
    what, more = _columns(width)
    tail = f"{'LEFT':<10}{'SINCE':<20}{'NEXT ACT' if more > 20 else ''}".rstrip() if more else "LEFT"
    return line((f"     {'ROOM':<13}{'WHAT':<{what}} {'STATE':<9}{'AT':<10}{tail}"[:width], "dim"))


def table_row(plan: Plan, each: Running, n: int, marked: bool, now: Instant, width: int) -> Line:
    """One window."""
    what, more = _columns(width)
    text = (
        f"{'>' if marked else ' '}{n + 1:>2}  {shorten(where(plan, each.step), 12):<13}"
        f"{shorten(what_of(each), what):<{what}} {WINDOW_WORDS[each.state]:<9}"
        f"{clock(plan, due_at(each), now):<10}{left_words(each, now):<10}"
    )
    if more:
        text += f"{shorten(since_words(plan, each, now), min(more, 19)):<20}"
    if more > 20:
        text += shorten(act(each), more - 20)
    return line((text.rstrip()[:width], "mark" if marked else ""))


def _columns(width: int) -> tuple[int, int]:
    """Cells for what it is about, and what is left for since and the next act."""
    if width < 80:
        return 12, 0
    what = 18 if width < WIDE else 30
    more = width - 18 - what - 1 - 9 - 10 - 10
    return (what, more) if more >= 10 else (what + max(0, more), 0)


def big_clock(minutes_due: Instant, second: datetime) -> list[str]:
    """The figure of the time left: seconds when it is nearly over, minutes before, hours far off."""
    left_s = minutes_due * 60 - int(second.timestamp())
    if 0 <= left_s < SECONDS_BELOW:
        return seconds_figure(left_s)
    return big_left(minutes_due - int(second.timestamp() // 60))


def abreast(found: Sequence[Running], second: datetime, width: int) -> int:
    """How many of the first windows stand side by side, each with room for its words beside its figure."""
    cells = [_figure_cells(each, second) + LEAST_WORDS for each in found]
    most = min(len(found), ABREAST if width >= WIDE else 1)
    return next((many for many in range(most, 1, -1) if max(cells[:many]) <= width // many), 1)


def _figure_cells(each: Running, second: datetime) -> int:
    return max(map(len, big_clock(due_at(each), second))) + 2


def figures(plan: Plan, shown: Sequence[tuple[int, Running]], second: datetime, width: int) -> list[Line]:
    """Windows side by side, each with its time left in big figures and what to do: as many as there is room for."""
    now = int(second.timestamp() // 60)
    each_wide = width // len(shown)
    made: list[Line] = []
    for n, (number, each) in enumerate(shown):
        head = line((f"  {number} {WINDOW_WORDS[each.state]}" if len(shown) > 1 else f"  {WINDOW_WORDS[each.state]}",
                     "bold"))  # fmt: skip
        left = texts(big_clock(due_at(each), second), "big")
        at = min(max(22 if len(shown) > 1 else 32, _figure_cells(each, second)), each_wide)
        right = [line("")]
        right += [line((row, "bold")) for row in wrap(where(plan, each.step).upper(), each_wide - at)[:1]]
        right += [line((row, "bold")) for row in wrap(act(each), each_wide - at)[:2]]
        right += [line(row) for row in wrap(ends(plan, each, now), each_wide - at)[:2]]
        block = [head, *join(left, right, at)]
        made = block if n == 0 else join(made, block, each_wide * n)
    return [fitted(row, width) for row in made]


def far_lines(plan: Plan, each: Running, second: datetime, width: int, height: int) -> list[Line]:
    """Room, time left, next act, each five rows high (the time nine where there is room); else only the time."""
    now = int(second.timestamp() // 60)
    left_s = due_at(each) * 60 - int(second.timestamp())
    number, unit = (str(left_s), "sec") if 0 <= left_s < SECONDS_BELOW else figure(due_at(each) - now)
    time = f"{number} {unit.split()[0]}"
    time = time if big_width(time) + 2 <= width else number
    room, word = short_room(plan, each.step.room, width), far_word(each, width)
    high = taller(time) if height >= FAR_TALL else []
    high = high if high and max(map(len, high)) + 2 <= width else big(time)
    blocks = [big(room), high, big(word)] if height >= 3 * (ROWS + 1) else [big(time)]
    made: list[Line] = [] if height <= 3 * (ROWS + 1) else [()]
    for block in blocks:
        made += [*[fitted(line((f"  {row}", "big")), width) for row in block], ()]
    return made[:height]


def far_word(each: Running, width: int) -> str:
    """What to do, in big letters that fit."""
    words = {"not_yet": "WAIT", "soon": "WAIT", "open": "GO", "closing": "GO NOW", "shut": "SHUT"}
    plain = "STAY OFF" if each.what == "walk" and each.state != "open" else words[each.state]
    if not each.act or each.state in ("not_yet", "soon", "shut"):
        return plain
    return each.act if big_width(each.act) + 2 <= width else each.act.split()[-1]


def short_room(plan: Plan, room: str, width: int) -> str:
    """The room's first words that fit in big letters."""
    name = room_name(plan, room).upper()
    words = name.split()
    while len(words) > 1 and (len(" ".join(words)) > SHORT_NAME or big_width(" ".join(words)) + 2 > width):
        words.pop()
    return " ".join(words)
