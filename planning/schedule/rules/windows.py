"""Waits and windows between layers, at the room's own air (rules 1 and 2)."""

from collections.abc import Iterator

from planning.job.plan import Broken
from planning.job.step import Link
from planning.schedule.rules.case import Case
from planning.schedule.rules.placed import Placed
from planning.schedule.rules.rule import Rule
from planning.trade.recoveries import words_if_missed


def open_links(case: Case) -> Iterator[tuple[Placed, Link]]:
    """Every link into a step that has not begun. A link binds the first piece of a divisible step."""
    for step in case.steps:
        pieces = case.pieces(step.id)
        if pieces and not pieces[0].begun and pieces[0].n <= 1:
            for link in step.after:
                yield pieces[0], link


class StartsNoEarlierThanItsWait(Rule):
    """The wait of each link counts from the last piece of the earlier step, typical time, rounded up to the axis."""

    number = 1
    never = "start a layer before its wait is over at the room's own temperature and humidity"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step that starts while a wait of one of its links still runs."""
        for each, link in open_links(case):
            since = case.wait_from(link)
            if link.wait is None or since is None or each.start < since:
                continue
            opens = case.opens(link.wait, since)
            if each.start < opens:
                earlier = case.pieces(link.step)[-1]
                yield self.says(
                    f"{case.name(each)} starts {case.when(each.start)}, but it has to wait for "
                    f"{case.other(earlier, each)} till {case.when(opens, each.start)}.",
                    each.id, earlier.id,
                )  # fmt: skip


class StartsBeforeItsWindowShuts(Rule):
    """The window of each link counts from the first piece of the earlier step, rounded down to the axis."""

    number = 2
    never = "start a layer after its window has shut, without the recovery steps"

    def broken(self, case: Case) -> Iterator[Broken]:
        """Each step that starts after a window of one of its links has shut."""
        for each, link in open_links(case):
            since = case.within_from(link)
            if link.within is None or since is None:
                continue
            shuts = case.shuts(link.within, since)
            if each.start > shuts:
                earlier = case.pieces(link.step)[0]
                cure = words_if_missed(each.step, case.step_by_id) if each.step is not None else None
                yield self.says(
                    f"{case.name(each)} starts {case.when(each.start)}, but its window after "
                    f"{case.other(earlier, each)} shuts {case.when(shuts, each.start)}.{f' {cure}' if cure else ''}",
                    each.id, earlier.id,
                )  # fmt: skip
