"""Add a room: six lines, each with an answer filled in; the right side says what it comes to before it is added."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from planning.quantities.show import show_minutes
from planning.records.atomic import write_text
from planning.records.not_saved import NotSaved
from tui.screens.number_line import NumberLine
from tui.screens.page import Deck, Page
from tui.widgets.digits import join
from tui.widgets.lines import Line, line, texts
from tui.words import shorten, wrap, zone_of

LEFT = 44
FIXED = 5
"""What, name, size, reached by, toilet: the method's own measurements come after them."""
OUTSIDE = "outside"


@dataclass
class Draft:
    """A room as far as it was answered. `measures`: only those that differ from the method's own."""

    method: int = 0
    name: str = ""
    size: str = ""
    way: int = 0
    toilet: bool = False
    measures: dict[str, str] | None = None


class AddRoom(Page):
    """The page. What was typed is kept when it is left."""

    name = "add"
    fills = ("job",)

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.draft = Draft()

    # What there is to choose from

    def _filled(self) -> dict[str, Any]:
        return self.wall.pages.get("job") or {}

    def _methods(self) -> list[dict[str, Any]]:
        return list(self._filled().get("methods", []))

    def _method(self) -> dict[str, Any]:
        found = self._methods()
        return found[self.draft.method % len(found)] if found else {"key": "", "title": "", "measures": {}}

    def _ways(self) -> list[str]:
        return [OUTSIDE, *(str(each["room"]) for each in self._filled().get("rooms", []))]

    def _measures(self) -> dict[str, str]:
        return {**self._method()["measures"], **(self.draft.measures or {})}

    def _name(self) -> str:
        return self.draft.name or f"room {len(self._filled().get('rooms', [])) + 1}"

    def rows(self) -> list[tuple[str, str]]:
        """(label, answer) of every line; the last one adds the room."""
        way = self._ways()[self.draft.way % len(self._ways())]
        fixed = [
            ("What", str(self._method()["title"])),
            ("Name", self._name()),
            ("Size", self.draft.size or "5 x 5 ft"),
            ("Reached by", way),
            ("Toilet", "yes" if self.draft.toilet else "no"),
        ]
        own = [(key.replace("_", " ").capitalize(), str(value)) for key, value in self._measures().items()]
        return [*fixed, *own, ("ADD IT", "")]

    # Painting

    def opened(self) -> None:
        """Try it as it stands."""
        self._try()

    def filled(self, name: str) -> None:
        """Only with the job's methods there is something to try."""
        if name == "job" and "try" not in self.wall.pages:
            self._try()

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """Questions left, what they come to right (below where it is narrow)."""
        if not self._methods():
            return texts(["", "The job is being read."], "dim")
        rows = self.rows()
        self.at = max(0, min(self.at, len(rows) - 1))
        left: list[Line] = [line(("ADD A ROOM", "head")), ()]
        for n, (label, said) in enumerate(rows):
            text = f"{'>' if n == self.at else ' '}{n + 1:>2}  {label:<12}{shorten(said, LEFT - 18)}"
            left.append(line((text, "mark" if n == self.at else "")))
        right = self._comes_to(max(20, width - LEFT if width >= 80 else width))
        made = join(left, right, LEFT) if width >= 80 else [*left, (), *right]
        return made[: max(0, height)]

    def _comes_to(self, width: int) -> list[Line]:
        tried = self.wall.pages.get("try")
        made = [line(("WHAT IT COMES TO", "head")), ()]
        if not tried:
            return [*made, line(("being worked out", "dim"))]
        for each in tried["problems"][:3]:
            made += [line((row, "alarm")) for row in wrap(str(each), width)]
        for title, minutes in tried["steps"][:12]:
            made.append(line(f"{shorten(str(title), width - 10):<{width - 10}} {show_minutes(int(minutes))}"))
        if len(tried["steps"]) > 12:
            made.append(line((f"and {len(tried['steps']) - 12} more", "dim")))
        total = sum(int(minutes) for _, minutes in tried["steps"])
        return [*made, (), line((f"HANDS {show_minutes(total)}", "bold"))] if total else made

    def space_words(self) -> str | None:
        """SPACE changes the marked line, or adds the room."""
        label = self.rows()[min(self.at, len(self.rows()) - 1)][0]
        return f"add {shorten(self._name(), 24)}" if label == "ADD IT" else f"change: {label.lower()}"

    # Keys

    def space(self) -> bool:
        """As ENTER."""
        self.enter()
        return True

    def enter(self) -> None:
        """Ask for the marked line, or go to its next choice, or add the room."""
        if self.at == len(self.rows()) - 1:
            self._add()
        elif self.at in (0, 3, 4):
            self.turn(1)
        else:
            self._ask()

    def move(self, down: int) -> None:
        """Another line."""
        self.at = max(0, min(len(self.rows()) - 1, self.at + down))

    def pick(self, number: int) -> None:
        """That line, and its answer if it is typed."""
        if number <= len(self.rows()):
            self.at = number - 1
            if self.at not in (0, 3, 4) and self.at < len(self.rows()) - 1:
                self._ask()

    def turn(self, right: int) -> None:
        """Another choice, where there are choices."""
        if self.at == 0 and self._methods():
            self.draft.method = (self.draft.method + right) % len(self._methods())
            self.draft.measures = None
        elif self.at == 3:
            self.draft.way = (self.draft.way + right) % len(self._ways())
        elif self.at == 4:
            self.draft.toilet = not self.draft.toilet
        else:
            return
        self._try()

    def _ask(self) -> None:
        plan = self.wall.plan
        if plan is None:
            return
        label, said = self.rows()[self.at]
        at = self.at
        self.deck.ask(
            NumberLine(f"{label} ({said}):", "text", self.wall.now(), zone_of(plan), lambda _: None,
                       lambda text: self._typed(at, text))
        )  # fmt: skip

    def _typed(self, at: int, text: str) -> None:
        if at == 1:
            self.draft.name = text
        elif at == 2:
            self.draft.size = text
            self.at = len(self.rows()) - 1
        else:
            key = list(self._measures())[at - FIXED]
            self.draft.measures = {**(self.draft.measures or {}), key: text}
        self._try()

    # Adding

    def block(self) -> str:
        """The room as the job file writes it."""
        taken = {str(each["room"]) for each in self._filled().get("rooms", [])}
        words = "".join(c if c.isalnum() else " " for c in self._name().lower()).split()
        room_id = "-".join(words) or "room"
        while room_id in taken:
            room_id += "-2"
        lines = ["[[room]]", f"id = {json.dumps(room_id)}", f"name = {json.dumps(self._name())}"]
        lines.append(f"size = {json.dumps(dict(self.rows())['Size'])}")
        lines.append(f"in_from = [{json.dumps(dict(self.rows())['Reached by'])}]")
        lines += ["toilet = true"] if self.draft.toilet else []
        lines += ["  [[room.do]]", f"  method = {json.dumps(self._method()['key'])}"]
        lines += [f"  {key} = {json.dumps(value)}" for key, value in (self.draft.measures or {}).items()]
        return "\n" + "\n".join(lines) + "\n"

    def _text(self) -> str | None:
        path = self.wall.job_path
        try:
            return None if path is None else path.read_text(encoding="utf-8").rstrip("\n") + "\n" + self.block()
        except (OSError, ValueError) as wrong:
            self.deck.say(f"The job file cannot be read: {wrong}")
            return None

    def _try(self) -> None:
        text = self._text() if self._methods() else None
        if text is not None:
            self.wall.pages.pop("try", None)
            self.deck.try_text(text)

    def _add(self) -> None:
        tried, text, path = self.wall.pages.get("try"), self._text(), self.wall.job_path
        if not tried or text is None or path is None:
            self.deck.say("It is still being worked out. Press it again in a moment.")
            return
        if tried["problems"]:
            self.deck.say("Not added: put right what is said on the right side first.")
            return
        try:
            write_text(path, text)
        except NotSaved as wrong:
            self.deck.say(f"NOT SAVED, nothing was added. {wrong.reason}")
            return
        said = f"{self._name()} added to {path.name}. A new plan is being made."
        self.draft = Draft()
        self.at = 0
        self.deck.go("morning")
        self.deck.say(said)
