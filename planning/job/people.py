"""People, gear and working hours of a job, as the job file says them (wall clock of the site, not instants)."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time

WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class DayHours:
    """Working hours on one date: the exception to the week's rule. Equal times mean: not there."""

    day: date
    start: time
    finish: time


@dataclass(frozen=True, slots=True)
class Hours:
    """The job's working week. `days` are 0 (Monday) to 6. Set-up and clean-up belong to each person's day."""

    days: frozenset[int] = frozenset(range(5))
    start: time = time(7)
    finish: time = time(15, 30)
    eat_at: time | None = time(12)
    eat_min: int = 30
    set_up_min: int = 20
    clean_up_min: int = 20
    off: frozenset[date] = frozenset()
    exceptions: tuple[DayHours, ...] = ()
    night_from: time = time(18)
    night_to: time = time(6)


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works. `days` None means the job's own days; `exceptions` are his half days. Carries its job."""

    name: str
    job: str
    can: frozenset[str]
    days: frozenset[int] | None = None
    exceptions: tuple[DayHours, ...] = ()
    off: frozenset[date] = frozenset()

    def has(self, skill: str) -> bool:
        """Can this person do that skill? "all" covers every skill."""
        return "all" in self.can or skill in self.can


@dataclass(frozen=True, slots=True)
class Gear:
    """What there is one, two or none of, and what the van may carry (kilograms; None: not said)."""

    count: Mapping[str, int] = field(default_factory=lambda: {"mixers": 1, "saws": 1})
    payload_kg: float | None = None
