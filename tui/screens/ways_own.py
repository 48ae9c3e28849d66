"""Own ways: how the screen works for you. Kept beside the plan; what the job should aim at is in the job file."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from tui.screens.page import Deck, Page
from tui.widgets.lines import Line, line, texts


@dataclass(frozen=True, slots=True)
class Way:
    """One thing that can be set: its key in `wall.ways`, what it is called, and what it can be."""

    key: str
    name: str
    choices: tuple[tuple[str, Any], ...]


WAYS: tuple[Way, ...] = (
    Way("theme", "Screen", (("dark", "mud-dark"), ("light", "mud-light"), ("strong contrast", "mud-strong"))),
    Way("quiet", "Double-press guard", (("0.7 s", 0.7), ("1 s", 1.0), ("1.5 s", 1.5))),
    Way("bell", "Bell", (("open, closing, shut", "all"), ("closing, shut", "late"), ("off", "off"))),
)


def known_ways(kept: object) -> dict[str, Any]:
    """The ways kept from last time, with the first choice for whatever is not kept or not known any more."""
    table = kept if isinstance(kept, dict) else {}
    found = {}
    for way in WAYS:
        values = [value for _, value in way.choices]
        found[way.key] = table.get(way.key) if table.get(way.key) in values else values[0]
    return found


class OwnWays(Page):
    """The page."""

    name = "own"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """What is set, and what it can be instead."""
        made: list[Line] = [(), line(("OWN WAYS", "head"), "   how it works for you"), ()]
        made.append(line((f"     {'WHAT':<22}{'NOW':<22}CAN ALSO BE", "dim")))
        for n, way in enumerate(WAYS):
            now = next(name for name, value in way.choices if value == self.wall.ways[way.key])
            other = ", ".join(name for name, value in way.choices if value != self.wall.ways[way.key])
            text = f"{'>' if n == self.at else ' '}{n + 1:>2}  {way.name:<22}{now:<22}{other}"
            made.append(line((text[:width], "mark" if n == self.at else "")))
        path = "the job file" if self.wall.job_path is None else self.wall.job_path.name
        return [*made, (), *texts([f"Sizes, hours and what matters most are in {path}."])][:height]

    def space_words(self) -> str | None:
        """SPACE takes the next choice."""
        return f"change: {WAYS[self.at].name.lower()}"

    def space(self) -> bool:
        """The next choice."""
        self.turn(1)
        return True

    def enter(self) -> None:
        """The next choice."""
        self.turn(1)

    def move(self, down: int) -> None:
        """Another line."""
        self.at = max(0, min(len(WAYS) - 1, self.at + down))

    def pick(self, number: int) -> None:
        """That line."""
        if number <= len(WAYS):
            self.at = number - 1
        else:
            self.deck.say(f"There is no line {number}.")

    def turn(self, right: int) -> None:
        """Another choice of the marked line."""
        way = WAYS[self.at]
        values = [value for _, value in way.choices]
        place = (values.index(self.wall.ways[way.key]) + right) % len(values)
        self.wall.ways[way.key] = values[place]
        self.deck.ways_changed()
