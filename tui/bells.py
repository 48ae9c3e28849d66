"""Which windows ring, when the bell goes, and what "I heard it" stops. Told by the clock, never counted down."""

from collections.abc import Iterable

from planning.job.events import Event, effective
from planning.job.words import Instant, Minutes
from tui.running import Running

AGAIN_MIN: Minutes = 5
"""CLOSING and SHUT ring again so often till heard."""
BELLS = {"open": 1, "closing": 1, "shut": 3}


def ring_key(each: Running) -> str:
    """What a heard bell is known by: the step, the window and how it stands. A worse state rings anew."""
    return f"{each.step.id}|{each.what}|{each.state}"


def rings(runs: Iterable[Running], now: Instant) -> list[Running]:
    """Of the windows that run, those that ring now: with an end and open or worse, or just opened."""
    return [
        each
        for each in runs
        if each.state in BELLS and each.what != "walk"
        and (each.shuts is not None or (each.opens is not None and now - each.opens < AGAIN_MIN))
    ]  # fmt: skip


class Bells:
    """Remembers what rang and what was heard."""

    def __init__(self) -> None:
        self._rang: dict[str, Instant] = {}
        self.heard: set[str] = set()
        self.again_min = AGAIN_MIN
        """CLOSING and SHUT ring again after so many minutes; 0: they ring once."""
        self.wanted = "all"
        """Which bells: "all", "late" (CLOSING and SHUT only), "off"."""

    def read(self, events: Iterable[Event]) -> None:
        """What was heard before, by the record."""
        self.heard |= {str(e.body.get("value", "")) for e in effective(events) if e.kind == "heard"}

    def unheard(self, runs: Iterable[Running], now: Instant) -> list[Running]:
        """What rings and nobody heard."""
        return [each for each in rings(runs, now) if ring_key(each) not in self.heard]

    def due(self, runs: Iterable[Running], now: Instant) -> int:
        """How many strokes of the bell are due now, for all that ring together; 0 for none."""
        strokes = 0
        for each in self.unheard(runs, now):
            last = self._rang.get(ring_key(each))
            again = each.state != "open" and self.again_min and last is not None and now - last >= self.again_min
            if last is None or again:
                self._rang[ring_key(each)] = now
                strokes = max(strokes, BELLS[each.state] if self._wants(each) else 0)
        return strokes

    def _wants(self, each: Running) -> bool:
        return self.wanted == "all" or (self.wanted == "late" and each.state != "open")

    def hear(self, runs: Iterable[Running], now: Instant) -> list[tuple[str, str]]:
        """Somebody heard it: (step, key) of everything that rang, for the record."""
        found = [(each.step.id, ring_key(each)) for each in self.unheard(runs, now)]
        self.heard |= {key for _, key in found}
        return found
