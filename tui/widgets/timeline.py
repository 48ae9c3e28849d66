"""The rooms by the hour: a scrolling picture painted line by line, its gutter and its hours pinned."""

from itertools import groupby
from operator import itemgetter
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from planning.job.hours import local
from planning.job.plan import Plan
from planning.job.words import Instant, Minutes, StepState
from planning.quantities.show import show_day
from tui.screens.lanes import Lane, draw_run, hour_word, lanes
from tui.widgets.lines import LOOKS
from tui.words import STATE_WORDS, shorten, wall, zone_of

AXIS_ROWS = 2
"""The hours, and the row where now is written."""
HOUR: Minutes = 60
Cell = tuple[str, str]
"""One character and the name of its look."""


class Timeline(ScrollView):
    """Hands and floor of every room, people below. The page tells it the plan, the zoom, the mark and now."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"look--{name}" for name in LOOKS}
    can_focus = False

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.plan: Plan | None = None
        self.rows: list[Lane | None] = []
        self.cells_per_hour = 8
        self.names_width = 12
        self.marked: str | None = None
        self.now: Instant = 0
        self.first_minute: Instant = 0
        self._strips: dict[tuple[object, ...], list[Cell]] = {}
        self._styles: dict[str, Style] = {}
        self._states: dict[str, str] = {}
        self._on_lane: list[frozenset[str]] = []
        """For each row the steps whose hands are on it."""

    # What the page says

    def show_plan(self, plan: Plan, now: Instant, marked: str | None, cells_per_hour: int, gutter: int) -> None:
        """Take the plan and how to paint it; keeps what is still good of the painted lines."""
        before = (self.now, self.marked)
        self.now, self.marked = now, marked
        if plan is not self.plan or (cells_per_hour, gutter) != (self.cells_per_hour, self.names_width):
            self._strips.clear()
            self.plan, self.cells_per_hour, self.names_width = plan, cells_per_hour, gutter
            self._lay_out(plan)
            self.refresh()
        elif before[0] != now:
            self.refresh()
        elif before[1] != marked:
            self._refresh_lanes_of({before[1], marked})

    def _refresh_lanes_of(self, steps: set[str | None]) -> None:
        """Paint anew the lanes on which any of these steps is."""
        top, width = AXIS_ROWS - self.scroll_offset.y, self.size.width
        rows = [top + n for n, on in enumerate(self._on_lane) if not on.isdisjoint(steps)]
        seen = [Region(0, y, width, 1) for y in rows if AXIS_ROWS <= y < self.size.height]
        if seen:
            self.refresh(*seen)

    def _lay_out(self, plan: Plan) -> None:
        roomy = self.size.height >= AXIS_ROWS + 3 * len(plan.rooms) + len(plan.people)
        self.rows = []
        for lane in lanes(plan):
            if lane.what == "person" and self.rows and getattr(self.rows[-1], "what", "") == "floor":
                self.rows.append(None)
            self.rows.append(lane)
            if roomy and lane.what == "floor":
                self.rows.append(None)
        self._on_lane = [
            frozenset() if lane is None else frozenset(run.step for run in lane.runs if run.kind == "hands")
            for lane in self.rows
        ]
        self._states = room_states(plan)
        begin = min([plan.made_at, *(s.start for s in plan.steps)])
        self.first_minute = _midnight(plan, begin)
        until = max([plan.finish, *(o.until for o in plan.stay_off)], default=begin)
        cells = self.cell_of(_midnight(plan, until) + 24 * HOUR)
        width = self.names_width + max(cells, self.size.width - self.names_width)
        self.virtual_size = Size(width, AXIS_ROWS + len(self.rows))

    def on_resize(self) -> None:
        """A new size may give or take the blank lines between rooms."""
        if self.plan is not None:
            self._strips.clear()
            self._lay_out(self.plan)

    def cell_of(self, at: Instant) -> int:
        """The cell of an instant, from the left edge of the first day."""
        return (at - self.first_minute) * self.cells_per_hour // HOUR

    def at_cell(self, cell: int) -> Instant:
        """The instant at a cell's left edge."""
        return self.first_minute + cell * HOUR // self.cells_per_hour

    def show_instant(self, at: Instant, cells_before: int) -> None:
        """Scroll so that an instant lies so many cells from the gutter."""
        self.scroll_to(x=max(0, self.cell_of(at) - cells_before), animate=False, force=True)

    def sees(self, start: Instant, until: Instant) -> bool:
        """Is the beginning of that span in view?"""
        left = self.scroll_offset.x
        room = self.size.width - self.names_width
        first, last = self.cell_of(start), self.cell_of(until)
        return left <= first and min(last, first + room // 3) <= left + room

    def show_row(self, of: str) -> None:
        """Scroll up or down until both lines of a room (or one of a person) are in view."""
        found = [n for n, lane in enumerate(self.rows) if lane is not None and lane.of == of]
        room = self.size.height - AXIS_ROWS
        if not found or room <= 0:
            return
        top = self.scroll_offset.y
        if found[0] < top:
            self.scroll_to(y=found[0], animate=False, force=True)
        elif found[-1] >= top + room:
            self.scroll_to(y=found[-1] - room + 1, animate=False, force=True)

    # Painting

    def look(self, name: str) -> Style:
        """The style of a look under the theme in force."""
        if name not in self._styles:
            self._styles[name] = self.get_component_rich_style(f"look--{name}") if name else self.rich_style
        return self._styles[name]

    def notify_style_update(self) -> None:
        """The theme changed: nothing painted before counts."""
        self._styles.clear()
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:
        """One painted line: the gutter and the part of the lane in view, with now over it."""
        width = self.size.width
        if self.plan is None or width <= self.names_width:
            return Strip.blank(width, self.rich_style)
        cells = self._cells(y, self.scroll_offset.x, width - self.names_width)
        now = self.cell_of(self.now) - self.scroll_offset.x
        rows_end = AXIS_ROWS + len(self.rows) - self.scroll_offset.y
        if 1 < y < rows_end and 0 <= now < len(cells):
            cells = list(cells)
            cells[now] = ("│", "now")
        return Strip(self._segments([*self._gutter(y), *cells]), width)

    def _segments(self, cells: list[Cell]) -> list[Segment]:
        return [
            Segment("".join(char for char, _ in run), self.look(look))
            for look, run in groupby(cells, key=itemgetter(1))
        ]

    def _cells(self, y: int, left: int, width: int) -> list[Cell]:
        assert self.plan is not None
        if y == 0:
            return self._axis(left, width)
        if y == 1:
            return self._now_row(left, width)
        number = y - AXIS_ROWS + self.scroll_offset.y
        lane = self.rows[number] if number < len(self.rows) else None
        if lane is None:
            return [(" ", "")] * width
        key = (number, left, width, self.marked if self.marked in self._on_lane[number] else None)
        if key not in self._strips:
            if len(self._strips) > 500:
                self._strips.clear()
            self._strips[key] = self._lane(lane, left, width)
        return self._strips[key]

    def _lane(self, lane: Lane, left: int, width: int) -> list[Cell]:
        """The lane's cells in view. Where runs overlap the later one is on top, and no word is ever cut by it."""
        owner = self._owners(lane, left, width)
        cells: list[Cell] = []
        worded: set[int] = set()
        start = 0
        for n in range(1, width + 1):
            if n < width and owner[n] == owner[start]:
                continue
            number = owner[start]
            if number < 0:
                cells += [(" ", "")] * (n - start)
            else:
                run = lane.runs[number]
                text = draw_run(run.kind, "" if number in worded else run.word, n - start)
                look = "mark" if run.step == self.marked and run.kind == "hands" else run.kind
                cells += [(char, look) for char in text]
                worded.add(number)
            start = n
        return cells

    def _owners(self, lane: Lane, left: int, width: int) -> list[int]:
        """For each cell the number of the run that shows there, -1 for none. Every run shows in one cell at least."""
        owner = [-1] * width
        for number, run in enumerate(lane.runs):
            first, last = self.cell_of(run.start) - left, self.cell_of(run.until) - left
            last = max(last, first + 1)
            for n in range(max(first, 0), min(last, width)):
                owner[n] = number
        return owner

    def _axis(self, left: int, width: int) -> list[Cell]:
        assert self.plan is not None
        text = [" "] * width
        step = 1 if self.cells_per_hour >= 4 else 24
        hour = -(-left // self.cells_per_hour)
        while (cell := hour * self.cells_per_hour - left) < width:
            at = self.first_minute + hour * HOUR
            moment = local(zone_of(self.plan), at)
            word = show_day(moment.date()) if moment.hour == 0 else wall(self.plan, at)
            word = word if moment.hour == 0 or self.cells_per_hour >= 10 else hour_word(self.plan, at)
            if hour % step == 0 and cell + len(word) <= width:
                text[cell : cell + len(word)] = word
            hour += 1
        return [(c, "dim") for c in text]

    def _now_row(self, left: int, width: int) -> list[Cell]:
        assert self.plan is not None
        cell = self.cell_of(self.now) - left
        if not 0 <= cell < width:
            return [(" ", "")] * width
        word = f"now {wall(self.plan, self.now)}"
        text = (word + "│").rjust(cell + 1) if cell >= len(word) else " " * cell + "│" + word
        return [(c, "now") for c in text.ljust(width)[:width]]

    def _gutter(self, y: int) -> list[Cell]:
        assert self.plan is not None
        if y == 0:
            moment = local(zone_of(self.plan), self.at_cell(self.scroll_offset.x))
            return [(c, "head") for c in show_day(moment.date()).ljust(self.names_width)[: self.names_width]]
        number = y - AXIS_ROWS + self.scroll_offset.y
        lane = self.rows[number] if 0 <= number < len(self.rows) and y >= AXIS_ROWS else None
        if lane is None:
            return [(" ", "")] * self.names_width
        name = "  floor" if lane.what == "floor" else shorten(lane.name, self.names_width - 1)
        if self.names_width >= 18 and lane.what == "hands":
            name = f"{shorten(lane.name, 11):<11} {self._states.get(lane.of, '')}"
        here = lane.what != "floor" and self.marked in self._on_lane[number]
        return [(c, "mark" if here else "") for c in name.ljust(self.names_width)[: self.names_width]]


def room_states(plan: Plan) -> dict[str, str]:
    """For each room the word of what matters most in it now."""
    order: tuple[StepState, ...] = ("missed", "hands", "hold", "curing", "ready", "wait", "done")
    found: dict[str, int] = {}
    for step in plan.steps:
        rank = order.index(step.state)
        found[step.room] = min(rank, found.get(step.room, rank))
    return {room: STATE_WORDS[order[rank]] for room, rank in found.items()}


def _midnight(plan: Plan, at: Instant) -> Instant:
    moment = local(zone_of(plan), at)
    return int(moment.replace(hour=0, minute=0, second=0, microsecond=0).timestamp() // 60)
