"""Late: what moves, and what does each choice cost. Comes up by itself; nothing is changed until ENTER."""

from collections.abc import Sequence

from planning.job.choice import Choice
from planning.job.hours import local
from planning.job.plan import Moved, Plan
from planning.job.words import Instant
from planning.quantities.show import show_minutes
from tui.screens.page import Deck, RowsPage
from tui.wall import Wall
from tui.widgets.lines import Line, both_ends, line, texts
from tui.words import clock, day, proof_words, room_name, short_reason, shorten, wall, wrap, zone_of

NAME = 21
SMALL = 80


class Late(RowsPage[Choice]):
    """The page. `offers`: what may be chosen, the best first."""

    name = "late"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.offers: list[Choice] = []
        self.said = ""
        self.why = False

    def rows(self) -> Sequence[Choice]:
        """What may be chosen."""
        return self.offers

    def offer(self, offers: Sequence[Choice], said: str) -> None:
        """Take new choices; the mark stays on the same number where it can."""
        self.offers = list(offers)
        self.said = said
        self.at = min(self.at, max(0, len(self.offers) - 1))

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """What broke, the choices, and what the marked one moves."""
        plan = self.wall.plan
        if plan is None or not self.offers:
            return texts(["", "Looking for ways to go on..."], "dim")
        chosen = self.offers[self.at]
        made: list[Line] = [(), *[line((row, "bold")) for row in self._what_broke(chosen.plan, width)], ()]
        made.append(_columns("  PICK ONE", "COSTS" if width >= SMALL else "", "JOB DONE", width))
        for n, each in enumerate(self.offers):
            made += self._choice(n, each, width)
        made += [(), *self._moves(chosen, width, height - len(made) - 4)]
        tail = [
            (),
            *[line(("  BREAKS  ", "head"), row) for each in chosen.broke[:1] for row in wrap(each, width - 10)],
            line(("  SURE?   ", "head"), proof_words(chosen.plan.proof)),
            line((f"Nothing is changed until ENTER.  {self._looking()}", "bold")),
        ]
        return [*made[: max(0, height - len(tail))], *tail]

    def _looking(self) -> str:
        if self.wall.still_looking:
            return "Still looking for others."
        best = self.wall.best_offer
        return f"{best + 1} was found later, and is the better one." if best else "1 2 3: look at another."

    def _what_broke(self, new: Plan, width: int) -> list[str]:
        said = [self.said] if self.said else []
        if self.wall.plan is not None and new.finish != self.wall.plan.finish:
            later = new.finish - self.wall.plan.finish
            how = f"{show_minutes(later)} later" if later > 0 else f"{show_minutes(-later)} sooner"
            said.append(f"Then the job ends {how}: {day(new, new.finish)}.")
        said.append(f"{len(new.moved)} step{'s move' if len(new.moved) != 1 else ' moves'}.")
        return wrap(" ".join(said), width)[:2]

    def _choice(self, n: int, each: Choice, width: int) -> list[Line]:
        mark = ">" if n == self.at else " "
        look = "mark" if n == self.at else ""
        if width < SMALL:
            top = both_ends(line((f"{mark} {n + 1}  {shorten(each.title, 26)}", look)),
                             line((last_day(self.wall, each.plan), look)), width)  # fmt: skip
            return [top, *[line((f"     {row}", look)) for row in wrap(each.costs, width - 5)[:1]]]
        costs = wrap(each.costs, max(20, width - 57)) or [""]
        rows = []
        for k, cost in enumerate(costs[:2]):
            head = f"{mark} {n + 1}  {shorten(each.title, 26)}" if k == 0 else ""
            done = last_day(self.wall, each.plan) if k == 0 else ""
            rows.append(_columns(head, cost, done, width, look))
        return rows

    def _moves(self, chosen: Choice, width: int, room: int) -> list[Line]:
        moved = sorted(chosen.plan.moved, key=lambda each: each.now)
        stay = len(chosen.plan.steps) - len(moved)
        made = [line((f"{f'  WITH {self.at + 1}, MOVES':<{NAME + 16}}{'WAS':<11}{'NOW':<11}WHY", "dim"))]
        shown = 0
        for each in moved:
            rows = self._moved(chosen.plan, each, width)
            if len(made) + len(rows) > max(1, room - 1):
                break
            made += rows
            shown += 1
        more = f"{len(moved) - shown} more move, " if shown < len(moved) else ""
        made.append(line(f"  {more}the other {stay} step{'s do' if stay != 1 else ' does'} not move"))
        return made

    def _moved(self, new: Plan, each: Moved, width: int) -> list[Line]:
        now = self.wall.now()
        step = next((one for one in new.steps if one.id == each.id), None)
        room = "" if step is None else shorten(room_name(new, step.room), 12)
        name = each.id if step is None else shorten(step.title.upper(), NAME)
        first = f"  {room:<12} {name:<{NAME}} {stamp(new, each.was, now):<10} {stamp(new, each.now, now):<10} "
        rows = wrap(each.why.removeprefix("Not sooner: "), max(10, width - len(first)))
        if not self.why:
            # Never a sentence that stops half way: what does not fit whole is under Y.
            return [line(first, rows[0] if len(rows) == 1 else short_reason(new, each.why, width - len(first)))]
        return [line(first if n == 0 else " " * len(first), row) for n, row in enumerate(rows or [""])]

    def space_words(self) -> str | None:
        """SPACE does nothing here."""
        return ""

    def space(self) -> bool:
        """SPACE takes nothing: only ENTER does."""
        self.deck.say("ENTER takes the marked choice. ESC keeps the old plan.")
        return True

    def enter(self) -> None:
        """Take the marked choice."""
        if self.offers:
            self.deck.take_choice(self.at + 1)

    def escape(self) -> None:
        """Keep the old plan."""
        self.deck.keep_old()

    def no_row(self, number: int) -> str:
        """How many there are to look at."""
        return f"There are only {len(self.offers)} choices."

    def on_take(self) -> None:
        """ENTER: take it."""
        self.enter()

    def on_keep(self) -> None:
        """ESC: keep the old plan."""
        self.escape()

    def on_why(self) -> None:
        """Y: each step's why in full, or short again."""
        self.why = not self.why


def _columns(left: str, middle: str, right: str, width: int, look: str = "") -> Line:
    return both_ends(line((f"{left:<32}{middle}", look)), line((f"{right:>22}", look)), width)


def stamp(plan: Plan, at: Instant, now: Instant) -> str:
    """A time in a WAS, NOW column: the clock today, else the day with the clock."""
    zone = zone_of(plan)
    if local(zone, at).date() == local(zone, now).date():
        return wall(plan, at)
    said = clock(plan, at, now)
    return said if ":" in said else f"{said[4:]} {wall(plan, at)}"


def last_day(wall_now: Wall, new: Plan) -> str:
    """The last day of the job, and how it differs from the plan on the wall."""
    old = wall_now.plan
    if old is None:
        return day(new, new.finish)
    days = (local(zone_of(new), new.finish).date() - local(zone_of(old), old.finish).date()).days
    return f"{day(new, new.finish)}, same" if days == 0 else f"{day(new, new.finish)} {days:+} d"
