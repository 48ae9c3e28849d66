"""What has happened stays as it was noted, and what has not does not start in the past (rule 15)."""

from collections.abc import Iterator

from planning.job.plan import Broken
from planning.job.words import Instant
from planning.schedule.rules.case import Case
from planning.schedule.rules.hours import needed_minutes
from planning.schedule.rules.placed import Placed, on_axis
from planning.schedule.rules.rule import Rule


class KeepsWhatHappened(Rule):
    """A noted start or finish is in the plan to the minute; only the finish of running work may still move."""

    number = 15
    never = "change what has already happened"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each begun step that is missing, or elsewhere than it was noted."""
        there = {planned.id for planned in case.plan.steps}
        for step_id, at in case.progress.started.items():
            running = step_id not in case.progress.finished
            if running and step_id not in there and step_id.partition("#")[0] in case.step_by_id:
                yield self.says(f"{step_id} began {case.when(at)}, but is not in the plan.", step_id)
        for each in case.placed:
            if each.planned is None or not each.begun:
                continue
            yield from self._same(case, each, "began", case.progress.started[each.id], each.start)
            if each.done:
                yield from self._same(case, each, "was done", case.progress.finished[each.id], each.finish)
            else:
                yield from self._running(case, each)

    def _same(self, case: Case, each: Placed, did: str, noted: Instant, planned: Instant) -> Iterator[Broken]:
        if noted != planned:
            words = f"{case.name(each)} {did} {case.when(noted)}, but the plan says {case.when(planned, noted)}."
            yield self.says(words, each.id)

    def _running(self, case: Case, each: Placed) -> Iterator[Broken]:
        """Running work ends as the setter said, else when its labour is over; never before the plan was made."""
        said = case.progress.finish_said.get(each.id)
        least, most = each.finish, each.finish
        if said is not None:
            least, most = said, said
        elif (need := needed_minutes(each)) is not None:
            meal = case.job.hours.eat_min if each.pauses and case.job.hours.eat_at is not None else 0
            least, most = each.start + need, each.start + need + meal
        if not max(least, case.now) <= each.finish <= on_axis(max(most, case.now)):
            words = f"{case.name(each)} is running and should end {case.when(max(least, case.now))}"
            yield self.says(f"{words}, but the plan says {case.when(each.finish)}.", each.id)


class StartsNothingInThePast(Rule):
    """What was not noted as begun has not begun: it starts when the plan was made, or later."""

    number = 15
    never = "start something before the moment the plan was made"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act not begun that the plan starts in the past."""
        for each in case.open:
            if each.start < case.now:
                words = f"{case.name(each)} has not begun, but the plan starts it {case.when(each.start)}"
                yield self.says(f"{words}, before the plan was made ({case.when(case.now)}).", each.id)


class WaitsAsLongAsWasSaid(Rule):
    """Work that the setter reported as late, tacky or held does not start before the moment he named."""

    number = 15
    never = "start a step sooner than the setter said it can"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each act not begun that starts before the moment noted for it."""
        for each in case.open:
            noted = [case.progress.not_before.get(key) for key in dict.fromkeys((each.id, each.step_id))]
            until = max((at for at in noted if at is not None), default=each.start)
            if each.start < until:
                words = f"{case.name(each)} starts {case.when(each.start)}, but was put off"
                yield self.says(f"{words} till {case.when(until, each.start)}.", each.id)
