"""Own ways: how it works for you. What plans depend on is in the job file, how the screen behaves in the record."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from planning.job.events import Event, effective
from tui.job_text import why_not_written
from tui.screens.page import Deck, RowsPage, window_of
from tui.widgets.lines import Line, line, texts
from tui.words import as_many, wrap


@dataclass(frozen=True, slots=True)
class Way:
    """One thing that can be set: its key, what it is called, what it can be (the first is what holds unsaid).

    `of_job`: a key of the job file's [job] table; else one of `wall.ways`.
    """

    key: str
    name: str
    choices: tuple[tuple[str, Any], ...]
    of_job: bool = False


WAYS: tuple[Way, ...] = (
    Way("aim", "What matters most",
        (("job done soonest", "finish"), ("fewest trips", "visits"), ("widest margins", "margin")), of_job=True),
    Way("units", "Sizes", (("feet and inches", "imperial"), ("metric", "metric")), of_job=True),
    Way("bell", "Bell", (("open, closing, shut", "all"), ("closing, shut", "late"), ("off", "off"))),
    Way("again", "Bell again", (("every 5 min till heard", 5), ("every 1 min", 1), ("once", 0))),
    Way("warm_opens_early", "Warm room opens soon",
        (("no, label is the least", False), ("yes, down to the low number", True)), of_job=True),
    Way("flood_hold", "Flood test",
        (("24 h", "24 h"), ("15 min, by the code here", "15 min"), ("48 h", "48 h"), ("72 h", "72 h")), of_job=True),
    Way("quiet", "Double-press guard", (("0.7 s", 0.7), ("1 s", 1.0), ("1.5 s", 1.5))),
    Way("theme", "Screen", (("as the terminal", "auto"), ("dark", "mud-dark"), ("light", "mud-light"),
                            ("strong contrast", "mud-strong"))),
    Way("reach", "A new room is reached", (("from outside", "outside"), ("from the room before", "before"))),
)  # fmt: skip
OF_SCREEN = tuple(way for way in WAYS if not way.of_job)


def known_ways(kept: object) -> dict[str, Any]:
    """The ways kept from last time, with the first choice for whatever is not kept or not known any more."""
    table = kept if isinstance(kept, dict) else {}
    found = {}
    for way in OF_SCREEN:
        values = [value for _, value in way.choices]
        found[way.key] = table.get(way.key) if table.get(way.key) in values else values[0]
    return found


def noted_ways(events: Iterable[Event]) -> object:
    """The ways last noted in the record; None when none were."""
    noted = [event for event in effective(events) if event.kind == "ways"]
    return dict(noted[-1].body.get("value") or {}) if noted else None


class OwnWays(RowsPage[Way]):
    """The page."""

    name = "own"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self._of_job: dict[str, str] = {}

    def opened(self) -> None:
        """What the job file says now."""
        from tui.job_text import job_value

        path = self.wall.job_path
        self._of_job = {way.key: job_value(path, "job", way.key, str(way.choices[0][1])) for way in WAYS if way.of_job}

    def rows(self) -> Sequence[Way]:
        """Everything that can be set."""
        return WAYS

    def _place(self, way: Way) -> int:
        """Which choice holds; -1 for something else that the file says."""
        said = self._of_job.get(way.key, "") if way.of_job else str(self.wall.ways.get(way.key))
        values = [str(value).lower() for _, value in way.choices]
        return values.index(said.lower()) if said.lower() in values else -1

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """What is set, and what it can be instead."""
        made: list[Line] = [(), line(("OWN WAYS", "head"), "   how it works for you"), ()]
        made.append(line((f"     {'WHAT':<23}{'NOW':<28}CAN ALSO BE"[:width], "dim")))
        first, last = window_of(len(WAYS), self.at, max(1, height - len(made) - 3))
        for n in range(first, last):
            way, place = WAYS[n], self._place(WAYS[n])
            now = way.choices[place][0] if place >= 0 else self._of_job.get(way.key, "")
            said = as_many([name for k, (name, _) in enumerate(way.choices) if k != place], max(8, width - 56))
            text = f"{'>' if n == self.at else ' '}{n + 1:>2}  {way.name:<23}{now:<28}{said}"
            made.append(line((text[:width], "mark" if n == self.at else "")))
        path = "the job file" if self.wall.job_path is None else self.wall.job_path.name
        jobs = ", ".join(str(n) for n, way in enumerate(WAYS, 1) if way.of_job)
        said = f"{jobs} are kept in {path}, the others in the record beside it. Left, right change."
        return [*made, (), *texts(wrap(said, width))][:height]

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

    def turn(self, right: int) -> None:
        """Another choice of the marked line."""
        way = WAYS[self.at]
        name, value = way.choices[(self._place(way) + right) % len(way.choices)]
        if not way.of_job:
            self.wall.ways[way.key] = value
            self.deck.ways_changed()
            return
        edit = {"do": "set", "path": ["job", way.key], "value": value}
        self.deck.change([edit], "", lambda tried: self._kept(way, name, value, tried))

    def _kept(self, way: Way, name: str, value: Any, tried: dict[str, Any]) -> None:
        if not tried.get("written"):
            self.deck.say(f"Not kept: {why_not_written(tried)}")
            return
        self._of_job[way.key] = str(value).lower()
        self.deck.say(f"{way.name}: {name}. A new plan is being made.")
        self.deck.read_again()
