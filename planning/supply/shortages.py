"""What will run short on which day, and the drive that would mend it. Read off a pull-list; nothing is planned here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from planning.job.choice import EventDraft
from planning.job.events import Event
from planning.job.job import Job
from planning.job.people import Person
from planning.job.plan import Plan
from planning.job.step import Step
from planning.job.words import Instant, Minutes
from planning.quantities.show import show_when
from planning.supply.count_words import count_words
from planning.supply.pull_list import PullList, pull_list

DRIVE_MIN: Minutes = 60
"""A drive to the supplier and back, where no errand of the job says how long one takes (ours, no source)."""


@dataclass(frozen=True, slots=True)
class Shortage:
    """So many packages of a class are missing for a step that starts `at`.

    `told`: somebody said how many there are, so they really run out; else nobody counted, and it is a thing to buy.
    """

    day: date
    at: Instant
    step: str
    step_title: str
    room: str
    material: str
    title: str
    package: str
    packages: int
    weight_kg: float
    told: bool

    def words(self, zone: ZoneInfo, now: Instant) -> str:
        """`thin-set mortar runs short: 2 bags missing for set floor, Thu 7:20`."""
        missing = count_words(self.packages, self.package)
        return f"{self.title} runs short: {missing} missing for {self.step_title}, {show_when(self.at, zone, now)}"


@dataclass(frozen=True, slots=True)
class ErrandOffer:
    """A drive that mends shortages: who drives, what he brings, and the event that taking it writes."""

    title: str
    who: str
    brings: Mapping[str, int]
    mends: tuple[Shortage, ...]
    draft: EventDraft


def shortages(listed: PullList, *, told_only: bool = True) -> tuple[Shortage, ...]:
    """What is missing for which step, in order of time; `told_only` leaves out what nobody has counted."""
    return tuple(
        Shortage(day.day, step.start, step.id, step.title, step.room, item.material, item.title, item.package,
                 item.short, item.weight_kg / item.take * item.short if item.take else 0.0, item.told)
        for day in listed.days
        for step, item in day.short
        if item.told or not told_only
    )  # fmt: skip


def shortage_errands(
    job: Job, plan: Plan, steps: Sequence[Step], events: Sequence[Event], now: Instant
) -> tuple[ErrandOffer, ...]:
    """The drives that would mend what runs short: one for everybody who may drive, the helper first.

    A drive brings what is short for the first step that misses anything, and what is short later while the van may
    carry it. `job`, `steps`: as noted. Nothing short, nothing offered; nor for what nobody counted.
    """
    missing = [each for each in shortages(pull_list(plan, job, steps, events)) if each.at > now]
    if not missing:
        return ()
    mends = _load(missing, job.gear.payload_kg)
    brings: dict[str, int] = {}
    for each in mends:
        brings[each.material] = brings.get(each.material, 0) + each.packages
    first = mends[0]
    names = {each.material: (each.package, each.title) for each in mends}
    said = " and ".join(f"{count_words(count, names[key][0])} of {names[key][1]}" for key, count in brings.items())
    before = _before(first, steps)
    return tuple(
        ErrandOffer(
            f"{who.name[:1].upper()}{who.name[1:]} drives for {said}",
            who.name,
            brings,
            mends,
            EventDraft("agreed", {
                "what": "errand", "id": f"errand/supply-{first.step.replace('/', '-')}", "say": "supply run",
                "who": who.name, "takes": _takes(job), "brings": dict(brings), "before": before, "instead": None,
            }),
        )
        for who in _drivers(job)
    )  # fmt: skip


def _load(missing: Sequence[Shortage], payload_kg: float | None) -> tuple[Shortage, ...]:
    """The shortages of the first step, and the later ones that the van can carry with them."""
    taken = [each for each in missing if each.step == missing[0].step]
    weight = sum(each.weight_kg for each in taken)
    for each in missing[len(taken) :]:
        if payload_kg is None or weight + each.weight_kg <= payload_kg:
            taken.append(each)
            weight += each.weight_kg
    return tuple(taken)


def _before(short: Shortage, steps: Sequence[Step]) -> str:
    """The step as an errand names it: `room[/part]/method/key`."""
    step = next(each for each in steps if each.id == short.step.partition("#")[0])
    return "/".join(each for each in (step.room, step.part, step.method, step.key) if each)


def _drivers(job: Job) -> list[Person]:
    """Who may drive: first those who cannot do all the work, so that the setter stays at it."""
    able = [person for person in job.people if person.has("carry")] or list(job.people)
    return sorted(able, key=lambda person: "all" in person.can)[:2]


def _takes(job: Job) -> Minutes:
    return max((errand.takes_min for errand in job.errands), default=DRIVE_MIN)
