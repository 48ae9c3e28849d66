"""The household's nights while a plan is being laid: which toilet still works, and what would take the last one away."""

from collections.abc import Iterable, Mapping, Sequence

from planning.schedule.availability import FAR, span
from planning.schedule.network import Toilet
from planning.schedule.shape import Place, Shape

Closed = Sequence[tuple[str, int, int]]
"""Floors that would be off: (floor, from, until)."""


class Nights:
    """Reads the board's floors and laid tasks; a toilet taken out and not yet given back is out for ever."""

    def __init__(self, shape: Shape, shut: Mapping[Place, int], laid: Mapping[int, tuple[int, int, int, int]]) -> None:
        network = shape.network
        self.shape = shape
        self.shut = shut
        self.laid = laid
        self.toilets = network.toilets
        self.nights = sorted((night.start, night.finish) for night in network.nights if night.finish > network.now)
        if not self.toilets:
            self.nights = []
        self.floors = {floor for toilet in self.toilets for way in toilet.ways for floor in way}
        self.outs: dict[int, list[Toilet]] = {}
        self.backs: dict[int, list[Toilet]] = {}
        for toilet in self.toilets:
            for name in toilet.out:
                if name in shape.index:
                    self.outs.setdefault(shape.index[name], []).append(toilet)
            if toilet.back in shape.index:
                self.backs.setdefault(shape.index[toilet.back], []).append(toilet)

    def skip_lost(self) -> None:
        """Forget the nights that what has already happened leaves without a toilet, whatever is done now."""
        now = self.shape.network.now
        hoped = {toilet.room: self._back(toilet, now) for toilet in self.toilets}
        self.nights = [night for night in self.nights if self.served(night, backs=hoped)]

    def _back(self, toilet: Toilet, tick: int) -> int:
        """When the toilet is back at the earliest, if nothing more is done before `tick`."""
        back = self.shape.index.get(toilet.back or "")
        if back is None:
            return FAR
        return self.laid[back][1] if back in self.laid else tick + self.shape.tasks[back].ticks

    def concerns(self, n: int) -> bool:
        """Can laying that task cost a night?"""
        if not self.nights:
            return False
        task = self.shape.tasks[n]
        return n in self.outs or any(off.what == "walk" and off.floor in self.floors for off in task.off)

    def barred(self, n: int, start: int, finish: int, closed: Closed) -> int:
        """The tick before which n may not begin as it would cost the household a night; 0 when it costs none."""
        if not self.nights:
            return 0
        closed = [each for each in closed if each[0] in self.floors]
        outs = self.outs.get(n, ())
        backs = {toilet.room: self._back_after(toilet, n, finish) for toilet in outs}
        if not closed and not backs:
            return 0
        over = max([*(each[2] for each in closed), *backs.values()])
        later = 0
        for night in self.nights:
            if night[0] < over and night[1] > start and not self.served(night, closed, start, backs):
                later = night[1]
        return later

    def _back_after(self, toilet: Toilet, n: int, finish: int) -> int:
        back = self.shape.index.get(toilet.back or "")
        if back is None:
            return FAR
        return self.laid[back][1] if back in self.laid else finish + self.shape.delay(n, back)

    def served(
        self, night: tuple[int, int], closed: Closed = (), out_from: int = FAR, backs: Mapping[str, int] | None = None
    ) -> bool:
        """Does a toilet work that night? `closed`: more floors off; `backs`: toilets out from `out_from` until then."""
        for toilet in self.toilets:
            start = min([FAR, *(self.laid[o][0] for o in self._known(toilet.out) if o in self.laid)])
            back = self.shape.index.get(toilet.back or "")
            finish = self.laid[back][1] if back is not None and back in self.laid else FAR
            if backs is not None and toilet.room in backs:
                start, finish = min(start, out_from), backs[toilet.room]
            if start < night[1] and finish > night[0] and start < finish:
                continue
            if any(self._open(way, night, closed) for way in toilet.ways):
                return True
        return False

    def _known(self, names: Iterable[str]) -> Iterable[int]:
        return (self.shape.index[name] for name in names if name in self.shape.index)

    def _open(self, way: Sequence[str], night: tuple[int, int], closed: Closed) -> bool:
        ticks = span(*night)
        if any(self.shut.get(("walk", floor), 0) & ticks for floor in way):
            return False
        return not any(floor in way and start < night[1] and over > night[0] for floor, start, over in closed)

    def pushed_by(self, n: int) -> dict[int, int]:
        """Tasks to begin later (no sooner than that tick), as with n laid where it is a night is lost."""
        if not self.nights:
            return {}
        owners = [o for toilet in self.backs.get(n, ()) for o in self._known(toilet.out) if o in self.laid]
        owners += [o for o in self.shape.untils[n] if o in self.laid and self.concerns(o)]
        over = self.laid[n][1]
        pushed: dict[int, int] = {}
        for owner in owners:
            start = self.laid[owner][0]
            for night in self.nights:
                if night[0] < over and night[1] > start and not self.served(night):
                    pushed[owner] = night[1]
        return pushed
