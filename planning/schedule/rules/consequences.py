"""What a plan says of the consequences of its times is what the facts make of them (number 0)."""

from collections import Counter
from collections.abc import Iterator

from planning.job.plan import Broken, HouseOut, PlannedStep, StayOff
from planning.job.step import Link, Step
from planning.job.words import Instant, Service
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.rule import Rule
from planning.trade.act_times import acts_from, batches_from


class SaysWhenFloorsAreReady(Rule):
    """Foot-ready times and stay-offs follow from each step's finish (or from the finish of the step that ends them)."""

    number = 0
    never = "say that a floor is off at other times than its steps make it"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each foot-ready time and each stay-off that is missing, extra or different."""
        for each in case.placed:
            if each.planned is None or each.step is None:
                continue
            walks = [case.until(keep, each) for keep in each.step.keeps_off if keep.what == "walk"]
            ready = max(walks, default=None)
            if each.planned.foot_ready != ready:
                right = "no time" if ready is None else case.when(ready, each.start)
                yield self.says(f"{case.name(each)}: foot-ready should be {right}.", each.id, *_enders(case, each))
        told = Counter(case.plan.stay_off)
        here = {each.id: each for each in case.placed if each.planned is not None}
        facts = Counter(_stay_off(case))
        for off in facts - told:
            if off.step in here:
                words = f"{_off(case, off)}, but the plan does not say so."
                yield self.says(words, off.step, *_enders(case, here[off.step]))
        for off in told - facts:
            yield self.says(f"the plan says {_off(case, off)}, but it is not.", off.step)


def _enders(case: Case, each: Placed) -> list[str]:
    """The steps whose finish ends a stay-off of this one."""
    keeps = each.step.keeps_off if each.step is not None else ()
    return [piece.id for keep in keeps if isinstance(keep.until, str) for piece in case.pieces(keep.until)[-1:]]


def _stay_off(case: Case) -> Iterator[StayOff]:
    for bar in case.bars.all():
        room, _, part = bar.floor.partition(".")
        yield StayOff(room, part or None, bar.what, bar.start, bar.until, bar.by.id)


def _off(case: Case, off: StayOff) -> str:
    floor = case.floor_name(f"{off.room}.{off.part}" if off.part else off.room)
    return f"{floor} is off ({off.what}) {case.when(off.start)} to {case.when(off.until, off.start)}"


class SaysWhenWindowsOpenAndShut(Rule):
    """A step's window opens when the last of its waits is over and shuts with the first of its windows."""

    number = 0
    never = "show a window, or a wait of it, at other times than the room's air makes it"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each window, link or inner act that differs from the facts, and each start past its own latest start."""
        for each in case.placed:
            planned, step = each.planned, each.step
            if planned is None or step is None:
                continue
            links = step.after if each.n <= 1 else ()
            known = [link for link in links if case.pieces(link.step)]
            yield from self._window(case, each, planned, known)
            if Counter((a.id, a.on, a.wait_min, a.within_min) for a in planned.after) != Counter(
                _told(case, link) for link in known
            ):
                earlier = (piece.id for link in known for piece in case.pieces(link.step))
                yield self.says(f"{case.name(each)}: its waits are not those of its links.", each.id, *earlier)
            if not each.begun:
                if case.has_air(each.start) and not _inside_follows(case, planned, step):
                    yield self.says(f"{case.name(each)}: its inner acts do not follow from its start.", each.id)
                if planned.latest_start is not None and planned.latest_start < each.start:
                    words = f"{case.name(each)} starts {case.when(each.start)}, after its latest start"
                    yield self.says(f"{words} {case.when(planned.latest_start, each.start)}.", each.id)

    def _window(self, case: Case, each: Placed, planned: PlannedStep, links: list[Link]) -> Iterator[Broken]:
        waits = [(link.wait, case.wait_from(link)) for link in links]
        withins = [(link.within, case.within_from(link)) for link in links]
        opens = max((case.opens(w, at) for w, at in waits if w is not None and at is not None), default=None)
        shuts = min((case.shuts(w, at) for w, at in withins if w is not None and at is not None), default=None)
        if (planned.window.opens, planned.window.shuts) != (opens, shuts):
            words = f"{case.name(each)}: its window should be {_span(case, opens, shuts, each)}."
            yield self.says(words, each.id, *(piece.id for link in links for piece in case.pieces(link.step)))


def _inside_follows(case: Case, planned: PlannedStep, step: Step) -> bool:
    """Are the inner acts and the batches where the start and the room's air put them?"""
    return planned.acts == acts_from(step.acts, case.air, planned.start) and planned.batches == batches_from(
        step.batches, case.air, planned.start
    )


def _told(case: Case, link: Link) -> tuple[str, str, int, int | None]:
    """A link as the plan should tell it: the piece it counts from, and its lengths from there."""
    pieces = case.pieces(link.step)
    begin, first = case.wait_from(link), case.within_from(link)
    assert begin is not None
    assert first is not None
    wait_min = 0 if link.wait is None else case.opens(link.wait, begin) - begin
    within_min = None if link.within is None else case.shuts(link.within, first) - begin
    return pieces[0 if link.on == "start" else -1].id, link.on, wait_min, within_min


def _span(case: Case, opens: Instant | None, shuts: Instant | None, each: Placed) -> str:
    first = "any time" if opens is None else f"from {case.when(opens, each.start)}"
    return first if shuts is None else f"{first} till {case.when(shuts, each.start)}"


SERVICES: tuple[Service, ...] = ("toilet", "water", "power")


class SaysWhatTheHouseGoesWithout(Rule):
    """A service is out from the first step in a room that takes it away to the last that gives it back."""

    number = 0
    never = "say that the house has water, power or a toilet when its steps take it away"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each service out that is missing, extra or at other times."""
        facts, told = Counter(_house(case)), Counter(case.plan.house)
        for out in (facts - told).keys() | (told - facts).keys():
            steps = [s.id for s in case.steps if s.room == out.room and out.what in s.house and case.pieces(s.id)]
            words = f"{out.what}, {case.room_name(out.room)}: the plan does not say rightly when it is out."
            yield self.says(words, *steps)


def _house(case: Case) -> Iterator[HouseOut]:
    for room in case.job.rooms:
        for what in SERVICES:
            steps = [step for step in case.steps if step.room == room.id and what in step.house]
            outs = [case.pieces(s.id)[0].start for s in steps if s.house[what] == "out" and case.pieces(s.id)]
            backs = [case.pieces(s.id)[-1].finish for s in steps if s.house[what] == "back" and case.pieces(s.id)]
            if outs:
                yield HouseOut(what, room.id, min(outs), max(backs, default=None))


class EndsWithItsLastStep(Rule):
    """The plan's finish is the end of its last step; people's hours are theirs; moved steps say where they are."""

    number = 0
    never = "promise another finish, other hours or other moves than its steps have"

    def broken(self, case: Case) -> Iterator[Broken]:
        """A wrong finish, hours nobody works, moves that were none, visits nobody asked for."""
        work = [each for each in case.placed if each.planned is not None]
        ends = {max((each.finish for each in acts), default=case.now)
                for acts in (work, [each for each in work if each.step is not None])}  # fmt: skip
        if case.plan.finish not in ends:
            last = [each.id for each in work if each.finish == max(ends)]
            words = f"the plan says it is done {case.when(case.plan.finish)}, but its last step ends"
            yield self.says(f"{words} {case.when(max(ends))}.", *last)
        yield from self._hours(case)
        yield from self._moved(case)
        known = {visit.id for visit in case.job.visits}
        for visit in case.plan.visits:
            if visit.booked and visit.id not in known:
                yield self.says(f"{visit.who}, {case.when(visit.start)}, is in the plan as booked, but not in the job.")

    def _hours(self, case: Case) -> Iterator[Broken]:
        for person in case.plan.people:
            if not case.attendance.knows(person.name):
                continue
            for stretch in person.hours:
                if stretch not in case.attendance.stretches_on(person.name, stretch[0]):
                    words = f"{person.name} does not work from {case.when(stretch[0])} to"
                    yield self.says(f"{words} {case.when(stretch[1], stretch[0])}.")

    def _moved(self, case: Case) -> Iterator[Broken]:
        """Everything not begun that is not where the accepted plan had it is told as moved, and nothing else."""
        accepted = case.progress.accepted
        was = {step: times[0] for step, times in accepted.steps.items()} if accepted is not None else {}
        facts = {
            (each.id, was[each.id], each.start) for each in case.open if each.start != was.get(each.id, each.start)
        }
        told = {(moved.id, moved.was, moved.now) for moved in case.plan.moved}
        for step_id, before, now in sorted(facts - told):
            words = f"{step_id} was {case.when(before)} in the accepted plan and is {case.when(now, before)} now"
            yield self.says(f"{words}, but the plan does not say that it moved.", step_id)
        for step_id, _, _ in sorted(told - facts):
            yield self.says(f"{step_id} is said to have moved, but not as it did.", step_id)
