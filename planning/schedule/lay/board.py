"""What is taken when, while a plan is being laid: people, gear, floors and nights as sets of ticks.

A board knows the tasks laid so far and finds the earliest slot for one more. Laying is undone by a journal, so a
group of tasks can be tried and taken up again.
"""

from collections.abc import Hashable, Sequence
from typing import Any, NamedTuple

from planning.schedule.availability import FAR, after, next_start, span, spread
from planning.schedule.lay.nights import Nights
from planning.schedule.shape import Place, Shape

MOST_CREWS = 5
"""Of more crews than these, only those with the least to do are looked at (ours, no source)."""

NARROW_TICKS = 72
"""A visit that may only begin within so many ticks (6 h) has its way in kept free from the outset (ours, no source)."""


class Slot(NamedTuple):
    """Where a task could lie, or lies."""

    start: int
    finish: int
    crew: int
    way: int


class Board:
    """Ticks taken by what is laid. Tasks already fixed are laid from the start, whatever they clash with."""

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self.end = shape.network.horizon + 1
        self.laid: dict[int, Slot] = {}
        self.busy: dict[str, int] = {}
        self.load: dict[str, int] = {}
        """Ticks each person has to do so far."""
        self.gear: dict[str, tuple[int, ...]] = {name: (0,) * most for name, most in shape.network.gear.items()}
        self.used: dict[Place, int] = {}
        self.shut: dict[Place, int] = {}
        self.parts: dict[Place, dict[tuple[int, int], int]] = {}
        self.held: dict[int, tuple[list[Place], int]] = {}
        self.nights = Nights(shape, self.shut, self.parts, self.laid)
        self.keeps_journal = False
        """Set while something may have to be taken up again."""
        self._journal: list[tuple[dict[Any, Any], Hashable, object]] = []
        for n, task in enumerate(shape.tasks):
            if task.fixed is not None:
                self.lay(n, Slot(*task.fixed, 0, self._way_of_fixed(n)))
        self.nights.skip_lost()
        self._hold_for_visits()

    def _way_of_fixed(self, n: int) -> int:
        """Which way somebody already at work came: nobody asks, so one that clashes with least."""
        start, finish = self.shape.tasks[n].fixed or (0, 0)
        ticks = span(start, finish)
        ways = self.shape.tasks[n].ways
        clash = [sum(1 for floor in way if self.shut.get(("walk", floor), 0) & ticks) for way in ways]
        return clash.index(min(clash)) if clash else 0

    def _hold_for_visits(self) -> None:
        """Keep the way in free for each visit whose time is as good as fixed."""
        for n in self.shape.visits:
            starts = self.shape.tasks[n].crews[0].starts
            low, high = max(starts[0][0], self.shape.network.now), starts[-1][1] + self.shape.tasks[n].ticks
            if high - low <= NARROW_TICKS and self.shape.tasks[n].ways:
                self.held[n] = list(self.shape.uses(n, 0)), span(low, high)

    def mark(self) -> int:
        """A point in the journal to go back to."""
        return len(self._journal)

    def back_to(self, mark: int) -> None:
        """Undo everything laid after that mark."""
        while len(self._journal) > mark:
            where, key, old = self._journal.pop()
            if old is None:
                del where[key]
            else:
                where[key] = old

    def earliest(self, n: int, tick: int, nights: bool = True) -> Slot | None:
        """The slot of task n that finishes first among those that start at or after `tick`; None when there is none.

        `nights` False: the household's nights are not asked.
        """
        task = self.shape.tasks[n]
        everywhere = self._shut_for(n, [("wet", f) for f in task.wet_on] + [("heavy", f) for f in task.heavy_on])
        for floor in task.wet_on:
            everywhere |= self.used.get(("wet", floor), 0)
        for name, count in task.gear.items():
            if count > len(self.gear.get(name, ())):
                return None
            everywhere |= self.gear[name][len(self.gear[name]) - count] if count else 0
        best: Slot | None = None
        for way, floors in enumerate(task.ways):
            shut = everywhere | self._shut_for(n, [("walk", floor) for floor in floors])
            for crew in self._likely(n):
                limit = best.finish if best is not None else self.end
                begin = next_start(task.crews[crew], tick)
                if begin is None or begin[0] + task.ticks >= limit:
                    continue
                taken = shut
                for name in task.crews[crew].people:
                    taken |= self.busy.get(name, 0)
                found = self._slot(n, tick, taken, crew, way, limit, nights)
                if found is not None:
                    best = found
        return best

    def _likely(self, n: int) -> Sequence[int]:
        """The crews to look at: all of a few; of many, those who have the least to do so far."""
        crews = self.shape.preferred[n]
        if len(crews) <= MOST_CREWS:
            return crews
        options = self.shape.tasks[n].crews
        load = self.load
        return sorted(crews, key=lambda crew: sum([load.get(name, 0) for name in options[crew].people]))[:MOST_CREWS]

    def _slot(self, n: int, tick: int, taken: int, crew: int, way: int, limit: int, nights: bool) -> Slot | None:
        ticks = self.shape.tasks[n].ticks
        asks = bool(self.shape.tasks[n].off) or (nights and self.nights.concerns(n))
        free = [(extra, mask & ~spread(taken, ticks + extra)) for extra, mask in self.shape.starts(n, crew)]
        while tick < limit:
            start, length = FAR, ticks
            for extra, mask in free:
                left = mask >> tick
                if left:
                    first = tick + (left & -left).bit_length() - 1
                    if first < start:
                        start, length = first, ticks + extra
            if start + length >= limit:
                return None
            tick = self._barred(n, start, start + length, nights) if asks else 0
            if not tick:
                return Slot(start, start + length, crew, way)
        return None

    def _shut_for(self, n: int, places: list[Place]) -> int:
        """The ticks at which any of these places is off for task n."""
        exempt = self.shape.exempt[n]
        shut = 0
        for place in places:
            if exempt and not exempt.isdisjoint(self.parts.get(place, ())):
                for owner, ticks in self.parts[place].items():
                    if owner not in exempt:
                        shut |= ticks
            else:
                shut |= self.shut.get(place, 0)
        return shut

    def _barred(self, n: int, start: int, finish: int, nights: bool) -> int:
        """The tick before which task n may not begin, as its own stay-offs would bar what is laid; 0 when it may."""
        later = 0
        closed: list[tuple[str, int, int]] = []
        for at, off in enumerate(self.shape.tasks[n].off):
            over = self.off_ends(n, at, finish, guess=True)
            clash = self._users((n, at), (off.what, off.floor), start, over)
            if clash:
                later = max(later, start + clash.bit_length())
            if off.what == "walk":
                closed.append((off.floor, start, over))
        if later or not nights:
            return later
        return self.nights.barred(n, start, finish, closed)

    def _users(self, owner: tuple[int, int], place: Place, start: int, over: int) -> int:
        """Who uses the place in [start, over) though this stay-off bars them, as bits counted from `start`."""
        used = self.used.get(place, 0)
        exempt = self.shape.exempt
        for visit, (places, ticks) in self.held.items():
            if visit not in self.laid and place in places and owner not in exempt[visit]:
                used |= ticks
        clash = (used >> start) & ((1 << (over - start)) - 1) if over > start else 0
        if not clash or owner[0] not in self.shape.spares:
            return clash
        clash = 0
        for other, slot in self.laid.items():
            if slot.finish <= start or slot.start >= over or other == owner[0] or owner in exempt[other]:
                continue
            if place in self.shape.uses(other, slot.way):
                clash |= span(max(slot.start, start), min(slot.finish, over)) >> start
        return clash

    def off_ends(self, n: int, at: int, finish: int, guess: bool = False) -> int:
        """When stay-off number `at` of task n is over if n ends at `finish`.

        What lasts until something not yet laid lasts for ever; with `guess`, as long as it must at the least.
        """
        off = self.shape.tasks[n].off[at]
        if not off.until:
            return after(off.ticks, finish)
        over = finish
        for other in self.shape.until(n, at):
            if other in self.laid:
                over = max(over, self.laid[other].finish)
            elif not guess:
                return self.end
            else:
                over = max(over, finish + self.shape.delay(n, other))
        return over

    def lay(self, n: int, slot: Slot) -> None:
        """Lay task n there."""
        task = self.shape.tasks[n]
        ticks = span(slot.start, slot.finish)
        self._set(self.laid, n, slot)
        for name in task.crews[slot.crew].people:
            self._set(self.busy, name, self.busy.get(name, 0) | ticks)
            self._set(self.load, name, self.load.get(name, 0) + task.ticks)
        for name, count in task.gear.items():
            self._take(name, count, ticks)
        for place in self.shape.uses(n, slot.way):
            self._set(self.used, place, self.used.get(place, 0) | ticks)
        for at, off in enumerate(task.off):
            place = (off.what, off.floor)
            shut = span(slot.start, self.off_ends(n, at, slot.finish))
            self._set(self.parts.setdefault(place, {}), (n, at), shut)
            self._set(self.shut, place, self.shut.get(place, 0) | shut)
        for owner in self.shape.untils[n]:
            if owner in self.laid:
                self._reopen(owner)

    def pushed_by(self, n: int) -> dict[int, int]:
        """Tasks laid already that must begin later (no sooner than that tick) now that n lies where it does."""
        pushed: dict[int, int] = {}
        for owner in self.shape.untils[n]:
            slot = self.laid.get(owner)
            if slot is not None and owner != n:
                later = self._barred(owner, slot.start, slot.finish, nights=False)
                if later:
                    pushed[owner] = later
        pushed.update(self.nights.pushed_by(n))
        return pushed

    def _reopen(self, owner: int) -> None:
        """What ends a stay-off of `owner` is laid: shorten that stay-off."""
        slot = self.laid[owner]
        for at, off in enumerate(self.shape.tasks[owner].off):
            if off.until:
                place = (off.what, off.floor)
                self._set(self.parts[place], (owner, at), span(slot.start, self.off_ends(owner, at, slot.finish)))
                total = 0
                for part in self.parts[place].values():
                    total |= part
                self._set(self.shut, place, total)

    def _take(self, name: str, count: int, ticks: int) -> None:
        for _ in range(count):
            carry = ticks
            levels = []
            for level in self.gear.get(name, ()):
                levels.append(level | carry)
                carry &= level
            self._set(self.gear, name, tuple(levels))

    def _set(self, where: dict[Any, Any], key: Hashable, new: object) -> None:
        if self.keeps_journal:
            self._journal.append((where, key, where.get(key)))
        where[key] = new
