"""All pages of the program, by name; each is loaded when it is first shown, so that the first picture does not wait."""

from collections.abc import Iterator, Mapping
from importlib import import_module

from tui.screens.page import Deck, Page

WHERE: Mapping[str, tuple[str, str]] = {
    "morning": ("morning", "Morning"),
    "rooms": ("rooms", "Rooms"),
    "clocks": ("clocks", "Clocks"),
    "pull": ("pull", "PullPage"),
    "evening": ("evening", "Evening"),
    "days": ("days", "Days"),
    "air": ("air", "AirPage"),
    "who": ("who", "Who"),
    "job": ("job", "JobPage"),
    "add": ("add_room", "AddRoom"),
    "new": ("new_job", "NewJob"),
    "own": ("ways_own", "OwnWays"),
    "steps": ("room_steps", "RoomSteps"),
    "labels": ("labels", "Labels"),
    "found": ("found", "Found"),
    "step": ("step", "StepPage"),
    "late": ("late", "Late"),
    "stuck": ("stuck", "Stuck"),
    "away": ("away", "Away"),
    "time": ("which_time", "WhichTime"),
    "help": ("help", "Help"),
    "start": ("start", "Start"),
}
"""Page -> its module in this package and its class there."""


class Book(Mapping[str, Page]):
    """One of each page, made when it is first asked for."""

    def __init__(self, deck: Deck) -> None:
        self._deck = deck
        self._made: dict[str, Page] = {}

    def __getitem__(self, name: str) -> Page:
        if name not in self._made:
            module, kind = WHERE[name]
            made: Page = getattr(import_module(f"tui.screens.{module}"), kind)(self._deck)
            self._made[name] = made
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        return iter(WHERE)

    def __len__(self) -> int:
        return len(WHERE)
