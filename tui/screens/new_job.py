"""New job: six questions, each with an answer filled in; then the first room. No editor is needed."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from planning.job.hours import local
from planning.records.site_zone import zone_here
from tui.screens import new_job_words as words
from tui.screens.number_line import text_line
from tui.screens.page import Deck, Page
from tui.widgets.lines import Line, both_ends, line, texts
from tui.words import shorten, wrap

LABEL = 22
REACHED = ("ask me room by room", "every room from outside", "each from the room before")
AIMS = (("job done soonest", "finish"), ("fewest trips", "visits"), ("widest margins", "margin"))
NAME, HOURS, WHO, GEAR, REACH, AIM = range(6)
LABELS = ("Name of the job", "Work hours", "Who works", "Mixers, wet saws", "Reached how", "What matters most")
WHY = (
    "Its file gets the same name. It is written with the first room.",
    f"Write it as {words.HOURS_HOW}.",
    f"Write {words.WHO_HOW}. A helper carries, tears out, preps, mixes, primes and grouts.",
    "A pour of 5 bags or more needs two mixers, or the first bag sets before the last is poured.",
    "Which floor you must cross to get into a room: a green one keeps you out. Left, right change it.",
    "What a plan is to be best at. Own ways changes it later. Left, right change it.",
)


class NewJob(Page):
    """The page. Answers are kept when it is left; the file is written with the first room."""

    name = "new"
    dry = True

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.folder = Path.cwd()
        self.called = "my job"
        self.path: Path | None = None
        """The file that was named on the command line; else it is called like the job."""
        self.hours = words.USUAL
        self.who = words.read_who("1") or []
        self.gear = (1, 1)
        self.reach = 0
        self.aim = 0
        self.wrong = ""
        """What is not clear in the last answer, and how to write it."""

    def opened(self) -> None:
        """The first question is up at once."""
        self._ask()

    def answers(self) -> list[str]:
        """The six answers as they stand."""
        return [self.called, self.hours.words(), words.who_words(self.who), words.gear_words(*self.gear),
                REACHED[self.reach], AIMS[self.aim][0]]  # fmt: skip

    # Painting

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The six lines, and why the marked one is asked."""
        right = line(f"question {self.at + 1} of {len(LABELS)}")
        made = [both_ends(line(("Six questions. ENTER takes what is shown.", "bold")), right, width), ()]
        asked = self.deck.question
        for n, (label, said) in enumerate(zip(LABELS, self.answers(), strict=True)):
            typed = f"{asked.typed}_" if n == self.at and asked is not None and asked.typed else said
            room = width - LABEL - 5
            shown = typed[-room:] if typed.endswith("_") else shorten(typed, room)
            text = f"{'>' if n == self.at else ' '} {n + 1}  {label:<{LABEL}}{shown}"
            made.append(line((text[:width], "mark" if n == self.at else "")))
        if self.wrong:
            made += [(), *[line((f"  {row}", "alarm")) for row in wrap(self.wrong, width - 4)]]
        made += [(), *texts(f"  {row}" for row in wrap(WHY[self.at], width - 4)), ()]
        return [*made, *texts([f"  The clock here: {self._zone()}. File: {self._file().name}"])][:height]

    def space_words(self) -> str | None:
        """SPACE goes on, as ENTER does."""
        return "next" if self.at < AIM else "to the first room"

    def _zone(self) -> str:
        return zone_here(self.wall.clock.wall())

    def _file(self) -> Path:
        if self.path is not None:
            return self.path
        plain = "-".join("".join(c if c.isalnum() else " " for c in self.called.lower()).split()) or "my-job"
        tried = [f"{plain}.toml", *(f"{plain}-{n}.toml" for n in range(2, 100))]
        return self.folder / next((each for each in tried if not (self.folder / each).exists()), tried[-1])

    # Keys

    def space(self) -> bool:
        """As ENTER."""
        self.enter()
        return True

    def enter(self) -> None:
        """Take what is shown, and go on."""
        self._next()

    def escape(self) -> None:
        """Back; the answers are kept."""
        self.deck.back()

    def move(self, down: int) -> None:
        """Another question."""
        self.at, self.wrong = max(0, min(len(LABELS) - 1, self.at + down)), ""
        self._ask()

    def pick(self, number: int) -> None:
        """One of the answers to choose from, or that question."""
        if self.at == REACH and number <= len(REACHED):
            self.reach = number - 1
        elif self.at == AIM and number <= len(AIMS):
            self.aim = number - 1
        elif number <= len(LABELS):
            self.at = number - 1
            self._ask()

    def turn(self, right: int) -> None:
        """Another of the answers to choose from."""
        if self.at == REACH:
            self.reach = (self.reach + right) % len(REACHED)
        elif self.at == AIM:
            self.aim = (self.aim + right) % len(AIMS)

    def _ask(self, typed: str = "") -> None:
        takes: dict[int, Callable[[str], None]] = {
            NAME: self._name, HOURS: self._hours, WHO: self._who, GEAR: self._gear,
        }  # fmt: skip
        if self.at in takes:
            said = self.answers()[self.at]
            asks = f"{LABELS[self.at]} ({shorten(said, 40)}):"
            self.deck.ask(text_line(asks, takes[self.at], filled=said, typed=typed))

    def _next(self) -> None:
        self.wrong = ""
        if self.at < AIM:
            self.at += 1
            self._ask()
        else:
            self.wall.ways["reach"] = "before" if self.reach == len(REACHED) - 1 else "outside"
            self.deck.begin_job(self._file(), self.tables())
            self.deck.go("add")

    def _name(self, text: str) -> None:
        self.called = text
        self._next()

    def _hours(self, text: str) -> None:
        self._take(words.read_hours(text, self.hours), text, words.HOURS_HOW, "hours")

    def _who(self, text: str) -> None:
        found = self.who if text == words.who_words(self.who) else words.read_who(text)
        self._take(found, text, words.WHO_HOW, "who")

    def _gear(self, text: str) -> None:
        self._take(words.read_gear(text), text, words.GEAR_HOW, "gear")

    def _take(self, found: object, text: str, how: str, name: str) -> None:
        if found is None:
            self.wrong = f'"{text}" is not clear. Write {how}.'
            self._ask(text)
            return
        setattr(self, name, found)
        self._next()

    # What is written

    def tables(self) -> dict[str, Any]:
        """The job's tables, without a room yet."""
        zone = self._zone()
        today = local(ZoneInfo(zone), self.wall.now()).date()
        return {
            "job": {"name": self.called, "zone": zone, "start": self.hours.next_day(today).isoformat(),
                    "aim": AIMS[self.aim][1]},
            "hours": self.hours.table(),
            "person": words.person_tables(self.who),
            "gear": {"mixers": self.gear[0], "saws": self.gear[1]},
        }  # fmt: skip
