"""The number line: one digit is tens of minutes, two are minutes, three or four a clock time; arrows 5 minutes."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from planning.job.hours import local
from planning.job.words import Instant, Minutes
from planning.quantities.show import show_minutes, show_moment, show_wall

Counts = Literal["late", "ago", "from", "at", "text"]
"""Minutes later than `base`, before now, from now; a clock time on or after `base`; or free words."""
HALF_DAY = timedelta(hours=12)
FIRST_HOUR = 7
NOON = 12


@dataclass
class NumberLine:
    """One question on the line above the bottom. `take` gets the instant (or the text) that was meant."""

    asks: str
    counts: Counts
    base: Instant
    zone: ZoneInfo
    take: Callable[[Instant], None]
    take_text: Callable[[str], None] | None = None
    typed: str = ""
    nudge: Minutes = 0
    day: int = 0
    filled: str = ""
    """The answer that ENTER takes when nothing is typed (free words only)."""

    def key(self, key: str, character: str | None) -> None:
        """A key while the line is open: digits, arrows, backspace; letters only where words are asked."""
        if key == "backspace":
            self.typed = self.typed[:-1]
        elif self.counts == "text":
            if character is not None and character.isprintable():
                self.typed += character
        elif key in ("left", "right"):
            self.nudge += 5 if key == "right" else -5
        elif key in ("up", "down") and self.counts in ("ago", "from", "at"):
            self.day += 1 if key == "down" else -1
        elif character is not None and character.isdigit() and len(self.typed) < 4:
            # What is filled in counts until the first digit.
            self.nudge = self.nudge if self.typed or self.counts != "at" else 0
            self.typed += character

    def value(self) -> Instant | None:
        """The instant that is meant, None while it is not one."""
        minutes = self._minutes()
        if minutes is not None:
            return self.base + (-minutes if self.counts == "ago" else minutes) + self.day * 24 * 60
        if not self.typed:
            return self.base + self.nudge + self.day * 24 * 60
        return self._clock()

    def _minutes(self) -> Minutes | None:
        """One or two digits as minutes; for a clock time they are hours instead."""
        if not self.typed or len(self.typed) > 2 or self.counts == "at":
            return None
        count = int(self.typed) * (10 if len(self.typed) == 1 else 1)
        return count - self.nudge if self.counts == "ago" else count + self.nudge

    def _clock(self) -> Instant | None:
        digits = self.typed if len(self.typed) > 2 else self.typed + "00"
        hour, minute = int(digits[:-2]), int(digits[-2:])
        if hour > 23 or minute > 59:
            return None
        start = local(self.zone, self.base).replace(hour=0, minute=0) + timedelta(days=self.day)
        morning = start.replace(hour=hour % 12 if hour <= 12 else hour, minute=minute)
        tried = [morning, morning + HALF_DAY] if hour <= 12 else [morning]
        found = [int(each.timestamp() // 60) for each in tried]
        if self.counts == "at":
            # Of the two a day, the one at which people come: seven in the morning to half past six.
            return found[-1 if hour < FIRST_HOUR or hour == NOON else 0] + self.nudge
        if self.counts == "ago":
            past = [each for each in found if each <= self.base + self.day * 24 * 60]
            return (max(past) if past else min(found)) + self.nudge
        ahead = [each for each in found if each >= self.base]
        return (min(ahead) if ahead else max(found)) + self.nudge

    def reads_back(self) -> str:
        """What the line is taken for, before it is taken."""
        if self.counts == "text":
            return ""
        meant = self.value()
        if meant is None:
            return "not a time: 4 is 40 min, 45 is 45 min, 145 is 1:45"
        far = local(self.zone, meant).date() != local(self.zone, self.base).date()
        clock = show_moment(meant, self.zone) if far else show_wall(local(self.zone, meant))
        if self.counts == "late":
            away = meant - self.base
            return f"{show_minutes(away)} later = {clock}" if away >= 0 else f"{show_minutes(-away)} sooner = {clock}"
        if self.counts == "from":
            return "now" if meant == self.base else f"in {show_minutes(meant - self.base)} = {clock}"
        if self.counts == "ago":
            away = self.base - meant
            return f"{show_minutes(away)} ago = {clock}" if away >= 0 else f"in {show_minutes(-away)} = {clock}"
        return f"= {clock}"

    def text(self) -> str:
        """The whole line as shown."""
        return f"{self.asks}  {self.typed}_   {self.reads_back()}".rstrip()

    def enter(self) -> bool:
        """ENTER: hand over what is meant. False when it is not clear yet."""
        if self.counts == "text":
            said = self.typed.strip() or self.filled
            if self.take_text is None or not said:
                return False
            self.take_text(said)
            return True
        meant = self.value()
        if meant is None:
            return False
        self.take(meant)
        return True


def text_line(asks: str, take: Callable[[str], None], filled: str = "", typed: str = "") -> NumberLine:
    """A question for free words; ENTER alone takes what is filled in."""
    return NumberLine(asks, "text", 0, ZoneInfo("UTC"), lambda _: None, take, typed, filled=filled)
