"""Add a room: what it is, how big, and what it comes to, before it is added. The same page changes or copies one."""

from collections.abc import Sequence
from typing import Any

from tui.job_text import rooms_of, why_not_written
from tui.screens.add_room_side import comes_to
from tui.screens.number_line import text_line
from tui.screens.page import Deck, Page, window_of
from tui.screens.room_draft import DraftLine, Edit, RoomDraft
from tui.widgets.digits import join
from tui.widgets.lines import Line, line, texts
from tui.words import shorten, wrap

LEFT = 44
SMALL = 80
LABEL = 14


class AddRoom(Page):
    """The page. First what it is (two short lists), then its lines. What was typed is kept when it is left."""

    name = "add"
    dry = True

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.draft: RoomDraft | None = None
        self.group: int | None = None
        self.number: int | None = None
        """The room's place in the file, when it is one of the file."""

    # What the Job page asks for

    def begin(self) -> None:
        """A new room; what was typed of a new one before is kept."""
        if self.number is not None or (self.draft is not None and self.draft.room["id"]):
            self.draft, self.group = None, None
        self.number = None
        self.at = self.at if self.draft is not None else 0

    def change(self, number: int) -> None:
        """The room of the file with that place."""
        rooms = rooms_of(self.wall.job_path)
        self.number = number
        self.draft = RoomDraft.of(rooms[number], self._method_of(rooms[number]), _ids(rooms))
        self._units()
        self.at = 1

    def copy(self, number: int) -> None:
        """A new room like that one."""
        rooms = rooms_of(self.wall.job_path)
        self.number = None
        self.draft = RoomDraft.copy(rooms[number], self._method_of(rooms[number]), _ids(rooms))
        self._units()
        self.at = next(n for n, each in enumerate(self.draft.lines()) if each.key == "name")

    # What there is to choose from

    def _groups(self) -> list[dict[str, Any]]:
        return list(self.wall.pages.get("menu") or [])

    def _method_of(self, room: dict[str, Any]) -> dict[str, Any]:
        key = room["do"][0]["method"] if room.get("do") else ""
        for group in self._groups():
            for method in group["methods"]:
                if method["key"] == key:
                    return dict(method)
        return {"key": key, "title": key, "measures": {}, "floors": [], "faster": {}}

    def _options(self) -> list[str]:
        """The short list that is up, empty when the lines are."""
        if self.draft is not None or not self._groups():
            return []
        if self.group is None:
            return [str(each["title"]) for each in self._groups()]
        return [str(each["title"]) for each in self._groups()[self.group]["methods"]]

    def _lines(self) -> list[DraftLine]:
        return [] if self.draft is None else self.draft.lines()

    def _units(self) -> None:
        session = self.wall.session
        if self.draft is not None and session is not None and session.job is not None:
            self.draft.units = session.job.units

    # Painting

    def opened(self) -> None:
        """Have the methods filled in, and try the room as it stands."""
        self.deck.menu()
        self._try()

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The short list; or the lines left and what they come to right (below where it is narrow)."""
        if not self._groups():
            return self.waiting(width, "The methods are being read.")
        if self.draft is None:
            return self._list(width, height)
        rows = self._lines()
        self.at = max(0, min(self.at, len(rows) - 1))
        head = "ADD A ROOM" if self.number is None else f"CHANGE {self.draft.name.upper()}"
        tall = height - 4 if width >= SMALL else max(6, height // 2)
        first, last = window_of(len(rows), self.at, tall)
        left: list[Line] = [line((head, "head")), ()]
        left += [self._row(n, rows[n], LEFT if width >= SMALL else width) for n in range(first, last)]
        if last - first < len(rows):
            left.append(line((f"     {len(rows) - last + first} more: up, down", "dim")))
        tried = self.wall.pages.get("try") or {}
        if tried.get("read_as"):
            left += [(), *texts(f"Read as: {each}" for each in wrap(str(tried["read_as"]), LEFT - 12))]
        if width >= SMALL:
            return join(left, comes_to(tried, self.wall, width - LEFT - 1, height), LEFT)[: max(0, height)]
        return [*left, (), *comes_to(tried, self.wall, width, height - len(left) - 1)][: max(0, height)]

    def _list(self, width: int, height: int) -> list[Line]:
        what = "WHAT IS IT" if self.group is None else f"WHAT IS IT: {self._groups()[self.group]['title']}"
        options = self._options()
        self.at = max(0, min(self.at, len(options) - 1))
        made: list[Line] = [line(("ADD A ROOM", "head"), f"   {what}"), ()]
        for n, each in enumerate(options):
            made.append(line((f"{'>' if n == self.at else ' '}{n + 1:>2}  {each}"[:width], "mark" * (n == self.at))))
        said = "The number picks it. Everything else has an answer filled in; only the size is a must."
        return [*made, (), *texts(wrap(said, width))][:height]

    def _row(self, n: int, each: DraftLine, width: int) -> Line:
        asked = self.deck.question
        said = each.said
        if n == self.at and asked is not None and asked.counts == "text":
            said = f"{asked.typed}_"
        room = width - LABEL - 5
        shown = said if len(said) <= room else said[-room:] if said.endswith("_") else shorten(said, room)
        text = f"{'>' if n == self.at else ' '}{n + 1:>2}  {shorten(each.label, LABEL - 1):<{LABEL}}{shown}"
        return line((text, "mark" if n == self.at else ""))

    def space_words(self) -> str | None:
        """SPACE picks, changes the marked line, or adds the room."""
        if self.draft is None:
            options = self._options()
            return f"pick: {options[min(self.at, len(options) - 1)]}" if options else ""
        rows = self._lines()
        each = rows[min(self.at, len(rows) - 1)]
        if each.holds != "add":
            return f"change: {each.label.lower()}"
        return ("add " if self.number is None else "keep ") + shorten(self.draft.name, 24)

    # Keys

    def space(self) -> bool:
        """As ENTER."""
        self.enter()
        return True

    def enter(self) -> None:
        """Pick, type, go to the next choice, or add the room."""
        if self.draft is None:
            self.pick(self.at + 1)
            return
        each = self._lines()[self.at]
        if each.key == "method":
            self._other_method()
        elif each.holds == "add":
            self._write()
        elif each.holds == "turn":
            self.turn(1)
        else:
            self._ask(each)

    def escape(self) -> None:
        """One list back, then the page from before."""
        if self.draft is None and self.group is not None:
            self.at, self.group = self.group, None
        else:
            self.deck.back()

    def move(self, down: int) -> None:
        """Another line."""
        count = len(self._options()) if self.draft is None else len(self._lines())
        self.at = max(0, min(count - 1, self.at + down))

    def pick(self, number: int) -> None:
        """That line of a list, or that line to be typed."""
        if self.draft is not None:
            if number <= len(self._lines()):
                self.at = number - 1
                if self._lines()[self.at].holds == "text":
                    self._ask(self._lines()[self.at])
            return
        if number > len(self._options()):
            self.deck.say(f"There is no line {number} here.")
        elif self.group is None:
            self.group, self.at = number - 1, 0
        else:
            self._chosen(self._groups()[self.group]["methods"][number - 1])

    def _chosen(self, method: dict[str, Any]) -> None:
        reach = str(self.wall.ways.get("reach", ""))
        self.draft = RoomDraft.fresh(method, _ids(rooms_of(self.wall.job_path)), reach)
        self._units()
        self.at = 1
        self._try()
        self._ask(self._lines()[1])

    def _other_method(self) -> None:
        if self.number is not None or (self.draft is not None and self.draft.room["id"]):
            self.deck.say("What is done there stays: drop the room and add it anew to change that.")
            return
        self.draft, self.at = None, 0

    def turn(self, right: int) -> None:
        """Another choice, where there are choices."""
        if self.draft is None:
            return
        self.draft.turned(self._lines()[self.at].key, right)
        self._try()

    def _ask(self, each: DraftLine) -> None:
        self.deck.ask(text_line(f"{each.label} ({shorten(each.said, 30)}):", lambda text: self._typed(each.key, text),
                                filled=each.said))  # fmt: skip

    def _typed(self, key: str, text: str) -> None:
        if self.draft is None:
            return
        kept = next((each.said for each in self._lines() if each.key == key), "")
        if text != kept:
            self.draft.typed(key, text)
        self.at = len(self._lines()) - 1 if key == "size" else min(self.at + 1, len(self._lines()) - 1)
        self._try()

    # Trying and adding

    def _edits(self) -> list[Edit]:
        assert self.draft is not None
        new = self.wall.new_job
        if new is not None:
            return [{"do": "new", "tables": {**new, "room": [self.draft.table()]}}]
        return self.draft.edits(self.number)

    def _try(self) -> None:
        if self.draft is not None:
            self.wall.pages.pop("try", None)
            self.deck.change(self._edits(), self.draft.id(), None)

    def _write(self) -> None:
        assert self.draft is not None
        edits = self._edits()
        if not edits:
            self.draft, self.number = None, None
            self.deck.back()
            self.deck.say("Nothing was changed.")
            return
        self.deck.change(edits, self.draft.id(), self._written)

    def _written(self, tried: dict[str, Any]) -> None:
        if not tried.get("written"):
            self.deck.say(f"Not kept: {why_not_written(tried)}")
            return
        assert self.draft is not None
        name, changed, new = self.draft.name, self.number is not None, self.wall.new_job is not None
        self.draft, self.group, self.number, self.at = None, None, None, 0
        self.wall.pages.pop("try", None)
        if new:
            self.deck.open_new()
            self.deck.say("Put your own bag numbers in: J, then G. Until then waits are common practice.")
            return
        self.deck.go("job" if changed else "morning")
        self.deck.read_again()
        self.deck.say(f"{name} {'changed' if changed else 'added'}. A new plan is being made.")


def _ids(rooms: Sequence[dict[str, Any]]) -> list[str]:
    return [str(each["id"]) for each in rooms]
