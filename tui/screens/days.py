"""Days: on which day is each room done. A column a day, hands above, floor below, as by the hour."""

from collections.abc import Sequence
from datetime import date, time, timedelta

from planning.job.hours import instant, local
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.quantities.show import show_day
from planning.schedule.chance.says import finish_line
from tui.screens.lanes import Run, lanes
from tui.screens.page import Deck, Page, live
from tui.widgets.lines import Line, Span, line, texts
from tui.words import day, room_name, shorten, wall, wrap, zone_of

NAMES = 12
NARROW, WIDE = 9, 11
NOON = 12


class Days(Page):
    """The page. The mark is on a day here; SPACE still acts on the marked step."""

    name = "days"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.first = 0
        self.chosen = 0
        self.column = NARROW

    def opened(self) -> None:
        """On today, or the first day with work."""
        self.on_today()

    def _days(self, plan: Plan) -> list[date]:
        zone = zone_of(plan)
        start = min(local(zone, plan.made_at).date(), *(local(zone, s.start).date() for s in plan.steps))
        end = local(zone, plan.finish).date()
        return [start + timedelta(days=n) for n in range((end - start).days + 2)]

    def _shown(self, width: int) -> int:
        return max(1, (width - NAMES) // self.column)

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The columns, then what is on the marked day."""
        plan = self.wall.plan
        if plan is None or not plan.steps:
            return self.waiting(width)
        self.column = WIDE if width >= 110 else NARROW
        days = self._days(plan)
        self.chosen = max(0, min(self.chosen, len(days) - 1))
        shown = self._shown(width)
        self.first = min(max(self.first, self.chosen - shown + 1), self.chosen)
        view = days[self.first : self.first + shown]
        made = [self._head(view)]
        for lane in self.wall.memo("all lanes", lambda: lanes(plan)):
            if lane.what == "person":
                made.append(self._person(plan, lane.of, view))
            elif lane.what == "hands" or height > len(plan.rooms) + len(plan.people) + 8:
                made.append(self._lane(plan, lane.name, lane.what, lane.runs, view))
        made.append(self._visits(plan, view))
        return [*made, (), *self._about(plan, days[self.chosen], width)][:height]

    def _head(self, view: list[date]) -> Line:
        spans: list[Span | str] = [" " * NAMES]
        today = local(zone_of(self._plan()), self.wall.now()).date()
        for n, each in enumerate(view):
            marked = self.first + n == self.chosen
            text = " ".join(show_day(each).split()[:2])
            text = f">{text}" if marked else f" {text}" if each != today else f"│{text}"
            spans.append((f"{text:<{self.column}}", "mark" if marked else "now" if each == today else "dim"))
        return line(*spans)

    def _plan(self) -> Plan:
        assert self.wall.plan is not None
        return self.wall.plan

    def _lane(self, plan: Plan, name: str, what: str, runs: tuple[Run, ...], view: list[date]) -> Line:
        first = "  floor" if what == "floor" else shorten(name, NAMES - 1)
        spans: list[Span | str] = [f"{first:<{NAMES}}"]
        for each in view:
            start, end = day_span(plan, each)
            here = [run for run in runs if run.start < end and run.until > start]
            spans += self._floor_cell(here, start, end) if what == "floor" else self._hands_cell(here, start, end)
        return line(*spans)

    def _hands_cell(self, runs: list[Run], start: Instant, end: Instant) -> list[Span]:
        """The longest hands of the day in CAPITALS; without hands what the stuff does."""
        for kind in ("visit", "hands"):
            here = [run for run in runs if run.kind == kind]
            if here and kind == "hands":
                longest = max(here, key=lambda run: min(run.until, end) - max(run.start, start))
                word = longest.word.split(",")[0]
                text = shorten(word, self.column - 1)
                return [(f"{text:<{self.column}}", "hands")]
        for kind, fill in (("flood", "≈"), ("dry", "░"), ("open", "─")):
            here = [run for run in runs if run.kind == kind]
            if here:
                word = here[-1].word
                text = f"[{word}]" if kind == "open" else word.ljust(self.column - 1, fill)
                return [(f"{text[: self.column - 1]:<{self.column}}", kind)]
        return [(" " * self.column, "")]

    def _floor_cell(self, runs: list[Run], start: Instant, end: Instant) -> list[Span]:
        """Tape over the share of the day that it is up."""
        cells: list[Span] = []
        room = self.column - 1
        for n in range(room):
            low, high = start + (end - start) * n // room, start + (end - start) * (n + 1) // room
            here = [run.kind for run in runs if run.start < high and run.until > low]
            kind = "off" if "off" in here else "noway" if here else ""
            cells.append(({"off": "/", "noway": ":", "": " "}[kind], kind))
        return [*cells, (" ", "")]

    def _person(self, plan: Plan, name: str, view: list[date]) -> Line:
        person = next(each for each in plan.people if each.name == name)
        spans: list[Span | str] = [f"{shorten(name, NAMES - 1):<{NAMES}}"]
        for each in view:
            start, end = day_span(plan, each)
            mine = [s for s in plan.steps if name in s.people and s.start < end and s.finish > start]
            there = any(a < end and b > start for a, b in person.hours)
            if mine:
                first, last = min(s.start for s in mine), max(s.finish for s in mine)
                end_word = wall(plan, last).split(" ")[0]
                text = f"{_hour(plan, first)}-{end_word}" if self.column == WIDE else f"to {end_word}"
            else:
                text = "spare" if there else ""
            spans.append(f"{text[: self.column - 1]:<{self.column}}")
        return line(*spans)

    def _visits(self, plan: Plan, view: list[date]) -> Line:
        spans: list[Span | str] = [f"{'visits':<{NAMES}}"]
        for each in view:
            start, end = day_span(plan, each)
            here = sorted(v.start for v in plan.visits if start <= v.start < end)
            text = f'"{wall(plan, here[0])}"' if here else ""
            spans.append((f"{text[: self.column - 1]:<{self.column}}", "visit"))
        return line(*spans)

    def _about(self, plan: Plan, chosen: date, width: int) -> list[Line]:
        start, end = day_span(plan, chosen)
        steps = [s for s in plan.steps if start <= s.start < end]
        said = ", ".join(f"{shorten(s.title.upper(), 20)} {wall(plan, s.start)}" for s in steps[:6])
        more = f" and {len(steps) - 6} more" if len(steps) > 6 else ""
        rows = wrap(f"{show_day(chosen)}: {said}{more}" if steps else f"{show_day(chosen)}: no work", width - 2)
        back = [f"{room_name(plan, room.id)} {day(plan, max(s.finish for s in plan.steps if s.room == room.id))}"
                for room in plan.rooms if any(s.room == room.id for s in plan.steps)]  # fmt: skip
        made = [line((f"{'>' if n == 0 else ' '} {row}", "mark")) for n, row in enumerate(rows[:2])]
        done = f"Rooms done: {', '.join(back)}. {finish_line(plan)}".strip()
        return [*made, *texts(f"  {row}" for row in wrap(done, width - 2))]

    def move(self, down: int) -> None:
        """Up and down go by weeks."""
        self.turn(7 * down)

    def turn(self, right: int) -> None:
        """Another day."""
        plan = self.wall.plan
        if plan is not None:
            self.chosen = max(0, min(len(self._days(plan)) - 1, self.chosen + right))

    def enter(self) -> None:
        """That day by the hour."""
        plan = self.wall.plan
        if plan is None:
            return
        start, end = day_span(plan, self._days(plan)[self.chosen])
        first = min((s for s in plan.steps if start <= s.start < end), key=lambda s: s.start, default=None)
        if first is None:
            self.deck.say("No work on that day.")
            return
        self.wall.marked = first.id
        self.deck.go("rooms")

    def on_zoom(self) -> None:
        """Z: back to a day by the hour."""
        self.deck.go("rooms")

    def on_today(self) -> None:
        """F: today, or the first day with work left."""
        plan = self.wall.plan
        if plan is None or not plan.steps:
            return
        zone = zone_of(plan)
        at = max(self.wall.now(), min((s.start for s in plan.steps if live(s)), default=self.wall.now()))
        days = self._days(plan)
        wanted = local(zone, at).date()
        self.chosen = days.index(wanted) if wanted in days else 0
        self.first = self.chosen


def day_span(plan: Plan, each: date) -> tuple[Instant, Instant]:
    """A date from midnight to midnight on the site's clock."""

    zone = zone_of(plan)
    return instant(zone, each, time()), instant(zone, each + timedelta(days=1), time())


def _hour(plan: Plan, at: Instant) -> str:
    text = wall(plan, at).split(" ")[0]
    return text.removesuffix(":00")
