"""The limits of air for wet work (rule 12)."""

from collections.abc import Iterator

from planning.job.plan import Broken
from planning.schedule.rules.case import Case
from planning.schedule.rules.rule import Rule
from planning.trade.air import hold_reason


class BeginsWetWorkInGoodAir(Rule):
    """A wet step begins only where its material sets or dries: not too cold, hot or damp, and over the dew point."""

    number = 12
    never = "begin a wet step outside the air limits"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each wet step given a time in a room outside the limits then; one that the plan says to hold is not."""
        for each in case.open:
            if each.step is None or not each.wet or not case.has_air(each.start):
                continue
            if each.planned is not None and each.planned.state == "hold":
                continue
            reason = hold_reason(each.step.kind, case.air.at(each.step.room, each.start), case.job.units)
            if reason is not None:
                yield self.says(f"HOLD, {case.name(each)}, {case.when(each.start)}: {reason}", each.id)
