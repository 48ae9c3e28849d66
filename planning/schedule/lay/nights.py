"""The household's nights while a plan is being laid: which toilet works, and what would take the last one away."""

from collections.abc import Iterable, Mapping, Sequence

from planning.schedule.availability import FAR, span
from planning.schedule.network import Toilet
from planning.schedule.shape import Place, Shape

Closed = Sequence[tuple[str, int, int]]
"""Floors that would be off: (floor, from, until)."""


class Nights:
    """Reads the board's floors and laid tasks; a toilet taken out and not yet given back is out for ever."""

    def __init__(
        self, shape: Shape, shut: Mapping[Place, int], parts: Mapping[Place, Mapping[tuple[int, int], int]],
        laid: Mapping[int, tuple[int, int, int, int]],
    ) -> None:  # fmt: skip
        network = shape.network
        self.shape = shape
        self.shut = shut
        self.parts = parts
        self.laid = laid
        self.toilets = network.toilets
        now = network.now
        self.nights = sorted((max(now, night.start), night.finish) for night in network.nights if night.finish > now)
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
        """Forget the nights that what has happened already leaves without a toilet, whatever is done now."""
        self.nights = [n for n in self.nights if not all(self._spoiled(toilet, n) for toilet in self.toilets)]

    def _spoiled(self, toilet: Toilet, night: tuple[int, int]) -> bool:
        back = self.shape.index.get(toilet.back or "")
        never_back = back is None or (back in self.laid and self.laid[back][1] > night[0])
        if never_back and any(self.laid[n][0] < night[1] for n in self._known(toilet.out) if n in self.laid):
            return True
        return all(any(self._settled(floor, night) for floor in way) for way in toilet.ways)

    def _settled(self, floor: str, night: tuple[int, int]) -> bool:
        """Is the floor off that night by what has happened, with nothing yet to do that could end it?"""
        for (n, at), ticks in self.parts.get(("walk", floor), {}).items():
            if ticks & span(*night) and all(other in self.laid for other in self.shape.until(n, at)):
                return True
        return False

    def concerns(self, n: int) -> bool:
        """Can laying that task cost a night?"""
        if not self.nights:
            return False
        task = self.shape.tasks[n]
        return n in self.outs or any(off.what == "walk" and off.floor in self.floors for off in task.off)

    def barred(self, n: int, start: int, finish: int, closed: Closed) -> int:
        """The tick before which n may not begin as it would cost the household a night; 0 when it costs none.

        FAR when it depends on when another toilet is given back, which is not known yet.
        """
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
                if self._something_out and self.served(night, closed, start, backs, hoping=True):
                    return FAR
                later = night[1]
        return later

    @property
    def _something_out(self) -> bool:
        """Is a toilet out whose return is not laid yet?"""
        return any(back not in self.laid and any(o in self.laid for t in toilets for o in self._known(t.out))
                   for back, toilets in self.backs.items())  # fmt: skip

    def _back_after(self, toilet: Toilet, n: int, finish: int) -> int:
        back = self.shape.index.get(toilet.back or "")
        if back is None:
            return FAR
        return self.laid[back][1] if back in self.laid else finish + self.shape.delay(n, back)

    def served(
        self, night: tuple[int, int], closed: Closed = (), out_from: int = FAR,
        backs: Mapping[str, int] | None = None, hoping: bool = False,
    ) -> bool:  # fmt: skip
        """Does a toilet work that night? `closed`: more floors off; `backs`: toilets out from `out_from` until then;
        `hoping`: a toilet that is out with its return not yet laid is taken as back in time.
        """
        for toilet in self.toilets:
            start = min([FAR, *(self.laid[o][0] for o in self._known(toilet.out) if o in self.laid)])
            back = self.shape.index.get(toilet.back or "")
            finish = FAR if back is None else self.laid[back][1] if back in self.laid else 0 if hoping else FAR
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
