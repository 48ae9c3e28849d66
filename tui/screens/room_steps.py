"""Steps of a room: what its methods do there, row by row. A step is left out, or its time is the setter's own."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from planning.quantities.show import show_minutes
from tui.job_text import rooms_of, why_not_written
from tui.screens.number_line import text_line
from tui.screens.page import Deck, RowsPage, window_of
from tui.screens.room_draft import Edit
from tui.widgets.lines import Line, line, texts
from tui.words import shorten, wrap


@dataclass(frozen=True, slots=True)
class StepRow:
    """One row of one method of the room: `do` is the method's place in the room's table."""

    do: int
    key: str
    title: str
    skipped: bool
    own: str
    minutes: int
    """Of the plan, all pieces together; 0 when it is not in the plan."""


class RoomSteps(RowsPage[StepRow]):
    """The page of the room that is marked on Job."""

    name = "steps"
    dry = True

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.number = 0

    def opened(self) -> None:
        """The room that is marked on Job."""
        self.number = self.deck.page_of("job").at

    def _room(self) -> dict[str, Any]:
        rooms = rooms_of(self.wall.job_path)
        return rooms[self.number] if self.number < len(rooms) else {"id": "", "do": []}

    def rows(self) -> list[StepRow]:
        """Every row of every method of the room, those that are left out too."""
        room, made = self._room(), []
        for n, do in enumerate(room.get("do", [])):
            skip = do.get("skip", [])
            changes = {each["step"]: each.get("labor", "") for each in do.get("change", []) if "step" in each}
            for key, title in self._method(do["method"]):
                minutes = self._minutes(f"/{do['method']}/{key}", str(room["id"]))
                if minutes or key in skip:
                    made.append(StepRow(n, key, title, key in skip, str(changes.get(key, "")), minutes))
        return made

    def _method(self, wanted: str) -> list[tuple[str, str]]:
        for group in self.wall.pages.get("menu") or []:
            for method in group["methods"]:
                if method["key"] == wanted:
                    return [(str(key), str(title)) for key, title in method["rows"]]
        return []

    def _minutes(self, end: str, room: str) -> int:
        plan = self.wall.plan
        if plan is None:
            return 0
        found = [s for s in plan.steps if s.room == room and (s.piece.of if s.piece else s.id).endswith(end)]
        return sum(each.finish - each.start for each in found)

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """A row a step."""
        rows = self.rows()
        name = str(self._room().get("name") or self._room()["id"]).replace("-", " ")
        made: list[Line] = [(), line((f"STEPS, {name.upper()}", "head")), ()]
        if not rows:
            return [*made[:-1], *self.waiting(width, "The methods are being read.")]
        self.at = max(0, min(self.at, len(rows) - 1))
        made.append(line((f"      {'STEP':<26}{'HANDS':<12}HOW", "dim")))
        said = "ENTER: how long the marked one takes. What waits for a step left out waits for what comes before it."
        tail = texts(wrap(said, width))
        first, last = window_of(len(rows), self.at, max(1, height - len(made) - len(tail) - 2))
        for n in range(first, last):
            each = rows[n]
            how = "LEFT OUT" if each.skipped else f"your own: {each.own}" if each.own else "as the method says"
            took = show_minutes(each.minutes) if each.minutes else ""
            text = f"{'>' if n == self.at else ' '}{n + 1:>3}  {shorten(each.title.upper(), 25):<26}{took:<12}{how}"
            made.append(line((text[:width], "mark" if n == self.at else "")))
        if last - first < len(rows):
            made.append(line((f"{len(rows) - last + first} more: up, down".rjust(width), "dim")))
        return [*made, (), *tail][:height]

    def space_words(self) -> str | None:
        """SPACE leaves the step out, or takes it back in."""
        each = self.marked()
        if each is None:
            return ""
        return f"{'take back' if each.skipped else 'leave out'} {shorten(each.title.upper(), 24)}"

    def space(self) -> bool:
        """Leave the marked step out, or take it back in."""
        each = self.marked()
        if each is None:
            return True
        skip = list(self._room()["do"][each.do].get("skip", []))
        wanted = [key for key in skip if key != each.key] if each.skipped else [*skip, each.key]
        path = ["room", self.number, "do", each.do, "skip"]
        edit: Edit = {"do": "set", "path": path, "value": wanted} if wanted else {"do": "out", "path": path}
        said = f"{each.title.upper()} {'is back in' if each.skipped else 'is left out'}."
        self.deck.change([edit], "", lambda tried: self._kept(tried, said))
        return True

    def enter(self) -> None:
        """How long its hands take here."""
        each = self.marked()
        if each is not None:
            filled = each.own or (f"{each.minutes} min" if each.minutes else "")
            asks = f"{shorten(each.title.upper(), 25)} takes ({filled or '45 min'}):"
            self.deck.ask(text_line(asks, lambda text: self._takes(each, text)))

    def _takes(self, each: StepRow, text: str) -> None:
        labour = f"{text} min" if text.isdigit() else text
        changes = list(self._room()["do"][each.do].get("change", []))
        place = next((n for n, change in enumerate(changes) if change.get("step") == each.key), None)
        path = ["room", self.number, "do", each.do, "change"]
        edit: Edit = {"do": "set", "path": path, "value": [*changes, {"step": each.key, "labor": labour}]}
        if place is not None:
            edit = {"do": "set", "path": [*path, place, "labor"], "value": labour}
        self.deck.change([edit], "", lambda tried: self._kept(tried, f"{each.title.upper()} takes {labour}."))

    def _kept(self, tried: dict[str, Any], said: str) -> None:
        if not tried.get("written"):
            self.deck.say(f"Not kept: {why_not_written(tried)}")
            return
        self.deck.say(f"{said} A new plan is being made.")
        self.deck.read_again()
