"""F1: every key, made from the table of commands; then every word."""

from collections.abc import Sequence

from tui.commands import COMMANDS, EVERYWHERE, GO, KEY_CAPS, PAGE_TITLES, Command, local_commands
from tui.screens.head import space_words
from tui.screens.page import Deck, Page
from tui.widgets.lines import Line, line, plain, texts
from tui.words import MARKS, STATE_HELP, STATE_WORDS, WINDOW_HELP, WINDOW_WORDS

HIDDEN = frozenset(("up", "down", *(f"pick-{n}" for n in range(2, 10))))


class Help(Page):
    """The page of keys; F1 again shows the words."""

    name = "help"

    def __init__(self, deck: Deck) -> None:
        super().__init__(deck)
        self.words = False
        self.of = "morning"

    def lines(self, width: int, height: int) -> Sequence[Line]:
        """The part of the page that fits, from the row gone to."""
        made = word_lines() if self.words else self._keys(width)
        self.at = max(0, min(self.at, len(made) - height))
        shown = list(made[self.at : self.at + height])
        if self.at + height < len(made) and shown:
            shown[-1] = line(("up, down: more", "dim"))
        return shown

    def _keys(self, width: int) -> list[Line]:
        here = local_commands(self.of)
        made = [line(("KEYS", "head"), "   big or small letters are the same. Nothing needs a mouse.")]
        if here:
            name = PAGE_TITLES.get(self.of, self.of).upper()
            made += [(), line((f"HERE, {name}", "head")), *columns([key_line(each) for each in here], width)]
        made += [(), line(("GO TO", "head")), *columns([key_line(each) for each in COMMANDS if each.page == GO], width)]
        common = [each for each in COMMANDS if each.page == EVERYWHERE and each.id not in HIDDEN]
        made += [(), line(("ANYWHERE", "head")), *columns([key_line(each) for each in common], width)]
        made += [
            (),
            line(
                ("A NUMBER", "head"),
                "  4 is 40 min.  45 is 45 min.  145 is at 1:45.  left, right: 5 min.",
            ),
        ]
        said = space_words(self.deck.wall, width)
        made += [(), line(("NOW", "head"), f"  SPACE: {said}")] if said else []
        made += [(), line(("MARKS", "head"), "  " + "   ".join(f"{mark} {what}" for mark, what in MARKS[:5]))]
        made += [line("       " + "   ".join(f"{mark} {what}" for mark, what in MARKS[5:]))]
        return [*made, (), line(("F1 again: what READY, HOLD, CLOSING and the other words mean", "dim"))]

    def space_words(self) -> str | None:
        """SPACE is not for here."""
        return ""

    def space(self) -> bool:
        """Back, so that nothing is started unseen."""
        self.deck.back()
        return True

    def enter(self) -> None:
        """Back."""
        self.deck.back()

    def move(self, down: int) -> None:
        """Scroll."""
        self.at = max(0, self.at + down)

    def again(self) -> None:
        """F1 on this page: words, or keys again."""
        self.words = not self.words
        self.at = 0


def key_line(command: Command) -> Line:
    """One key and what it does."""
    cap = "1-9" if command.id == "pick-1" else KEY_CAPS.get(command.key, command.cap)
    name = f"{PAGE_TITLES[command.id[3:]]}: " if command.page == GO else ""
    return line("  ", (f"{cap:<7}", "key"), name + command.help)


def columns(rows: list[Line], width: int) -> list[Line]:
    """Rows side by side where two fit whole, else one below the other."""
    longest = max((len(plain(each)) for each in rows), default=0)
    if 2 * longest + 4 > width:
        return rows
    half = -(-len(rows) // 2)
    made = []
    for n in range(half):
        gap = " " * (longest + 4 - len(plain(rows[n])))
        made.append(rows[n] if n + half >= len(rows) else (*rows[n], (gap, ""), *rows[n + half]))
    return made


def word_lines() -> list[Line]:
    """Every word for how a step and a window stand."""
    made = [line(("WORDS", "head"), "   how a step stands"), ()]
    made += [line("  ", (f"{STATE_WORDS[state]:<9}", "bold"), said) for state, said in STATE_HELP.items()]
    made += [(), line(("WINDOWS", "head"), "   from early to late"), ()]
    made += [line("  ", (f"{WINDOW_WORDS[state]:<9}", "bold"), said) for state, said in WINDOW_HELP.items()]
    return [*made, (), *texts(["START BY is the latest safe start. loose: no window and nothing fixed hangs on it.",
                               "CAPITALS: hands are busy. small letters: the stuff is busy."])]  # fmt: skip
