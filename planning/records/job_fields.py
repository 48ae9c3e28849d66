"""The kinds of values a job file holds: each a type with the reader of its words, for the models of `job_schema`."""

from collections.abc import Callable
from datetime import date, datetime, time
from typing import Annotated, Any, TypeVar, get_args
from zoneinfo import ZoneInfo

from pydantic import Field, PlainValidator
from pydantic_core import PydanticCustomError

from planning.job.job import ClockSpan
from planning.job.people import DayHours
from planning.job.place import Air
from planning.job.problem import UnreadableError
from planning.job.step import Band
from planning.job.words import KINDS, Units
from planning.job.words import Aim as AimWord
from planning.quantities import plain_words, units
from planning.records import job_names, job_words

T = TypeVar("T")


def wrong(what: str, how: str, key: str = "") -> PydanticCustomError:
    """What is wrong with a value and how to write it right, so that both come back out of pydantic's error."""
    return PydanticCustomError("written", "{what}; {how}", {"what": what, "how": how, "key": key})


def read(reader: Callable[[Any], T]) -> PlainValidator:
    """A reader of people's words as a pydantic validator."""

    def validate(value: Any) -> T:
        try:
            return reader(value)
        except UnreadableError as unreadable:
            raise wrong(unreadable.what, unreadable.how) from unreadable

    return PlainValidator(validate)


Id = Annotated[str, read(plain_words.simple_id)]
Name = Annotated[str, read(job_names.name)]
Place = Annotated[str, read(job_names.place)]
StepRef = Annotated[str, read(job_names.step_ref)]
Skill = Annotated[str, read(job_names.skill)]
KindWord = Annotated[str, read(plain_words.one_of(*KINDS))]
Pace = Annotated[float, read(plain_words.pace)]
Yes = Annotated[bool, read(job_names.yes_or_no)]
Count = Annotated[int, read(plain_words.count)]
Zone = Annotated[ZoneInfo, read(job_names.zone)]
Aim = Annotated[AimWord, read(plain_words.one_of(*get_args(AimWord)))]
UnitSystem = Annotated[Units, read(plain_words.one_of(*get_args(Units)))]
Promised = Annotated[str, read(plain_words.one_of("walk", "usable", "toilet"))]

Minutes = Annotated[int, read(units.minutes)]
Size = Annotated[tuple[float, float], read(units.size_m)]
Mass = Annotated[float, read(units.mass_kg)]
Liters = Annotated[float, read(units.liters)]
Volume = Annotated[float, read(units.volume_m3)]
Packages = Annotated[float, read(units.packages)]
Window = Annotated[tuple[Band, Band | None], read(units.window)]
AirWords = Annotated[Air, read(units.air)]

Day = Annotated[date, read(job_words.day)]
Clock = Annotated[time, read(job_words.clock)]
Clocks = Annotated[tuple[time, time], read(job_words.clocks)]
Meal = Annotated[tuple[time | None, int], read(job_words.meal)]
Days = Annotated[frozenset[int], read(job_words.days)]
Moment = Annotated[datetime, read(job_words.moment)]
Moments = Annotated[tuple[datetime, datetime], read(job_words.moments)]
Span = Annotated[ClockSpan, read(job_words.clock_span)]
HoursOfDay = Annotated[DayHours, read(job_words.day_hours)]
Nights = Annotated[tuple[frozenset[date], frozenset[int]], read(job_words.nights)]


def example(text: str) -> Any:  # Any, as pydantic's own Field: it stands for a value of every type
    """A key that must be there, with an example of it."""
    return Field(examples=[text])


def maybe(text: str, default: Any = None, alias: str | None = None) -> Any:
    """A key that may be left out, with an example of it."""
    if isinstance(default, list | dict | frozenset):
        return Field(default_factory=lambda: default, examples=[text], alias=alias)
    return Field(default=default, examples=[text], alias=alias)
