"""The answers of a new job as people type them, turned into the tables of a job file. None is for what is not clear."""

import re
from dataclasses import dataclass
from datetime import date, timedelta

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
HELPER_CAN = ("carry", "tear-out", "prep", "mix", "prime", "grout")
HELPER = "helper"
YOU = "you"
HOURS_HOW = "Mon to Fri, 7:00 to 3:30, eat 12:00 for 30 min"
WHO_HOW = "1 for you and a helper, 0 for you alone, or names: you, helper, Sam"
GEAR_HOW = "1 mixer, 1 saw"
NOON = 12
AFTERNOON = 13 * 60
"""From this minute on a start is said with pm: bare, it would be read as one in the morning."""

_DAY = rf"({'|'.join(DAYS)})[a-z]*"
_TIME = r"(\d{1,2})(?::(\d\d))?\s*(am|pm)?"


@dataclass(frozen=True, slots=True)
class Hours:
    """Working hours of a week on the wall's clock, in minutes after midnight; `eat` None: no meal."""

    first: int
    last: int
    start: int
    end: int
    eat: int | None
    eat_min: int

    def words(self) -> str:
        """As the setter reads it."""
        days = DAY_NAMES[self.first] + (f" to {DAY_NAMES[self.last]}" if self.last != self.first else "")
        eat = f", eat {_wall(self.eat)} for {self.eat_min} min" if self.eat is not None else ", no meal"
        start, end = _wall(self.start), _wall(self.end)
        if self.start >= AFTERNOON:
            start, end = f"{start} pm", f"{end} pm"
        return f"{days}, {start} to {end}{eat}"

    def table(self) -> dict[str, str]:
        """As the job file has it."""
        days = DAYS[self.first] + (f"-{DAYS[self.last]}" if self.last != self.first else "")
        found = {"days": days, "from": _clock(self.start), "to": _clock(self.end)}
        return {**found, "eat": f"{_clock(self.eat)} {self.eat_min} min"} if self.eat is not None else found

    def next_day(self, today: date) -> date:
        """Today when it is worked, else the next day that is."""
        span = range(7)
        return next(day for n in span if self.works(day := today + timedelta(days=n)))

    def works(self, day: date) -> bool:
        """Is that weekday worked?"""
        return (day.weekday() - self.first) % 7 <= (self.last - self.first) % 7


USUAL = Hours(0, 4, 7 * 60, 15 * 60 + 30, 12 * 60, 30)


def read_hours(text: str, known: Hours = USUAL) -> Hours | None:
    """`Mon to Sat, 7 to 4, eat 12 for 30 min`; what is left out stays as known. None when it is not clear."""
    said = text.lower().replace(".", ":")
    days = [DAYS.index(each) for each in re.findall(_DAY, said)]
    worked, _, meal = said.partition("eat")
    spans = re.findall(rf"{_TIME}\s*(?:to|-)\s*{_TIME}", worked)
    if not (days or spans or meal) or len(days) > 2 or len(spans) > 1:
        return None
    first, last = (days[0], days[-1]) if days else (known.first, known.last)
    start, end = known.start, known.end
    if spans:
        start, end = _minute(*spans[0][:3]), _minute(*spans[0][3:])
        end += 12 * 60 if end <= start and end < 12 * 60 else 0
    eat, eat_min = known.eat, known.eat_min
    if meal:
        found = re.search(rf"{_TIME}(?:\D+(\d+)\s*min)?", meal)
        if found is None:
            return None
        eat, eat_min = _minute(found[1], found[2], found[3]), int(found[4] or known.eat_min)
        eat += 12 * 60 if eat < start else 0
    elif "no meal" in said or "no lunch" in said or (eat is not None and not start <= eat < end):
        eat = None
    if end - start < 60 or end >= 24 * 60:
        return None
    return Hours(first, last, start, end, eat, eat_min)


def _minute(hour: str, minute: str | None, half: str | None) -> int:
    """Minutes after midnight of a time as typed; without am or pm as a clock of 24 hours has it."""
    count = int(hour) % NOON + (NOON if half == "pm" else 0) if half else int(hour)
    return count * 60 + int(minute or 0)


def _wall(at: int | None) -> str:
    hour = (at or 0) // 60
    return f"{hour if hour <= NOON else hour - NOON}:{(at or 0) % 60:02d}"


def _clock(at: int | None) -> str:
    return f"{(at or 0) // 60}:{(at or 0) % 60:02d}"


def read_who(text: str) -> list[str] | None:
    """Names of everybody, `you` first: a number says how many helpers there are."""
    said = text.strip()
    count = re.fullmatch(r"(?:you\s*\+\s*)?(\d)(?:\s*helpers?)?", said.lower())
    if count:
        many = int(count[1])
        return [YOU, *([HELPER] if many == 1 else [f"{HELPER} {n}" for n in range(1, many + 1)])]
    names = [each.strip() for each in re.split(r"[,+&]| and ", said) if each.strip()]
    if not names or any(not each[0].isalpha() for each in names) or len(set(names)) < len(names):
        return None
    return [YOU, *(each for each in names if each.lower() != YOU)]


def who_words(names: list[str]) -> str:
    """Everybody in a few words."""
    helpers = [each for each in names if each.startswith(HELPER)]
    others = [each for each in names if each not in helpers]
    many = f"{len(helpers)} helper{'s' if len(helpers) > 1 else ''}" if helpers else ""
    return " + ".join([*others, *([many] if many else [])])


def person_tables(names: list[str]) -> list[dict[str, object]]:
    """A helper helps; everybody else does everything."""
    return [{"name": name, "can": list(HELPER_CAN) if name.startswith(HELPER) else ["all"]} for name in names]


def read_gear(text: str) -> tuple[int, int] | None:
    """Mixers and saws: two numbers in that order, or each with its word."""
    said = text.lower()
    mixers, saws = re.search(r"(\d+)\s*mix", said), re.search(r"(\d+)\s*(?:wet\s*)?saw", said)
    numbers = [int(each) for each in re.findall(r"\d+", said)]
    if mixers and saws:
        return int(mixers[1]), int(saws[1])
    return (numbers[0], numbers[1]) if len(numbers) == 2 and not (mixers or saws) else None


def gear_words(mixers: int, saws: int) -> str:
    """Mixers and saws in words."""
    return f"{mixers} mixer{'s' * (mixers != 1)}, {saws} saw{'s' * (saws != 1)}"
