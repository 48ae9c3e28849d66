"""Laying all tasks one group after another onto a board (serial schedule generation), each as early as it fits."""

from collections.abc import Mapping, Sequence
from heapq import heapify, heappop, heappush

from planning.schedule.availability import after, earliest_from, is_visit, late_visit
from planning.schedule.lay.board import Board, Slot
from planning.schedule.shape import Shape, in_order

MOST_PUSHES = 400
"""How often a group may be begun again further right before it is given up (ours, no source)."""


def lay_all(
    board: Board, groups: Sequence[Sequence[int]], key: Sequence[float], elastic: bool = False,
    not_before: Mapping[int, int] | None = None,
) -> int | None:  # fmt: skip
    """Lay every task that is not laid yet, the free group with the least key first.

    Returns None when all are laid, else a task that found no place. `elastic`: what finds no place is laid where it
    breaks least, so nothing fails. `not_before`: for each task, a tick it may not begin before.
    """
    return _Laying(board, groups, key, elastic, not_before or {}).run()


class _Laying:
    def __init__(
        self, board: Board, groups: Sequence[Sequence[int]], key: Sequence[float], elastic: bool,
        not_before: Mapping[int, int],
    ) -> None:  # fmt: skip
        self.board = board
        self.shape: Shape = board.shape
        self.groups = groups
        self.key = key
        self.elastic = elastic
        self.not_before = not_before

    def run(self) -> int | None:
        shape, laid = self.shape, self.board.laid
        home = {n: g for g, members in enumerate(self.groups) for n in members}
        waits = [0] * len(self.groups)
        for n in range(len(shape.tasks)):
            for before, _ in shape.into[n]:
                if home[before] != home[n] and before not in laid:
                    waits[home[n]] += 1
        keys = [min(self.key[n] for n in members) for members in self.groups]
        free = [(keys[g], g) for g in range(len(self.groups)) if waits[g] == 0]
        heapify(free)
        parked: list[tuple[int, int]] = []
        while free:
            _, g = heappop(free)
            new = [n for n in self.groups[g] if n not in laid]
            failed = self.lay_group(new)
            if failed is not None:
                if not self._something_open():
                    return failed
                parked.append((g, failed))
            else:
                for n in new:
                    for other, _ in shape.out_of[n]:
                        if home[other] != g:
                            waits[home[other]] -= 1
                            if waits[home[other]] == 0:
                                heappush(free, (keys[home[other]], home[other]))
                if parked and any(shape.untils[n] or n in self.board.nights.backs for n in new):
                    for again, _ in parked:
                        heappush(free, (keys[again], again))
                    parked.clear()
        if parked:
            return parked[0][1]
        return next((n for n in range(len(shape.tasks)) if n not in laid), None)

    def _something_open(self) -> bool:
        """Is a toilet out, or a stay-off running, whose end is not laid yet? Then what failed may fit later."""
        laid = self.board.laid
        for back, toilets in self.board.nights.backs.items():
            if back not in laid and any(self.shape.index.get(name) in laid for t in toilets for name in t.out):
                return True
        return any(n not in laid and any(o in laid for o in owners) for n, owners in enumerate(self.shape.untils))

    def lay_group(self, members: Sequence[int]) -> int | None:
        """Lay these tasks together; a later one that cannot come in time pushes the earlier one right."""
        board = self.board
        if not members:
            return None
        order = [members[0]] if len(members) == 1 else in_order(members, self.shape, self.key.__getitem__)
        board.keeps_journal = len(order) > 1 or self._may_push(order[0])
        place = {n: at for at, n in enumerate(order)}
        marks = [board.mark()] * len(order)
        push: dict[int, int] = {}
        pushes = at = 0
        while at < len(order):
            n = order[at]
            marks[at] = board.mark()
            slot = self._slot(n, max(self.ready(n), push.get(n, 0)))
            if slot is None:
                board.back_to(marks[0])
                return n
            board.lay(n, slot)
            late = {**board.pushed_by(n), **self._pushed_by_windows(n, slot)}
            back = [place[other] for other in late if other in place]
            if late and (len(back) < len(late) or pushes >= MOST_PUSHES) and not self.elastic:
                board.back_to(marks[0])
                return n
            if not back or pushes >= MOST_PUSHES:
                at += 1
                continue
            pushes += 1
            push.update({other: max(tick, push.get(other, 0)) for other, tick in late.items() if other in place})
            at = min(back)
            board.back_to(marks[at])
        return None

    def _may_push(self, n: int) -> bool:
        """Can it turn out, once n lies somewhere, that it may not lie there?"""
        shape = self.shape
        return bool(shape.untils[n]) or n in self.board.nights.backs or any(lag.within for _, lag in shape.into[n])

    def _slot(self, n: int, tick: int) -> Slot | None:
        slot = self.board.earliest(n, tick)
        if slot is not None or not self.elastic:
            return slot
        slot = self.board.earliest(n, tick, nights=False)
        if slot is not None:
            return slot
        network, task = self.shape.network, self.shape.tasks[n]
        start = late_visit(network, task.ticks, tick) if is_visit(task) else max(tick, network.horizon)
        return Slot(start, start + task.ticks, 0, 0)

    def ready(self, n: int) -> int:
        """The tick before which n may not begin, as far as laid tasks say."""
        tick = max(self.shape.network.now, self.shape.tasks[n].release, self.not_before.get(n, 0))
        for other, lag in self.shape.into[n]:
            slot = self.board.laid.get(other)
            if slot is not None:
                tick = max(tick, after(lag.wait, slot.start if lag.from_start else slot.finish))
        return tick

    def _pushed_by_windows(self, n: int, slot: Slot) -> dict[int, int]:
        """Earlier tasks whose window has shut when n begins, and when they may begin so that it has not."""
        late: dict[int, int] = {}
        for other, lag in self.shape.into[n]:
            if lag.within is None or other not in self.board.laid:
                continue
            earlier = self.board.laid[other]
            base = earlier.start if lag.from_start else earlier.finish
            if slot.start > after(lag.within, base):
                begin = earliest_from(lag.within, slot.start) - base + earlier.start
                late[other] = max(late.get(other, 0), begin, earlier.start + 1)
        return late
