"""A note for somebody else before it is text or a page: whom it is for, its sections, its picture, its dates."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal, get_args

from planning.job.words import Instant

Audience = Literal["owner", "contractor"]
AUDIENCES: tuple[Audience, ...] = get_args(Audience)


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and its lines, each a whole sentence or an entry of a list. `key` is its name in JSON."""

    key: str
    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RoomShare:
    """How far a room is, in hundredths of its labour: done before today, and done today. `off`: till when, in words.

    `length_m` and `width_m` give the picture its shape. Labour is reckoned person-minutes, not money and not time left.
    """

    room: str
    name: str
    length_m: float
    width_m: float
    before: int
    today: int
    off: str = ""

    @property
    def done(self) -> int:
        """Hundredths done."""
        return self.before + self.today


@dataclass(frozen=True, slots=True)
class ToldDate:
    """A date that somebody is told, and what it is of in words. `until` None: "till we tell you".

    `clock`: is the time of day told too, or only the day?
    """

    label: str
    until: Instant | None
    clock: bool = True


@dataclass(frozen=True, slots=True)
class Note:
    """The note of one day for one reader. `dates` is what it promises, kept so that the next one can say what moved."""

    job: str
    day: date
    audience: Audience
    on_site: str
    sections: tuple[Section, ...]
    shares: tuple[RoomShare, ...] = ()
    dates: Mapping[str, ToldDate] = field(default_factory=dict)
