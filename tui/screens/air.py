"""Air: will it dry? What each room's air does to waits, and reading it with a meter in one line."""

from collections.abc import Sequence
from typing import Any

from tui.screens.number_line import NumberLine
from tui.screens.page import RowsPage
from tui.widgets.lines import Line, line, texts
from tui.words import room_name, shorten, wrap, zone_of

NOTES = (
    "x1.34 means: takes 1.34 times as long as the label says. none: no clock time at all.",
    "SURE?  Drying can miss by 30 %, cement by 15 %. Thumb and color come first.",
)


class AirPage(RowsPage[dict[str, Any]]):
    """The page."""

    name = "air"
    fills = ("air",)

    def rows(self) -> list[dict[str, Any]]:
        """Each room's air as the helper filled it in."""
        filled = self.wall.pages.get("air")
        return list(filled["rooms"]) if filled else []

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """A row a room, and what holds the marked one."""
        plan, rooms = self.wall.plan, self.rows()
        if plan is None or not rooms:
            return self.waiting(width, "The air is being worked out.")
        self.at = max(0, min(self.at, len(rooms) - 1))
        head = f"     {'ROOM':<13}{'AIR':<7}{'RH':<7}{'FLOOR':<8}{'DRYING':<9}{'SETTING':<9}SAYS"
        made: list[Line] = [(), line((head, "dim"))]
        for n, each in enumerate(rooms):
            says = "HOLD" if each["hold"] else "go"
            read = "" if each["read"] else "  not read" if not each["known"] else "  from job file"
            name = shorten(room_name(plan, each["room"]), 12)
            text = (
                f"{'>' if n == self.at else ' '}{n + 1:>2}  {name:<13}{each['air']:<7}{each['rh']:<7}"
                f"{each['floor']:<8}{each['drying']:<9}{each['setting']:<9}{says}{read}"
            )
            made.append(line((text[:width], "mark" if n == self.at else "alarm" if each["hold"] else "")))
        held = rooms[self.at]["hold"]
        if held:
            rows = wrap(f"HOLD, {room_name(plan, rooms[self.at]['room'])}: {held}", width)
            made += [(), *texts(rows, "alarm")]
        made += [(), *texts(row for each in NOTES for row in wrap(each, width))]
        return made[:height]

    def space_words(self) -> str | None:
        """SPACE reads the air here."""
        return "read the air"

    def space(self) -> bool:
        """As G."""
        self.on_read()
        return True

    def enter(self) -> None:
        """As G."""
        self.on_read()

    def on_read(self) -> None:
        """Ask for three numbers in the job's units: air, RH, floor."""
        plan, room = self.wall.plan, self.marked()
        if plan is None or room is None:
            return
        unit = "C" if self.wall.pages["air"]["units"] == "metric" else "F"
        asks = f"{room_name(plan, room['room'])}: air {unit}, RH %, floor {unit} (68 55 66):"
        self.deck.ask(NumberLine(asks, "text", self.wall.now(), zone_of(plan), lambda at: None,
                                 lambda text: self._read(str(room["room"]), text, unit)))  # fmt: skip

    def _read(self, room: str, text: str, unit: str) -> None:
        values = _three(text, unit)
        if values is None:
            self.deck.say(f'"{text}" is not clear. Write three numbers: air, RH, floor, as 68 55 66.')
            return
        self._note([room], values)

    def on_same(self) -> None:
        """K: the marked room's values for every room."""
        room = self.marked()
        if room is not None:
            air_c, humidity, surface_c = room["values"]
            self._note([str(each["room"]) for each in self.rows()], (air_c, humidity, surface_c))

    def _note(self, rooms: list[str], values: tuple[float, float, float]) -> None:
        reading = {"air_c": values[0], "humidity": values[1], "surface_c": values[2]}
        said = "Air read." if len(rooms) == 1 else f"The same air in {len(rooms)} rooms."
        for room in rooms:
            if not self.deck.report("reading", {"room": room, "value": reading}, said):
                return


def _three(text: str, unit: str) -> tuple[float, float, float] | None:
    """Air, humidity and floor in SI; None for anything else than three plausible numbers."""
    words = text.replace("%", " ").replace(",", " ").replace("F", " ").replace("C", " ").split()
    try:
        air, humid, floor = (float(word) for word in words)
    except ValueError:
        return None
    if not 0 <= humid <= 100:
        return None
    if unit == "C":
        return air, humid / 100, floor
    return (air - 32) / 1.8, humid / 100, (floor - 32) / 1.8
