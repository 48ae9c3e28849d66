"""All pages of the program, by name."""

from tui.screens.help import Help
from tui.screens.late import Late
from tui.screens.morning import Morning
from tui.screens.page import Deck, Page
from tui.screens.rooms import Rooms
from tui.screens.start import Start
from tui.screens.step import StepPage
from tui.screens.stuck import Stuck

PAGE_CLASSES: tuple[type[Page], ...] = (Morning, Rooms, StepPage, Late, Stuck, Help, Start)


def make_pages(deck: Deck) -> dict[str, Page]:
    """One of each page."""
    return {each.name: each(deck) for each in PAGE_CLASSES}
