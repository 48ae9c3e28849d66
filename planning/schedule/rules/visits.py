"""People from outside: when they come, and what they must have seen (rule 10)."""

from collections.abc import Iterator, Sequence

from planning.job.hours import local
from planning.job.job import Visit
from planning.job.plan import Broken, PlannedVisit
from planning.job.progress import VisitWord, visit_word
from planning.job.step import Step
from planning.job.words import Instant, Minutes
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import on_axis
from planning.schedule.rules.rule import Rule
from planning.trade.expand import find_steps

UNBOOKED_MIN: Minutes = 30
HOLDS = frozenset(("flood_hold", "fixed"))
"""Waits after a step that must be over before somebody comes to see it."""


def sees(case: Case, visit: PlannedVisit | Visit, step: Step) -> bool:
    """Is this the step that the visit is for?"""
    if visit.room != step.room or not visit.sees or not _in_time(case, visit, step):
        return False
    return visit.sees in (step.key, step.id) or step in find_steps(case.steps, visit.room, visit.sees)


class KeepsVisits(Rule):
    """A visit of the job is in the plan, once, at the time it was booked for (or moved to by whoever comes).

    One whose time went by, nothing noted of it, is lost: the plan may leave it out, or call for it anew.
    """

    number = 10
    never = "move a fixed visit"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each visit that is missing, doubled or at another time."""
        for visit in case.job.visits:
            moved = case.progress.visits_moved.get(visit.id)
            earliest, latest = (visit.earliest, visit.latest) if moved is None else (moved, moved)
            found = [planned for planned in case.plan.visits if planned.id == visit.id]
            result = _result(case, visit)
            gone_by = result == "no_show" or (result is None and latest + visit.takes_min <= case.now)
            if gone_by:
                found = [planned for planned in found if planned.booked]
            if not found and not gone_by and visit.id not in case.progress.visit_results:
                yield self.says(
                    f"{visit.who} comes {case.when(earliest)}, but is not in the plan.", *_seen(case, visit)
                )
            if len(found) > 1:
                yield self.says(f"{visit.who}, {case.when(earliest)}, is in the plan twice.", *_seen(case, visit))
            for planned in found:
                yield from self._kept(case, visit, planned, earliest, latest)

    def _kept(
        self, case: Case, visit: Visit, planned: PlannedVisit, earliest: Instant, latest: Instant
    ) -> Iterator[Broken]:
        last = max(latest, on_axis(earliest))
        if (planned.booked, planned.who, planned.room, planned.sees) != (True, visit.who, visit.room, visit.sees):
            yield self.says(f"{visit.who}, {case.when(planned.start)}, is not the visit that was booked.",
                            *_seen(case, visit))  # fmt: skip
        if visit.id in case.progress.visit_results:
            return
        if not earliest <= planned.start <= last:
            booked = case.when(earliest) if earliest == latest else f"{case.when(earliest)} to {case.when(latest)}"
            yield self.says(f"{visit.who} is booked for {booked}, but the plan says {case.when(planned.start)}.",
                            *_seen(case, visit))  # fmt: skip
        if planned.finish - planned.start != on_axis(visit.takes_min):
            yield self.says(f"{visit.who} takes {visit.takes_min} min, but the plan says "
                            f"{planned.finish - planned.start}.", *_seen(case, visit))  # fmt: skip


class UnbookedVisitsCanBeBooked(Rule):
    """A visit nobody has called for yet: half an hour of working hours, on the next working day at the soonest."""

    number = 10
    never = "count on a visitor when nobody can have called him yet"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each unbooked visit outside working hours or too soon to call for."""
        for planned in case.plan.visits:
            if planned.booked or _result(case, planned) == "passed":
                continue
            steps = [step.id for step in case.steps if sees(case, planned, step)]
            moved = _still_to_come(case, planned)
            hours = case.attendance.site_hours(planned.start)
            today = local(case.job.zone, case.now).date()
            who = f"{planned.who}, {case.when(planned.start)}"
            if planned.finish - planned.start != UNBOOKED_MIN:
                yield self.says(f"{who}, not booked, should take {UNBOOKED_MIN} min.", *steps)
            if moved is not None:
                if not moved <= planned.start <= on_axis(moved):
                    yield self.says(f"{who}, should come {case.when(moved)}, as was said.", *steps)
            elif local(case.job.zone, planned.start).date() <= today:
                yield self.says(f"{who}, is not booked and cannot come before the next working day.", *steps)
            elif hours is None or planned.start < hours[0] or planned.finish > hours[1]:
                yield self.says(f"{who}, is not booked and comes in working hours only.", *steps)


class CoversOnlyWhatWasSeen(Rule):
    """What must be seen is done, and its hold over, before the visit; nothing that follows it starts before that."""

    number = 10
    never = "cover what an inspector has not passed"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step to be seen that nobody sees in time, and each step that covers it too early."""
        for step in case.steps:
            pieces = case.pieces(step.id)
            if step.sees is None or not pieces or _passed(case, step):
                continue
            ready = max([_held(case, step, pieces[-1].finish), *(piece.finish for piece in pieces)])
            coming = [v for v in case.plan.visits if sees(case, v, step) and not _failed(case, v)]
            good = [visit for visit in coming if visit.start >= ready]
            if good:
                yield from self._covered(case, step, min(good, key=lambda visit: visit.finish))
            elif coming:
                visit = coming[-1]
                yield self.says(
                    f"{visit.who} comes {case.when(visit.start)}, but {case.other(pieces[-1])} can be seen only from "
                    f"{case.when(ready, visit.start)}.",
                    step.id,
                )  # fmt: skip
            else:
                yield self.says(f"Nobody comes to see {case.other(pieces[-1])}: call {step.sees}.", step.id)

    def _covered(self, case: Case, step: Step, visit: PlannedVisit) -> Iterator[Broken]:
        for later in case.steps:
            pieces = case.pieces(later.id)
            if not pieces or pieces[0].begun or all(link.step != step.id for link in later.after):
                continue
            if pieces[0].start < visit.finish:
                yield self.says(
                    f"{case.name(pieces[0])} starts {case.when(pieces[0].start)}, but {visit.who} has seen "
                    f"{step.title[:1].lower()}{step.title[1:]} only at {case.when(visit.finish, pieces[0].start)}.",
                    pieces[0].id, step.id,
                )  # fmt: skip


def _in_time(case: Case, visit: PlannedVisit | Visit, step: Step) -> bool:
    """A visit that was booked before a step came up is not for that step, unless it was spoken of since."""
    if step.known_since is None or not any(each.id == visit.id for each in case.job.visits):
        return True
    if isinstance(visit, PlannedVisit) and not visit.booked:
        return True
    return case.progress.visit_noted.get(visit.id, step.known_since - 1) >= step.known_since


def _still_to_come(case: Case, visit: PlannedVisit) -> Instant | None:
    """The time that was named for a visit nobody had booked, unless it went by or nobody came."""
    moved = case.progress.visits_moved.get(visit.id)
    gone = moved is not None and moved + UNBOOKED_MIN <= case.now
    return None if gone or _result(case, visit) == "no_show" else moved


def _seen(case: Case, visit: Visit) -> Sequence[str]:
    return [step.id for step in case.steps if sees(case, visit, step)]


def _held(case: Case, step: Step, finish: Instant) -> Instant:
    """When the longest hold after a step is over: a flood must stand before anybody looks at it."""
    waits = [
        link.wait
        for later in case.steps
        for link in later.after
        if link.step == step.id and link.wait is not None and link.wait.window in HOLDS
    ]
    return max((case.opens(wait, finish) for wait in waits), default=finish)


def _result(case: Case, visit: PlannedVisit | Visit) -> VisitWord | None:
    return visit_word(case.progress.visit_results.get(visit.id))


def _failed(case: Case, visit: PlannedVisit) -> bool:
    return _result(case, visit) == "failed"


def _passed(case: Case, step: Step) -> bool:
    every: list[PlannedVisit | Visit] = [*case.job.visits, *case.plan.visits]
    return any(sees(case, visit, step) and _result(case, visit) == "passed" for visit in every)
