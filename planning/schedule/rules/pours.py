"""A pour is finished inside its working time (rule 13)."""

from collections.abc import Iterator

from planning.job.plan import Broken
from planning.job.words import Instant
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.rule import Rule
from planning.trade.air import act_opens_at, act_shuts_at


class PourFitsItsWorkingTime(Rule):
    """Each inner act of a locked pour or float can begin before its own window shuts, in the air the room has then."""

    number = 13
    never = "start a pour that the people and buckets there cannot finish inside the working time"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each locked step with an inner act whose window shuts before it can begin."""
        for each in case.open:
            late = _first_late(case, each)
            if late is not None:
                title, opens, shuts = late
                yield self.says(
                    f"{case.name(each)}: {title} can begin {opens - each.start} min after the first water, but must "
                    f"be done by {shuts - each.start} min.",
                    each.id,
                )  # fmt: skip


def _first_late(case: Case, each: Placed) -> tuple[str, Instant, Instant] | None:
    """The first inner act that opens after it shuts; each act is taken to be done as soon as it may."""
    if not case.has_air(each.start):
        return None
    done = {"water_in": each.start}
    for act in each.step.acts if each.step is not None else ():
        since = done.get(act.counts_from, each.start)
        opens = since if act.opens is None else act_opens_at(act.opens, case.air, since)
        shuts = None if act.shuts is None else act_shuts_at(act.shuts, case.air, since)
        if shuts is not None and opens > shuts:
            return act.title, opens, shuts
        done[act.key] = opens
    return None
