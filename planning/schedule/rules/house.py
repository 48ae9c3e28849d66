"""The household's nights (rule 11)."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from planning.job.hours import instant, local
from planning.job.place import Room
from planning.job.plan import Broken
from planning.job.words import Instant
from planning.schedule.rules.bars import Bar
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.rule import Rule

FARTHEST_DAYS = 800


class LeavesAToiletEachPromisedNight(Rule):
    """On a promised night one toilet of the job is in, and its room and one way to it may be walked on, all night."""

    number = 11
    never = "leave the household without a working toilet on a night the job promises one"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each promised night, not over yet, that the plan leaves without a toilet."""
        toilets = [room for room in case.job.rooms if room.toilet]
        if not toilets:
            return
        for day, start, finish in _nights(case):
            lost = [_lost(case, room, start, finish) for room in toilets]
            blockers = [each for found in lost if found is not None for each in found.by]
            if None in lost or (blockers and all(each.begun for each in blockers)):
                continue
            because = ", and ".join(dict.fromkeys(found.words for found in lost if found is not None))
            moves = [each.id for each in blockers if not each.begun]
            words = f"No toilet on the night of {day:%a} {day.day} {day:%b}: {because}."
            yield self.says(words, *moves, *(each.id for each in blockers))


@dataclass(frozen=True, slots=True)
class _Lost:
    """Why a toilet does not serve a night, and the acts that make it so."""

    words: str
    by: tuple[Placed, ...]


def _nights(case: Case) -> Iterator[tuple[date, Instant, Instant]]:
    """The promised nights while the plan lasts, with their spans; nights already over are left out."""
    hours, zone = case.job.hours, case.job.zone
    times = [each.finish for each in case.placed] + [bar.until for bar in case.bars.all()]
    first = max(case.job.start, local(zone, case.now).date() - timedelta(days=1))
    farthest = instant(zone, first + timedelta(days=FARTHEST_DAYS), hours.night_to)
    last = local(zone, min(max(times, default=case.now), farthest)).date()
    for n in range((last - first).days + 1):
        day = first + timedelta(days=n)
        if case.job.house.asks_toilet(day):
            start = instant(zone, day, hours.night_from)
            finish = instant(zone, day + timedelta(days=1), hours.night_to)
            if finish > case.now:
                yield day, start, finish


def _lost(case: Case, room: Room, start: Instant, finish: Instant) -> _Lost | None:
    """Why a toilet is out or shut off at some moment of the night; None when it serves."""
    out = _out(case, room)
    if out is not None and out[0] < finish and (out[1] is None or start < out[1]):
        ends = "for good" if out[1] is None else f"till {case.when(out[1], start)}"
        return _Lost(f"the one in the {room.name} is out {ends}", out[2])
    bars = [bar for floor in room.floors if (bar := _bar(case, (floor,), start, finish)) is not None]
    if bars:
        return _shut(case, room, bars, start)
    for floor in room.floors:
        found = [_bar(case, way, start, finish) for way in case.ways(floor)]
        shut = [bar for bar in found if bar is not None]
        if found and len(shut) == len(found):
            return _shut(case, room, shut, start)
    return None


def _shut(case: Case, room: Room, bars: Sequence[Bar], start: Instant) -> _Lost:
    floor, until = case.floor_name(bars[0].floor), case.when(bars[0].until, start)
    words = f"the one in the {room.name} cannot be reached, {floor} may not be walked on till {until}"
    return _Lost(words, tuple(bar.by for bar in bars))


def _out(case: Case, room: Room) -> tuple[Instant, Instant | None, tuple[Placed, ...]] | None:
    """From when to when (None: for good) a room's toilet is out, and the acts that take it out and bring it back."""
    steps = [step for step in case.steps if step.room == room.id and "toilet" in step.house]
    outs = [piece for step in steps if step.house["toilet"] == "out" for piece in case.pieces(step.id)[:1]]
    backs = [piece for step in steps if step.house["toilet"] == "back" for piece in case.pieces(step.id)[-1:]]
    if not outs:
        return None
    begins, ends = min(each.start for each in outs), max((each.finish for each in backs), default=None)
    return begins, ends, (*outs, *backs)


def _bar(case: Case, floors: Sequence[str], start: Instant, finish: Instant) -> Bar | None:
    return next((bar for floor in floors for bar in case.bars.on("walk", floor, start, finish)), None)
