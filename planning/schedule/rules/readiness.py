"""What must be there before a step starts: its predecessors, material, answers and errands (rule 9)."""

from collections.abc import Iterator
from itertools import pairwise

from planning.job.counted_on import answer_there, delivery_there
from planning.job.job import Delivery
from planning.job.plan import Broken
from planning.job.step import Step
from planning.schedule.rules.case import Case
from planning.schedule.rules.rule import Rule
from planning.schedule.rules.windows import open_links
from planning.trade.expand import find_steps


class FollowsWhatComesBefore(Rule):
    """A step starts when what it follows is done (or begun); a piece, when the piece before it is done."""

    number = 9
    never = "start a step before the step it follows"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step that starts before one it is linked to, and each piece out of turn."""
        for each, link in open_links(case):
            since = case.wait_from(link)
            if since is not None and each.start < since:
                earlier = case.pieces(link.step)[0 if link.on == "start" else -1]
                does = "begins" if link.on == "start" else "is done"
                yield self.says(
                    f"{case.name(each)} starts {case.when(each.start)}, but {case.other(earlier, each)} {does} "
                    f"{case.when(since, each.start)}.",
                    each.id, earlier.id,
                )  # fmt: skip
        for step in case.steps:
            pieces = case.pieces(step.id)
            for before, each in pairwise(pieces):
                if each.start < before.finish and not each.begun:
                    yield self.says(
                        f"{case.name(each)} starts {case.when(each.start)}, before piece {before.n} is done "
                        f"{case.when(before.finish, each.start)}.",
                        each.id, before.id,
                    )  # fmt: skip


def brings(delivery: Delivery, step: Step) -> bool:
    """Does this step use what the delivery brings? "tile" stands for every class of tile."""
    if delivery.room is not None and delivery.room != step.room:
        return False
    return any(a.material == delivery.of or a.material.startswith(f"{delivery.of}-") for a in step.amounts)


class HasItsDelivery(Rule):
    """A plan counts on a delivery when its span is over, or when it was noted as come."""

    number = 9
    never = "start a step before its material is there"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step that starts before a delivery it uses."""
        for delivery in case.job.deliveries:
            here = delivery_there(case.job, case.progress, delivery.id, delivery.latest, case.now)
            for each in case.open:
                if each.step is not None and each.start < here and brings(delivery, each.step):
                    words = f"{case.name(each)} starts {case.when(each.start)}, but {delivery.of} is there"
                    yield self.says(f"{words} {case.when(here, each.start)}.", each.id)


class HasItsAnswer(Rule):
    """What the owner owes holds its steps until it is due, or was noted."""

    number = 9
    never = "start a step before the answer it needs"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each held step that starts before the answer."""
        for answer in case.job.answers:
            at = answer_there(case.job, case.progress, answer.id, answer.by, case.now)
            for step in find_steps(case.steps, answer.room, answer.holds):
                for each in case.pieces(step.id):
                    if not each.begun and each.start < at:
                        words = f"{case.name(each)} starts {case.when(each.start)}, but {answer.owed_by} owes"
                        yield self.says(f"{words} {answer.what} till {case.when(at, each.start)}.", each.id)


class HasItsErrand(Rule):
    """An errand is in the plan until it is done, and back before the step it is for."""

    number = 9
    never = "start a step before the errand it needs is back"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each errand that is nowhere, and each step that starts before its errand is back."""
        for errand in case.job.errands:
            if errand.id in case.progress.errands_done:
                continue
            drives = case.pieces(errand.id)
            if not drives:
                yield self.says(f"The errand {errand.what} is not in the plan.", errand.id)
                continue
            room, _, ref = (errand.before or "").partition("/")
            for step in find_steps(case.steps, room, ref) if ref else ():
                for each in case.pieces(step.id):
                    if not each.begun and each.start < drives[-1].finish:
                        words = (
                            f"{case.name(each)} starts {case.when(each.start)}, but {case.other(drives[-1])} is back"
                        )
                        yield self.says(f"{words} {case.when(drives[-1].finish, each.start)}.", each.id, errand.id)
