"""Job: which rooms, which work, what sizes. Rooms are added, changed, copied and dropped here, without an editor."""

from collections.abc import Sequence
from typing import Any

from planning.job.plan import Plan
from tui.job_text import why_not_written
from tui.screens.lanes import room_steps
from tui.screens.page import Deck, RowsPage, live, window_of
from tui.widgets.lines import Line, line, texts
from tui.words import day, proof_words, room_name, shorten, wrap

NAME, SIZE, WAYS, LEFT = 13, 22, 12, 4


class JobPage(RowsPage[dict[str, Any]]):
    """The page. A file edited with any editor is followed too; this page says what is wrong in it."""

    name = "job"
    fills = ("job",)

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self._dropping = ""

    def opened(self) -> None:
        """The methods are needed to change a room."""
        self._dropping = ""
        self.deck.menu()

    def rows(self) -> list[dict[str, Any]]:
        """The rooms, in the order of the file."""
        filled = self.wall.pages.get("job")
        return list(filled["rooms"]) if filled else []

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """A row a room, then the marked one in full."""
        plan, rooms = self.wall.plan, self.rows()
        if plan is None or not rooms:
            return self.waiting(width, "The job is being read.")
        self.at = max(0, min(self.at, len(rooms) - 1))
        path = "" if self.wall.job_path is None else self.wall.job_path.name
        many = f"{len(rooms)} room{'s' if len(rooms) != 1 else ''}   {len(plan.steps)} steps"
        head = f"{many}   done {day(plan, plan.finish)}   {path}"
        made: list[Line] = [(), line(("JOB", "head"), f"   {head}"), ()]
        does = max(12, width - NAME - SIZE - WAYS - LEFT - 6)
        made.append(line((f"     {'ROOM':<{NAME}}{'SIZE':<{SIZE}}{'WHAT WE DO':<{does}} REACHED BY  LEFT", "dim")))
        tail = self._about(plan, rooms[self.at], width, path)
        first, last = window_of(len(rooms), self.at, max(1, height - len(made) - len(tail) - 1))
        made += [self._row(plan, rooms[n], n, width, does) for n in range(first, last)]
        return [*made, (), *tail][:height]

    def _about(self, plan: Plan, each: dict[str, Any], width: int, path: str) -> list[Line]:
        made = self._room(plan, each, width)
        session = self.wall.session
        if session is not None and session.problems:
            made += [(), *[line((row, "alarm")) for wrong in session.problems[:3] for row in wrap(str(wrong), width)]]
        said = f"The file {path} may be edited too: this screen follows it. {proof_words(plan.proof)}"
        return [*made, (), *texts(wrap(said, width))]

    def _row(self, plan: Plan, each: dict[str, Any], n: int, width: int, does: int) -> Line:
        left = sum(1 for step in room_steps(plan, each["room"]) if live(step))
        what = shorten(", ".join(dict.fromkeys(each["does"])), does)
        ways = ", ".join(room_name(plan, way) for way in each["in_from"])
        name = shorten(room_name(plan, each["room"]), NAME - 1)
        text = (
            f"{'>' if n == self.at else ' '}{n + 1:>2}  {name:<{NAME}}{each['size']:<{SIZE}}"
            f"{what:<{does}} {shorten(ways, WAYS - 1):<{WAYS}}{left:>{LEFT}}"
        )
        return line((text[:width], "mark" if n == self.at else ""))

    def _room(self, plan: Plan, each: dict[str, Any], width: int) -> list[Line]:
        parts = ", ".join(f"{part['id']} {part['area']}" for part in each["parts"])
        said = (
            f"{each['area']}." + (f" Parts: {parts}." if parts else "") + (" Has the toilet." if each["toilet"] else "")
        )
        name = room_name(plan, each["room"]).upper()
        steps = [s.title for s in room_steps(plan, each["room"]) if live(s)]
        rows = wrap(f"{said} Next: {', '.join(steps[:4])}." if steps else said, width - 14)
        return [line((f"{name if n == 0 else '':<14}", "head"), row) for n, row in enumerate(rows)]

    def space_words(self) -> str | None:
        """SPACE changes the marked room, as ENTER does."""
        rooms, plan = self.rows(), self.wall.plan
        return f"change {room_name(plan, rooms[self.at]['room'])}" if rooms and plan is not None else ""

    def space(self) -> bool:
        """As ENTER."""
        self.enter()
        return True

    def enter(self) -> None:
        """Change the marked room."""
        if self._add_page_ready():
            self._adding().change(self.at)
            self.deck.go("add")

    def on_add(self) -> None:
        """I: add a room."""
        self._adding().begin()
        self.deck.go("add")

    def on_copy(self) -> None:
        """K: a room like the marked one."""
        if self._add_page_ready():
            self._adding().copy(self.at)
            self.deck.go("add")

    def on_drop(self) -> None:
        """X, twice: take the marked room out."""
        rooms, plan = self.rows(), self.wall.plan
        if not rooms or plan is None:
            return
        room = str(rooms[self.at]["room"])
        if self._dropping != room:
            self._dropping = room
            self.deck.say(f"X again drops {room_name(plan, room)} from the job. What was noted there is kept.")
            return
        self._dropping = ""
        self.deck.change([{"do": "drop", "room": room}], "", lambda tried: self._dropped(room, tried))

    def _dropped(self, room: str, tried: dict[str, Any]) -> None:
        if not tried.get("written"):
            self.deck.say(f"Not dropped: {why_not_written(tried)}")
            return
        self.at, self.wall.marked = 0, None
        self.wall.pages.pop("job", None)
        self.deck.say(f"{room.replace('-', ' ')} dropped. A new plan is being made.")
        self.deck.read_again()

    def on_steps(self) -> None:
        """V: the room's steps."""
        if self._add_page_ready():
            self.deck.go("steps")

    def on_label(self) -> None:
        """G: what the setter's own bags say."""
        self.deck.page_of("labels").of = None
        self.deck.go("labels")

    def _adding(self) -> Any:
        return self.deck.page_of("add")

    def _add_page_ready(self) -> bool:
        if self.wall.pages.get("menu") and self.rows():
            return True
        self.deck.say("The methods are being read. Press it again in a moment.")
        return False

    def no_row(self, number: int) -> str:
        """There is no room of that number."""
        return f"There is no room {number}."

    def mark(self, at: int) -> None:
        """That room; the mark of steps goes to its next one."""
        rooms, plan = self.rows(), self.wall.plan
        self.at, self._dropping = at, ""
        if rooms and plan is not None:
            steps = [s for s in room_steps(plan, rooms[at]["room"]) if live(s)]
            self.wall.marked = steps[0].id if steps else self.wall.marked
