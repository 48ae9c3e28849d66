"""Clocks: how long have I got. Near, a list of every running window; far, three things in figures for ten feet."""

from collections.abc import Sequence

from planning.job.plan import Plan
from planning.job.words import Instant
from planning.quantities.show import show_minutes
from tui.cli.clocks import Running, running
from tui.screens.page import Deck, Page, window_of
from tui.widgets.digits import ROWS, big, big_left, big_width, figure, join
from tui.widgets.lines import Line, fitted, line, texts, width_of
from tui.words import WINDOW_WORDS, clock, room_name, shorten, title, where, who, wrap

WIDE = 110
NEAR_ROWS = 9
"""Below so many rows the figures give way to the list."""
SHORT_NAME = 9


class Clocks(Page):
    """The page. The mark is on a window here; SPACE acts on that window's step."""

    name = "clocks"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.far = False

    def opened(self) -> None:
        """Mark the window that comes next, so that SPACE is about it."""
        if not any(each.step.id == self.wall.marked for each in self.windows()):
            self._mark(0)

    def windows(self) -> list[Running]:
        """What runs, what ends or opens first on top."""
        plan, now = self.wall.plan, self.wall.now()
        if plan is None:
            return []
        runs = self.wall.memo("running", lambda: running(plan, now))
        return sorted(runs, key=lambda each: (endless(each), due_at(each), each.step.id))

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """Far or near."""
        plan, found = self.wall.plan, self.windows()
        if plan is None:
            return texts(["", "The first plan of this job is being made."], "dim")
        if not found:
            return [(), line("No window runs now: nothing dries, cures or waits to be gone on with."), (),
                    *self._next_start(plan, width)]  # fmt: skip
        self.at = min(self.at, len(found) - 1)
        if self.far:
            return far_lines(plan, found[self.at], self.wall.now(), width, height)
        made: list[Line] = []
        if height >= NEAR_ROWS + 4:
            made = [*self._figure(plan, found[self.at], width), ()]
        return [*made, *self._list(plan, found, width, height - len(made))]

    def _next_start(self, plan: Plan, width: int) -> list[Line]:
        step = self.wall.target()
        if step is None:
            return []
        now, runs = self.wall.now(), step.state == "hands"
        due = step.finish if runs else step.start
        what = f"{title(step)}{' done' if runs else ''}, {where(plan, step)}"
        said = line((what, "bold"), f"  {clock(plan, due, now)}")
        return join(texts(big_left(due - now), "big"), [said, line(who(plan, step))], min(30, width))

    def _figure(self, plan: Plan, each: Running, width: int) -> list[Line]:
        now = self.wall.now()
        left = texts(big_left(due_at(each) - now), "big")
        step = each.step
        right = [
            line((WINDOW_WORDS[each.state], "bold")),
            line((where(plan, step).upper(), "bold")),
            *texts(wrap(act(each), width - 32)[:1], "bold"),
            line(_ends(plan, each, now)),
        ]
        wide = max(width_of(row) for row in left)
        return join(left, right, max(32, wide + 3))

    def _list(self, plan: Plan, found: list[Running], width: int, height: int) -> list[Line]:
        now, small = self.wall.now(), width < 80
        what = 12 if small else 24 if width < WIDE else 40
        made = [] if small else [line((f"     {'ROOM':<13}{'WHAT':<{what}} {'STATE':<9}{'AT':<12}LEFT", "dim"))]
        first, last = window_of(len(found), self.at, max(1, height - len(made) - 2))
        for n in range(first, last):
            each = found[n]
            due = due_at(each)
            left = show_minutes(due - now) if due >= now else f"{show_minutes(now - due)} ago"
            left = "no end" if endless(each) else left
            name = shorten(where(plan, each.step), 12)
            text = (
                f"{'>' if n == self.at else ' '}{n + 1:>2}  {name:<13}{shorten(what_of(each), what):<{what}} "
                f"{WINDOW_WORDS[each.state]:<9}{clock(plan, due, now):<12}{left}"
            )
            made.append(line((text[:width], "mark" if n == self.at else "")))
        if last - first < len(found):
            made.append(line((f"{len(found) - last + first} more: up, down".rjust(width), "dim")))
        said = "All clocks count from the time you started them. Closing the lid is fine."
        return [*made, (), *texts(wrap(said, width))]

    def move(self, down: int) -> None:
        """Another window."""
        self._mark(max(0, min(len(self.windows()) - 1, self.at + down)))

    def pick(self, number: int) -> None:
        """That window."""
        if number <= len(self.windows()):
            self._mark(number - 1)
        else:
            self.deck.say(f"There is no clock {number}.")

    def _mark(self, at: int) -> None:
        found = self.windows()
        self.at = at
        if found:
            self.wall.marked = found[at].step.id

    def on_far(self) -> None:
        """F: far, or near again."""
        self.far = not self.far


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
    """The next act in a few words."""
    if each.what == "walk":
        return "WALK ON IT" if each.state == "open" else "STAY OFF"
    return each.step.title.upper() if each.what == "start" else each.what.upper()


def _ends(plan: Plan, each: Running, now: Instant) -> str:
    opens = "" if each.opens is None else f"opens {clock(plan, each.opens, now)}"
    shuts = "" if each.shuts is None else f"shuts {clock(plan, each.shuts, now)}"
    return "   ".join(text for text in (opens, shuts) if text)


def far_lines(plan: Plan, each: Running, now: Instant, width: int, height: int) -> list[Line]:
    """Room, time left, next act, each five rows high; with little room only the time."""
    number, unit = figure(due_at(each) - now)
    word = {"not_yet": "WAIT", "soon": "WAIT", "open": "GO", "closing": "GO NOW", "shut": "SHUT"}[each.state]
    if each.what == "walk" and each.state != "open":
        word = "STAY OFF"
    blocks = [short_room(plan, each.step.room, width), f"{number} {unit.split()[0]}", word]
    rows = 3 * (ROWS + 1)
    shown = blocks if height >= rows else blocks[1:2]
    made: list[Line] = [] if height <= rows else [()]
    for block in shown:
        text = block if big_width(block) + 2 <= width else number
        made += [*[fitted(line((f"  {row}", "big")), width) for row in big(text)], ()]
    return made[:height]


def short_room(plan: Plan, room: str, width: int) -> str:
    """The room's first words that fit in big letters."""
    name = room_name(plan, room).upper()
    words = name.split()
    while len(words) > 1 and (len(" ".join(words)) > SHORT_NAME or big_width(" ".join(words)) + 2 > width):
        words.pop()
    return " ".join(words)
