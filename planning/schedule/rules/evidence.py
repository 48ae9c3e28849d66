"""Work is not covered before its evidence is there (rule 9)."""

from collections.abc import Iterator

from planning.job.plan import Broken
from planning.job.words import AXIS_MIN
from planning.schedule.rules.case import Case
from planning.schedule.rules.rule import Rule
from planning.trade.evidence import unproved


class CoversOnlyWhatWasProved(Rule):
    """A step that would be begun now covers nothing that is done and still lacks its photo, its reading or a reason.

    For what begins later there is still time to note it, so a plan may give it a time.
    """

    number = 9
    never = "cover work before its evidence is noted"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step to be begun now over a finished step without its evidence; one on hold is not begun."""
        for each in case.open:
            if each.step is None or each.n > 1 or each.start >= case.now + AXIS_MIN:
                continue
            if each.planned is not None and each.planned.state == "hold":
                continue
            for earlier, asks in unproved(each.step, case.step_by_id, case.progress.proofs):
                pieces = case.pieces(earlier.id)
                if pieces and all(piece.done for piece in pieces):
                    yield self.says(
                        f"{case.name(each)} would cover {earlier.title} now, and this is not noted: {asks}.",
                        each.id, earlier.id,
                    )  # fmt: skip
