"""Rooms: which floor is wet, which is free, who is where, by the hour."""

from collections.abc import Sequence

from planning.job.hours import local
from planning.job.plan import Plan, PlannedStep
from tui.screens.head import SMALL
from tui.screens.lanes import Lane, lanes, nearest, room_steps
from tui.screens.page import Deck, Page, live
from tui.screens.ways import offs
from tui.widgets.lines import Line, line, texts
from tui.widgets.timeline import Timeline
from tui.words import (
    MARKS,
    clock,
    day,
    margin,
    proof_words,
    shorten,
    stands,
    title,
    wall,
    when,
    where,
    who,
    wrap,
    zone_of,
)

WIDE = 110
FAR_MIN = 12 * 60
"""With nothing on for so long, the picture begins at the next step and not at now."""
ZOOMS = ("day", "half day")


class Rooms(Page):
    """The page. Its picture is a widget of its own; these are the lines below it."""

    name = "rooms"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.zoom = 0
        self.lane = 0
        self.picture: Timeline | None = None

    def below(self, width: int) -> int:
        """How many lines stand below the picture."""
        return 12 if width >= WIDE else 5

    def cells_per_hour(self, width: int) -> int:
        """How wide an hour is."""
        wide = width >= WIDE
        return ((12 if wide else 8), (24 if wide else 16))[self.zoom]

    def names_width(self, width: int) -> int:
        """How wide the names are."""
        return 19 if width >= WIDE else 12

    def opened(self) -> None:
        """Bring the marked step, or now, into view."""
        self.on_now()

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The legend and the marked step."""
        plan = self.wall.plan
        if plan is None:
            return self.waiting(width)
        if width < SMALL:
            return self._small(plan, height)
        step = self.wall.target()
        legend = _legend(width)
        if step is None:
            return [*texts(legend, "dim"), (), *texts([f"Job done {day(plan, plan.finish)}."])]
        return [*texts(legend, "dim"), *_about(plan, step, self.wall.now(), width)]

    def _small(self, plan: Plan, height: int) -> list[Line]:
        now = self.wall.now()
        made: list[Line] = [()]
        for room in plan.rooms:
            steps = [s for s in room_steps(plan, room.id) if live(s)]
            off = next((each for each in offs(plan, room.id) if each.start <= now < each.until), None)
            said = f"{shorten(room.name, 12):<12} "
            if steps:
                said += f"{wall(plan, steps[0].start):>5} {shorten(steps[0].title.upper(), 14):<14} "
            made.append(line(said + (f"stay off till {clock(plan, off.until, now)}" if off else "")))
        made += [(), *texts(["Screen is small: the rooms by hour need 80 columns."], "dim")]
        return made[: max(height, 0)]

    def move(self, down: int) -> None:
        """Another room, then people: the mark goes to what is on there at the same time."""
        plan = self.wall.plan
        if plan is None:
            return
        found = self._lanes(plan)
        here = self._lane_number(plan)
        self.lane = max(0, min(len(found) - 1, here + down))
        chosen, target = found[self.lane], self.wall.target()
        at = target.start if target is not None else self.wall.now()
        self._mark(nearest(self._steps_on(plan, chosen), at))

    def turn(self, right: int) -> None:
        """The step before or after in this room, or of this person."""
        plan, target = self.wall.plan, self.wall.target()
        if plan is None or target is None:
            return
        steps = self._lane_steps(plan)
        place = next((n for n, s in enumerate(steps) if s.id == target.id), None)
        if place is not None and 0 <= place + right < len(steps):
            self._mark(steps[place + right])

    def _lanes(self, plan: Plan) -> list[Lane]:
        """Rooms, then people: what the mark can be moved to."""
        return self.wall.memo("lanes", lambda: [each for each in lanes(plan) if each.what != "floor"])

    def _lane_steps(self, plan: Plan) -> list[PlannedStep]:
        return self._steps_on(plan, self._lanes(plan)[self._lane_number(plan)])

    def _steps_on(self, plan: Plan, lane: Lane) -> list[PlannedStep]:
        """The steps of a room or of a person, in order of start."""
        return self.wall.memo(f"steps on {lane.what} {lane.of}", lambda: _steps_on(plan, lane))

    def _lane_number(self, plan: Plan) -> int:
        """The lane the mark is on: the one last gone to if the step is on it, else the step's room."""
        found = self._lanes(plan)
        target = self.wall.target()
        if target is None:
            return min(self.lane, len(found) - 1)
        on = found[min(self.lane, len(found) - 1)]
        if any(run.step == target.id for run in on.runs):
            return self.lane
        return next((n for n, each in enumerate(found) if each.of == target.room), 0)

    def _mark(self, step: PlannedStep | None) -> None:
        if step is None:
            return
        self.wall.marked = step.id
        if self.picture is not None and self.picture.plan is not None:
            if not self.picture.sees(step.start, step.finish):
                self.picture.show_instant(step.start, self.picture.cells_per_hour)
            self.picture.show_row(step.room)

    def on_zoom(self) -> None:
        """Z: half a day, then days, then a day."""
        if self.zoom + 1 < len(ZOOMS):
            self.zoom += 1
            self.deck.say(f"Zoom: {ZOOMS[self.zoom]}.")
        else:
            self.zoom = 0
            self.deck.go("days")

    def on_now(self) -> None:
        """F: back to now; with nothing on today, to the next step."""
        plan = self.wall.plan
        if self.picture is None or plan is None:
            return
        now = self.wall.now()
        zone = zone_of(plan)
        begin = min((s.start for s in plan.steps if live(s)), default=now)
        at = now if begin - now < FAR_MIN else begin
        starts = [s.start for s in plan.steps if local(zone, s.start).date() == local(zone, at).date()]
        view = (self.picture.size.width - self.picture.names_width) * 60 // self.picture.cells_per_hour
        left = max(min(starts, default=at) - 20, at - view * 2 // 5)
        self.picture.show_instant(min(at - 10, left), 0)


def _steps_on(plan: Plan, lane: Lane) -> list[PlannedStep]:
    if lane.what == "hands":
        return room_steps(plan, lane.of)
    return sorted((s for s in plan.steps if lane.of in s.people), key=lambda s: (s.start, s.finish, s.id))


def _legend(width: int) -> list[str]:
    """Every mark of the picture, whole pieces to a line."""
    rows = [""]
    for mark, said in MARKS[:-1]:
        piece = f"{mark} {said}"
        if rows[-1] and len(rows[-1]) + 2 + len(piece) > width:
            rows.append("")
        rows[-1] = f"{rows[-1]}  {piece}".strip()
    return rows


def _about(plan: Plan, step: PlannedStep, now: int, width: int) -> list[Line]:
    span = f"{when(plan, step.start, now)} to {wall(plan, step.finish)}"
    head = f"> {where(plan, step)}, {shorten(title(step), max(12, width - 60))}   {span}   {who(plan, step)}"
    made = [line((f"{head}   {stands(plan, step, now)}"[:width], "mark"))]
    said = [step.reason, margin(plan, step, now)]
    if step.recovery and step.window.shuts is not None:
        said.append(f"If it shuts {when(plan, step.window.shuts, now)}: {step.recovery}")
    made += texts(f"  {row}" for text in said if text for row in wrap(text, width - 2))
    visits = [f'"{v.who.upper()}" {when(plan, v.start, now)}' for v in plan.visits if v.finish > now]
    tail = [f"visits   {',  '.join(visits[:3])}"] if visits else []
    tail.append(f"ahead    Job done {day(plan, plan.finish)}. {proof_words(plan.proof)}")
    return [*made, (), *texts(tail)]
