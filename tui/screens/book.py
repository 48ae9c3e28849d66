"""All pages of the program, by name."""

from tui.screens.air import AirPage
from tui.screens.clocks import Clocks
from tui.screens.days import Days
from tui.screens.evening import Evening
from tui.screens.help import Help
from tui.screens.job import JobPage
from tui.screens.late import Late
from tui.screens.morning import Morning
from tui.screens.page import Deck, Page
from tui.screens.pull import PullPage
from tui.screens.rooms import Rooms
from tui.screens.start import Start
from tui.screens.step import StepPage
from tui.screens.stuck import Stuck
from tui.screens.who import Who

PAGE_CLASSES: tuple[type[Page], ...] = (
    Morning, Rooms, Clocks, PullPage, Evening, Days, AirPage, Who, JobPage, StepPage, Late, Stuck, Help, Start,
)  # fmt: skip


def make_pages(deck: Deck) -> dict[str, Page]:
    """One of each page."""
    return {each.name: each(deck) for each in PAGE_CLASSES}
