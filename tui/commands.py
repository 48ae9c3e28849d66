"""Every key of the program, once: from here come the bottom line, the palette, the help page and the README's table.

Run `python -m tui.commands` for the table as Markdown.
"""

from dataclasses import dataclass

EVERYWHERE = "everywhere"
GO = "go"


@dataclass(frozen=True, slots=True)
class Command:
    """One thing a key does. `page`: where it does it (a page's name, "everywhere" or "go").

    `label`: two or three words for the bottom line, "" to leave it out there. `wide`: in the bottom line from 100
    columns only. `twice`: may be pressed again at once (moving about); all else waits until the key was quiet.
    """

    id: str
    key: str
    page: str
    label: str
    help: str
    wide: bool = False
    twice: bool = False
    short: str = ""
    """The label where there is little room; "" for the same."""

    @property
    def cap(self) -> str:
        """The key as it is written on a screen: SPACE, L, F1, left."""
        return KEY_CAPS.get(self.key, self.key.upper())


KEY_CAPS = {"escape": "ESC", "left": "left", "right": "right", "up": "up", "down": "down", "backspace": "BACKSPACE",
            "pageup": "page up", "pagedown": "page down"}  # fmt: skip

PAGES: tuple[tuple[str, str, str], ...] = (
    ("morning", "m", "what to do first, and by when each thing must start"),
    ("rooms", "r", "which floor is wet, which is free, who is where"),
    ("clocks", "c", "how long have I got"),
    ("pull", "p", "what to carry in, and what is short"),
    ("evening", "e", "what to tell them tonight"),
    ("days", "d", "on which day each room is done"),
    ("air", "a", "will it dry"),
    ("who", "w", "who is here, who comes, who left"),
    ("job", "j", "which rooms, which work, what sizes"),
    ("own", "o", "how the screen works for you"),
)
"""(page, key, the question it answers), in the order of a day. The first five are in the bottom line."""

PAGE_TITLES = {"morning": "morning", "rooms": "rooms", "clocks": "clocks", "pull": "pull-list", "evening": "evening",
               "days": "days", "air": "air", "who": "who", "job": "job", "own": "own ways",
               "time": "which time"}  # fmt: skip
DAILY_PAGES = 5

NO_LOCAL_KEY = "mrcpedawjolbtuhnq"
"""Letters that mean the same on every page and are never a page's own."""

COMMANDS: tuple[Command, ...] = (
    *(Command(f"go-{name}", key, GO, PAGE_TITLES[name], asks) for name, key, asks in PAGES),
    Command("space", "space", EVERYWHERE, "", "starts the marked step; when it runs, finishes it"),
    Command("enter", "enter", EVERYWHERE, "look closer", "look closer, or take what is shown", short="look"),
    Command("escape", "escape", EVERYWHERE, "", "I heard it, if a bell rings; else back"),
    Command("late", "l", EVERYWHERE, "late", "this step runs late: type how much"),
    Command("tacky", "t", EVERYWHERE, "tacky", "still tacky: look again in 30 min"),
    Command("really", "b", EVERYWHERE, "B really at", "it really started, or ended, at another time", wide=True),
    Command("undo", "u", EVERYWHERE, "undo", "take back the last thing"),
    Command("redo", "h", EVERYWHERE, "", "have the undone thing back"),
    Command("note", "n", EVERYWHERE, "", "a note or a photo's name on this step"),
    Command("help", "f1", EVERYWHERE, "", "this page"),
    Command("quit", "q", EVERYWHERE, "", "leave; all is saved"),
    Command("up", "up", EVERYWHERE, "", "the line above", twice=True),
    Command("down", "down", EVERYWHERE, "", "the line below", twice=True),
    Command("left", "left", EVERYWHERE, "", "less, before, sooner", twice=True),
    Command("right", "right", EVERYWHERE, "", "more, after, later", twice=True),
    *(
        Command(f"pick-{n}", str(n), EVERYWHERE, "", "mark that line", twice=True)
        for n in range(1, 10)
    ),
    Command("morning-done", "y", "morning", "show done", "show what is done too", wide=True),
    Command("morning-first", "f", "morning", "first ready", "mark the first line that is ready", wide=True),
    Command("rooms-zoom", "z", "rooms", "zoom", "half a day, a day, or days across"),
    Command("rooms-now", "f", "rooms", "find now", "back to now"),
    Command("days-zoom", "z", "days", "zoom", "back to a day by the hour"),
    Command("days-today", "f", "days", "today", "back to today"),
    Command("clocks-bucket", "s", "clocks", "bucket clock", "water is in the next bucket: its clock starts"),
    Command("clocks-stop", "x", "clocks", "stop it", "stop the bucket's clock: it is used up, or thrown away"),
    Command("clocks-far", "f", "clocks", "far", "big figures for ten feet away"),
    Command("clocks-which", "k", "clocks", "", "say which time is right, after the computer's clock was set"),
    Command("time-take", "enter", "time", "take it", "take the marked time for the right one"),
    Command("pull-room", "k", "pull", "tick the room", "tick everything of this room"),
    Command("pull-has", "v", "pull", "van has", "count what the van has of the marked line"),
    Command("pull-run", "s", "pull", "supply run", "fit a drive for what is short into a wait"),
    Command("pull-used", "i", "pull", "", "how much of it was really used"),
    Command("pull-swap", "x", "pull", "", "use another class in place of the marked one"),
    Command("pull-day", "g", "pull", "next day", "the day after, and back to today"),
    Command("evening-save", "enter", "evening", "save the note", "write the note beside the job file"),
    Command("evening-sheets", "f", "evening", "stay-off sheets", "write a sheet for every door"),
    Command("evening-calendar", "i", "evening", "phone calendar", "write a calendar file for the phone"),
    Command("evening-long", "v", "evening", "next note", "the owner's note, the same long, the contractor's note"),
    Command("evening-leave", "k", "evening", "drive off", "what to see to before you drive off: SPACE ticks it"),
    Command("late-take", "enter", "late", "take it", "take the marked choice"),
    Command("late-keep", "escape", "late", "keep the old plan", "keep the old plan, whatever it breaks"),
    Command("job-add", "i", "job", "add room", "add a room to the job"),
    Command("job-copy", "k", "job", "copy", "a new room like the marked one"),
    Command("job-drop", "x", "job", "drop", "take the marked room out of the job: press it twice"),
    Command("job-steps", "v", "job", "steps", "the room's steps: leave one out, change its time"),
    Command("job-label", "g", "job", "label numbers", "type what your own bag says"),
    Command("late-why", "y", "late", "each step's why", "why each step moves, in full"),
    Command("step-wrong", "k", "step", "K wrong here", "something is wrong: damage, a leak, walked on", wide=True),
    Command("step-hold", "x", "step", "hold", "hold this step till told; again, go on", wide=True),
    Command("step-gauge", "v", "step", "", "a film gauge reading"),
    Command("step-extra", "i", "step", "", "extra work the owner said yes to"),
    Command("step-label", "g", "step", "G label", "type what the label of its stuff says", wide=True),
    Command("who-gone", "g", "who", "gone", "the marked one left: now, or type when"),
    Command("who-stay", "k", "who", "stay till", "we stay later today"),
    Command("who-run", "s", "who", "supply run", "fit a drive for what is short into a wait"),
    Command("who-failed", "x", "who", "", "the marked visit did not pass, or nobody came"),
    Command("who-out", "y", "who", "", "power, water or heat is out; again, it is back"),
    Command("who-add", "i", "who", "add", "add somebody who works here"),
    Command("who-visit", "v", "who", "move visit", "the marked or the next visit is at another time"),
    Command("air-read", "g", "air", "read the air", "type what the meter says, air, RH, floor"),
    Command("air-same", "k", "air", "same in all", "the marked room's reading for every room"),
)  # fmt: skip

ONLY_LISTED_ONCE = {f"pick-{n}" for n in range(2, 10)}


def find(key: str, page: str) -> Command | None:
    """What a key does on a page: the page's own meaning before the common one; None when it means nothing there."""
    small = key.lower()
    found = [each for each in COMMANDS if each.key == small and each.page in (page, EVERYWHERE, GO)]
    return min(found, key=lambda each: each.page != page, default=None)


def local_commands(page: str) -> list[Command]:
    """The keys that only this page has."""
    return [each for each in COMMANDS if each.page == page]


def rows(page: str | None = None) -> list[tuple[str, str, str]]:
    """(key, where, what it does) of every command, or of one page's own, as help and README list them."""
    listed = [each for each in COMMANDS if each.id not in ONLY_LISTED_ONCE and page in (None, each.page)]
    return [("1-9" if each.id == "pick-1" else each.cap, where(each), each.help) for each in listed]


def where(command: Command) -> str:
    """On which page a command works, in words."""
    if command.page == GO:
        return "go to " + command.label
    return command.page if command.page == EVERYWHERE else PAGE_TITLES.get(command.page, command.page)


def markdown() -> str:
    """The table of keys for the README."""
    lines = ["| Key | Where | What it does |", "|---|---|---|"]
    lines += [f"| `{key}` | {place} | {said} |" for key, place, said in rows()]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(markdown(), end="")
