"""Clocks: how long have I got. Near, every running window; far, three things in figures; in a pour, bag by bag."""

from collections.abc import Sequence

from planning.job.plan import Plan, PlannedStep
from tui.pour_clock import Mix, NextAct, PourLog, next_act, pour_log, pouring
from tui.running import Running
from tui.screens.clock_rows import abreast, due_at, endless, far_lines, figures, table_head, table_row
from tui.screens.page import Deck, RowsPage, window_of
from tui.widgets.digits import big_left, join
from tui.widgets.lines import Line, line, texts
from tui.words import clock, room_name, shorten, title, wall, where, who, wrap

NEAR_ROWS = 10
"""Below so many rows the figures give way to the list."""
TABLE_ROWS = 30
"""From so many rows on the bags of a pour stand in a table."""
FAR_AFTER_S = 60
CALM = "All clocks count from the time you started them. Closing the lid is fine."
WET = "WET HANDS  While a pour runs, every other key must be pressed twice."


class Clocks(RowsPage[Running]):
    """The page. The mark is on a window here; SPACE acts on that window's step, or inside it while it is mixed."""

    name = "clocks"
    fills = ("clocks",)

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.far = False

    def opened(self) -> None:
        """Mark the window that comes next, so that SPACE is about it."""
        if not any(each.step.id == self.wall.marked for each in self.rows()):
            self.mark(0)

    def rows(self) -> list[Running]:
        """What runs, what ends or opens first on top."""
        return sorted(self.wall.running(), key=lambda each: (endless(each), due_at(each), each.step.id, each.what))

    # Painting

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """Far or near."""
        plan, found = self.wall.plan, self.rows()
        if plan is None:
            return self.waiting(width)
        inside = self.inside()
        if not found:
            none = "No clock runs yet: SPACE notes the water." if inside else (
                "No window runs now: nothing dries, cures or waits to be gone on with.")  # fmt: skip
            return [(), line(none), (), *self._next_start(plan, width), (), *self._pour(plan, width)]
        self.at = min(self.at, len(found) - 1)
        if self.far:
            return far_lines(plan, found[self.at], self.wall.second(), width, height)
        made: list[Line] = []
        if height >= NEAR_ROWS + 4:
            many = abreast(found, self.wall.second(), width)
            shown = list(enumerate(found, 1))[:many] if self.at < many else [(self.at + 1, found[self.at])]
            made = [*figures(plan, shown, self.wall.second(), width), ()]
        tail = self._tail(plan, width, height)
        room = height - len(made) - len(tail)
        return [*made, *self._list(plan, found, width, room), *tail][:height]

    def _tail(self, plan: Plan, width: int, height: int) -> list[Line]:
        wet = texts(wrap(WET if pouring(plan) else CALM, width))
        table = self._pour(plan, width) if height >= TABLE_ROWS or pouring(plan) else []
        return [(), *table, *wet]

    def _list(self, plan: Plan, found: list[Running], width: int, room: int) -> list[Line]:
        now = self.wall.now()
        made = [] if width < 80 else [table_head(width)]
        first, last = window_of(len(found), self.at, max(1, room - len(made) - 1))
        made += [table_row(plan, found[n], n, n == self.at, now, width) for n in range(first, last)]
        if last - first < len(found):
            made.append(line((f"{len(found) - last + first} more: up, down".rjust(width), "dim")))
        return made

    def _next_start(self, plan: Plan, width: int) -> list[Line]:
        step = self.wall.target()
        if step is None:
            return []
        now, runs = self.wall.now(), step.state == "hands"
        due = step.finish if runs else step.start
        what = f"{title(step)}{' done' if runs else ''}, {where(plan, step)}"
        said = line((what, "bold"), f"  {clock(plan, due, now)}")
        return join(texts(big_left(due - now), "big"), [said, line(who(plan, step))], min(30, width))

    def _pour(self, plan: Plan, width: int) -> list[Line]:
        """The bags of what is poured, or the lifts of what is floated, with their noted times."""
        inside = self.inside()
        if inside is None:
            return []
        step, mix, log = inside
        cell = 12
        many = max(1, (width - 16) // cell)
        name = line((f"{title(step)}, {room_name(plan, step.room).upper()}", "head"))
        if mix.chained:
            done = [f"{act.two_words.lower()} {'-' if at is None else wall(plan, at)}"
                    for act in mix.acts for at in [log.done(act.key)]]  # fmt: skip
            water = f"water in {wall(plan, log.batches[0].water_in)}" if log.batches else "water not in"
            return [name, *texts(f"   {row}" for row in wrap(", ".join([water, *done]), width - 3)), ()]
        heads, water_in, poured = [], [], []
        for n in range(max(mix.count, len(log.batches)))[-many:]:
            batch = log.batches[n] if n < len(log.batches) else None
            heads.append(f"{mix.package} {n + 1}")
            water_in.append("" if batch is None else wall(plan, batch.water_in))
            used = "dumped" if batch is not None and batch.dumped else ""
            poured.append(used if batch is None or batch.poured is None else wall(plan, batch.poured))
        rows = (("", heads), ("water in", water_in), ("poured", poured))
        return [name, *texts(f"   {label:<12}" + "".join(f"{each:<{cell}}" for each in row) for label, row in rows), ()]

    # What is mixed

    def inside(self) -> tuple[PlannedStep, Mix, PourLog] | None:
        """The step under way that is mixed: the marked one, else the first pour, else any."""
        plan, session = self.wall.plan, self.wall.session
        if plan is None or session is None:
            return None
        mixes = self.wall.mixes()
        found = [step for step in plan.steps if step.state == "hands" and step.id in mixes]
        found.sort(key=lambda step: (step.id != self.wall.marked, step.kind != "pour", step.kind != "float", step.id))
        if not found:
            return None
        return found[0], mixes[found[0].id], pour_log(session.events, found[0].id)

    def _next(self) -> NextAct | None:
        inside = self.inside()
        target = self.wall.target()
        if inside is None or (target is not None and target.id != inside[0].id):
            return None
        step = inside[0]
        return next_act(*inside) if step.kind in ("pour", "float") else None

    def space_words(self) -> str | None:
        """SPACE notes what comes next in the pour: water in, a bag poured, a lift done."""
        found, inside, plan = self._next(), self.inside(), self.wall.plan
        if found is None or inside is None or plan is None:
            return None
        return f"{found.words}, {room_name(plan, inside[0].room)}"

    def space(self) -> bool:
        """Note it."""
        found, plan = self._next(), self.wall.plan
        if found is None or plan is None:
            return False
        self._note(found.kind, dict(found.body), found.words)
        return True

    def _note(self, kind: str, body: dict[str, object], words: str) -> None:
        plan, now = self.wall.plan, self.wall.now()
        if plan is not None:
            self.deck.report(kind, body, f"{words[:1].upper()}{words[1:]}, {wall(plan, now)}.")

    def on_bucket(self) -> None:
        """S: water in the next batch, while the one before may still be in use."""
        inside = self.inside()
        if inside is None:
            self.deck.say("Nothing that is mixed is under way. SPACE starts the marked step first.")
            return
        step, mix, log = inside
        self._note("water_in", {"step": step.id}, f"water is in, {mix.package} {len(log.batches) + 1}")

    def on_stop(self) -> None:
        """X: the oldest batch that is open is thrown away."""
        inside = self.inside()
        unused = None if inside is None else next((each for each in inside[2].batches if each.open), None)
        if inside is None or unused is None:
            self.deck.say("No bucket clock runs.")
            return
        step, mix, _ = inside
        body: dict[str, object] = {"step": step.id, "value": "dumped" if step.kind in ("pour", "float") else "stopped"}
        self._note("bucket", body, f"{shorten(mix.package, 12)} {unused.n} stopped")

    # Moving about

    def no_row(self, number: int) -> str:
        """There is no window of that number."""
        return f"There is no clock {number}."

    def escape(self) -> None:
        """Near again, then back."""
        if self.far:
            self.far = False
        else:
            self.deck.back()

    def idle(self, seconds: float) -> None:
        """No key was pressed for so long: the far view comes by itself."""
        if seconds >= FAR_AFTER_S and not self.far and self.rows():
            self.far = True

    def mark(self, at: int) -> None:
        """That window, and the step it is about."""
        found = self.rows()
        self.at = at
        if found:
            self.wall.marked = found[at].step.id

    def on_which(self) -> None:
        """K: which time is right."""
        self.deck.go("time")

    def on_far(self) -> None:
        """F: far, or near again."""
        self.far = not self.far
