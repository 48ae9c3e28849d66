"""Morning: what to do first, and by when each thing must start."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import time, timedelta

from planning.job.hours import instant, local
from planning.job.plan import Plan, PlannedStep, PlannedVisit
from planning.job.words import Instant, Minutes
from tui.screens.head import SMALL, next_due
from tui.screens.morning_side import below, carry, first_words
from tui.screens.page import StepsPage, live, window_of
from tui.screens.ways import standing_off
from tui.widgets.digits import big_left, join
from tui.widgets.lines import Line, fitted, line, texts
from tui.words import (
    behind,
    day,
    margin,
    room_name,
    shorten,
    stands,
    start_by,
    times,
    title,
    wall,
    where,
    who,
    wrap,
    zone_of,
)

WIDE = 110
TALL = 32
ROOMY = 19
FIRST_ROWS = 16
SIDE = 36
BOTH = 2


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the day: a step, or a visit."""

    at: Instant
    step: PlannedStep | None = None
    visit: PlannedVisit | None = None
    meal_min: Minutes = 0
    """So many minutes everybody eats, for a row that is neither."""


class Columns:
    """The widths of the table's columns in so many cells: the step's name and how it stands share what is left."""

    def __init__(self, cells: int, ends: bool, clock: int = 5) -> None:
        self.ends = ends
        self.clock = clock
        """Cells of a clock time: more when some of the day's are before 6 in the morning or after 6 in the evening."""
        rest = cells - 38 - clock - (clock + 2 if ends else 0)
        self.title = max(14, rest * 45 // 100)
        self.stands = rest - self.title - 1

    def row(self, mark: str, number: str, start: str, end: str, by: str, room: str, title: str, people: str,
            stands: str) -> str:  # fmt: skip
        """One row."""
        ended = f" {end:>{self.clock + 1}}" if self.ends else ""
        return (
            f"{mark:1}{number:>2} {start:>{self.clock}}{ended}  {by:<9} {shorten(room, 13):<13} "
            f"{shorten(title, self.title):<{self.title}} {shorten(people, 6):<6} {stands}"
        )

    def head(self) -> str:
        """The line above the rows."""
        end = f"{'END':>{self.clock + 1}} " if self.ends else ""
        start = f"    {'START':<{self.clock}}{end}  START BY"
        return f"{start}  {'ROOM':<13} {'STEP':<{self.title}} {'WHO':<6} HOW IT STANDS"


class Morning(StepsPage):
    """The page."""

    name = "morning"
    fills = ("air", "pull", "step")
    show_done = False

    def row_ids(self) -> list[str]:
        """The day's steps that are still to do (and done ones when asked for), by start."""
        return [row.step.id for row in self._rows() if row.step is not None]

    def _rows(self) -> list[Row]:
        plan = self.wall.plan
        if plan is None:
            return []
        now, done = self.wall.now(), self.show_done
        return self.wall.memo(f"day rows {done}", lambda: day_rows(plan, now, done))

    def _with_meal(self, plan: Plan, rows: list[Row]) -> list[Row]:
        """The day's rows with the meal between them, where somebody works before it and after."""
        session = self.wall.session
        if session is None or session.job is None or session.job.hours.eat_at is None or not rows:
            return rows
        hours = session.job.hours
        day_of = local(zone_of(plan), rows[-1].at).date()
        at = instant(zone_of(plan), day_of, hours.eat_at or time())
        if not (rows[0].at < at <= rows[-1].at):
            return rows
        return sorted([*rows, Row(at, meal_min=hours.eat_min)], key=lambda row: (row.at, not row.meal_min))

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The table of the day, and below it what matters beside it."""
        plan = self.wall.plan
        if plan is None:
            return self.waiting(width)
        rows = self._rows()
        if not rows:
            return texts(["", "Nothing is left to do in this job."])
        if width < SMALL:
            return self._small(plan, rows, width, height)
        made: list[Line] = []
        first = first_words(self.wall, plan, rows[0].at)
        if first and height > FIRST_ROWS:
            made += [line(("FIRST  ", "head"), (wrap(first, width - 7) or [""])[0]), ()]
        elif height > ROOMY:
            made.append(())
        if width >= WIDE and height >= TALL:
            made += self._first(plan, width)
        heading = self._not_today(plan, rows)
        made += heading
        side = carry(self.wall, rows[0].at) if width >= WIDE else []
        notes = below(self.wall, plan, width, height >= TALL)
        room = max(3, height - len(made) - min(len(notes), 7 if height < TALL else len(notes)))
        shown = self._with_meal(plan, rows) if width >= WIDE else rows
        made += self._table(plan, shown, width, room, side)
        return [*made, *notes[: max(0, height - len(made))]]

    def _not_today(self, plan: Plan, rows: list[Row]) -> list[Line]:
        first, now = rows[0].at, self.wall.now()
        if local(zone_of(plan), first).date() == local(zone_of(plan), now).date():
            return []
        return [line((f"No more work today. {day(plan, first)}:", "bold"))]

    def _first(self, plan: Plan, width: int) -> list[Line]:
        """In big figures how long until the next thing is due, and beside it what that is."""
        step, now = self.wall.target(), self.wall.now()
        due = self.wall.memo("next due", lambda: next_due(plan, now, self.wall.running()))
        if step is None or due is None:
            return []
        big = texts(big_left(due.at - now), "big")
        said = [
            line((f"{title(step)}, {where(plan, step)}", "bold"), f"   {who(plan, step)}"),
            line(stands(plan, step, now)),
            *texts(wrap(step.reason, width - 44)[:2]),
            *texts(wrap(margin(plan, step, now), width - 44)[:2]),
        ]
        return [*join(big, said, 40), ()]

    def _table(self, plan: Plan, rows: list[Row], width: int, room: int, side: list[Line]) -> list[Line]:
        """The rows that fit, and a last line that says how many do not."""
        cells = max(84, width - SIDE) if width >= WIDE else width
        first, last = window_of(len(rows), self._at(rows), max(1, room - 2))
        ended = [at for row in rows if row.step is not None for at in (row.step.start, row.step.finish)]
        columns = Columns(cells, width >= WIDE, max(5, *(len(wall(plan, at)) for at in ended), 0))
        made = [fitted(line((columns.head(), "dim")), cells)]
        number = 0
        for n, row in enumerate(rows):
            number += row.step is not None
            if first <= n < last:
                made.append(fitted(self._row(plan, row, number, columns), cells))
        hidden = len(rows) - (last - first)
        more = f"{hidden} more: up, down" if hidden else ""
        made.append(fitted(line((more.rjust(cells), "dim")), cells))
        return [(*left, *(side[n] if n < len(side) else ())) for n, left in enumerate(made)]

    def _at(self, rows: list[Row]) -> int:
        target = self.wall.target()
        return next((n for n, row in enumerate(rows) if row.step is not None and row.step == target), 0)

    def _row(self, plan: Plan, row: Row, number: int, columns: "Columns") -> Line:
        if row.meal_min:
            ends = wall(plan, row.at + row.meal_min)
            names = "both" if len(plan.people) == BOTH else "all" if len(plan.people) > BOTH else plan.people[0].name
            return line((columns.row("", "", wall(plan, row.at), ends, "", "", "lunch", names, ""), "dim"))
        if row.visit is not None:
            visit = row.visit
            said = "" if visit.booked else "NOT BOOKED, call"
            text = columns.row("", "", wall(plan, visit.start), wall(plan, visit.finish), "",
                               room_name(plan, visit.room), f'"{visit.who.upper()}"', "", said)  # fmt: skip
            return line((text, "visit"))
        step = row.step
        assert step is not None
        marked = step == self.wall.target()
        text = columns.row(
            ">" if marked else "", str(number), *times(plan, step),
            start_by(plan, step), where(plan, step), step.title.upper(), who(plan, step),
            self._stands(plan, step, columns.stands),
        )  # fmt: skip
        return line((text, "mark" if marked else ""))

    def _stands(self, plan: Plan, step: PlannedStep, width: int) -> str:
        """How it stands; what it waits for by its line, when that is on this page and its name would not fit."""
        said = stands(plan, step, self.wall.now(), width)
        before = behind(plan, step)
        opens = step.window.opens
        if step.state != "wait" or before is None or (opens is not None and opens > self.wall.now()):
            return said
        ids = self.row_ids()
        if before.title not in step.reason or 6 + len(before.title) <= width or before.id not in ids:
            return said
        return f"WAIT  for line {ids.index(before.id) + 1}"

    def _small(self, plan: Plan, rows: list[Row], width: int, height: int) -> list[Line]:
        off = standing_off(plan, self.wall.now())
        tail = [f"STAY OFF {room_name(plan, each.room, each.part)} till {wall(plan, each.until)}" for each in off[:2]]
        room = max(1, height - 2 - len(tail))
        steps = [row for row in rows if row.step is not None]
        first, last = window_of(len(steps), self._at(steps), room - 1 if len(steps) > room else room)
        made: list[Line] = [()]
        clocks = max(5, *(len(wall(plan, row.at)) for row in steps), 0)
        for n in range(first, last):
            step = steps[n].step
            assert step is not None
            by = start_by(plan, step)
            stood = stands(plan, step, self.wall.now())
            said = f"{stood}  by {by}" if step.state == "ready" and by not in ("", "loose") else stood
            marked = step == self.wall.target()
            text = (f"{'>' if marked else ' '}{n + 1:>2} {times(plan, step)[0]:>{clocks}} "
                    f"{shorten(where(plan, step), 11):<11} {shorten(step.title.upper(), 12):<12} {said}")  # fmt: skip
            made.append(line((text[:width], "mark" if marked else "")))
        if last - first < len(steps):
            made.append(line((f"{len(steps) - (last - first)} more: up, down".rjust(width), "dim")))
        return [*made, (), *texts(tail)]

    def on_done(self) -> None:
        """Y: show done steps too, or hide them."""
        self.show_done = not self.show_done
        self.deck.say("Done steps are shown." if self.show_done else "Done steps are hidden.")

    def on_first(self) -> None:
        """F: mark the first ready line."""
        plan = self.wall.plan
        for step_id in self.row_ids():
            step = self.wall.step(step_id)
            if plan is not None and step is not None and step.state == "ready":
                self.wall.marked = step_id
                return
        self.deck.say("Nothing is ready now.")


def day_rows(plan: Plan, now: Instant, show_done: bool) -> list[Row]:
    """The rows of today, or of the next day that has any."""
    zone = zone_of(plan)
    today = local(zone, now).date()
    steps = [s for s in plan.steps if show_done or live(s)]
    first = min((s.start for s in steps if live(s)), default=now)
    chosen = max(today, local(zone, first).date())
    begins, ends = instant(zone, chosen, time()), instant(zone, chosen + timedelta(days=1), time())
    found = [Row(s.start, step=s) for s in steps if s.start < ends and (s.start >= begins or live(s))]
    found += [Row(v.start, visit=v) for v in plan.visits if begins <= v.start < ends]
    return sorted(found, key=lambda row: (row.at, row.step.id if row.step else ""))
