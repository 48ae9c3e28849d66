"""Floors: one wet trade at a time, nobody on a green floor, nobody shut in or out (rules 6, 7 and 8)."""

from collections.abc import Iterator, Sequence

from planning.job.plan import Broken, PlannedVisit
from planning.job.words import Instant
from planning.schedule.rules.bars import Bar
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.rule import Rule


class OneWetTradeAtATime(Rule):
    """Two wet trades never share a part of a room, and none works where a floor is kept dry."""

    number = 6
    never = "have two wet trades in one part of a room at once"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each pair of overlapping wet acts on one floor, and each wet act on a floor kept dry."""
        floors: dict[str, list[Placed]] = {}
        for each in case.placed:
            if each.wet and each.step is not None:
                for floor in each.step.works_on:
                    floors.setdefault(floor, []).append(each)
        for floor, acts in floors.items():
            yield from self._together(case, floor, acts)
            for each in acts:
                bar = case.bars.against("wet", floor, each)
                if bar is not None:
                    yield self.says(_kept(case, each, bar, "is kept dry"), each.id, bar.by.id)

    def _together(self, case: Case, floor: str, acts: Sequence[Placed]) -> Iterator[Broken]:
        running: list[Placed] = []
        for each in acts:
            running = [other for other in running if other.finish > each.start]
            for other in running:
                if other.step_id != each.step_id and not (other.begun and each.begun) and each.start < each.finish:
                    first, moves = (each, other) if each.begun else (other, each)
                    yield self.says(
                        f"{case.name(moves)} works wet in {case.floor_name(floor)} at {case.when(moves.start)} while "
                        f"{case.other(first, moves)} does, till {case.when(first.finish, moves.start)}.",
                        moves.id, first.id,
                    )  # fmt: skip
            running.append(each)


class StandsOnNoGreenFloor(Rule):
    """Nobody stands on a floor that may not be walked on, and nothing heavy is set on one that cannot bear it yet."""

    number = 7
    never = "put anyone on a green floor"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act that stands on a floor while a stay-off of another step holds."""
        for each in case.placed:
            if each.step is None or each.done:
                continue
            for floor in each.step.stands_on:
                bar = case.bars.against("walk", floor, each)
                if bar is not None:
                    yield self.says(_kept(case, each, bar, "may not be walked on"), each.id, bar.by.id)
                heavy = case.bars.against("heavy", floor, each) if each.step.kind == "fit" else None
                if heavy is not None:
                    yield self.says(_kept(case, each, heavy, "can bear nothing heavy"), each.id, heavy.by.id)


def _kept(case: Case, each: Placed, bar: Bar, how: str) -> str:
    begins = f", from {case.when(bar.start, each.start)}" if bar.start > each.start else ""
    return (
        f"{case.name(each)} starts {case.when(each.start)}, but {case.floor_name(bar.floor)} {how}{begins} "
        f"till {case.when(bar.until, each.start)} ({case.other(bar.by, each)})."
    )


class NobodyIsShutInOrOut(Rule):
    """For the whole of an act, one way from outside to each floor it stands on may be walked on."""

    number = 8
    never = "reach a room through a green floor, or leave anyone trapped behind one"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act, and each visit, with a floor to which every way is off at some moment of it."""
        for each in case.placed:
            if each.step is None or each.done:
                continue
            for floor in each.step.stands_on:
                ways = case.ways(floor)
                if not ways:
                    yield self.says(f"{case.name(each)}: nobody can get to {case.floor_name(floor)}.", each.id)
                    continue
                bars = [self._barred(case, each, way) for way in ways]
                shut = [bar for bar in bars if bar is not None]
                if len(shut) == len(ways):
                    bar = shut[0]
                    way = f"{case.name(each)}: no way to {case.floor_name(floor)}"
                    yield self.says(f"{way}. {_off(case, bar, each.start)}", each.id, *(b.by.id for b in shut))
        for visit in case.plan.visits:
            if visit.start >= case.now:
                yield from self._visit(case, visit)

    def _barred(self, case: Case, each: Placed, way: Sequence[str]) -> Bar | None:
        own = each.step.stands_on if each.step is not None else ()
        found = (case.bars.against("walk", floor, each) for floor in way if floor not in own)
        return next((bar for bar in found if bar is not None), None)

    def _visit(self, case: Case, visit: PlannedVisit) -> Iterator[Broken]:
        """A visitor must reach the room; he looks at its floor from the edge of it."""
        floors = next((room.floors for room in case.job.rooms if room.id == visit.room), ())
        ways = [way for floor in floors for way in case.ways(floor)]
        shut = [bar for way in ways if (bar := _first_bar(case, way, visit.start, visit.finish)) is not None]
        if ways and len(shut) == len(ways):
            words = f"{visit.who} comes {case.when(visit.start)}, but has no way to {case.room_name(visit.room)}."
            yield self.says(f"{words} {_off(case, shut[0], visit.start)}", shut[0].by.id)


def _first_bar(case: Case, way: Sequence[str], start: Instant, finish: Instant) -> Bar | None:
    return next((bar for floor in way for bar in case.bars.on("walk", floor, start, finish)), None)


def _off(case: Case, bar: Bar, beside: Instant) -> str:
    floor = case.floor_name(bar.floor)
    floor = floor[:1].upper() + floor[1:]
    begins = f"from {case.when(bar.start, beside)} " if bar.start > beside else ""
    return f"{floor} may not be walked on {begins}till {case.when(bar.until, beside)} ({case.other(bar.by)})."
