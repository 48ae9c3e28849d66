"""A working toilet that can be reached, on every night the job promises one."""

from collections.abc import Callable

from planning.schedule.network import Night, Tick, Toilet
from planning.schedule.solver.floors import Floor
from planning.schedule.solver.model import Literal, Model, Places, Span
from planning.schedule.solver.tasks import useful_ways

MISSED_NIGHT = 4000
"""What a night without a toilet costs when facts must be broken, in ticks of a broken window."""

Read = Callable[[Places], bool]
Wish = tuple[Literal, Read]
"""A literal that holds only if something is so, and whether it is so in a plan."""

ALWAYS: Wish = (True, lambda places: True)


def add_nights(model: Model, floors: dict[str, Floor]) -> None:
    """The rule of every night still to come. A night that what has happened already spoils is left alone."""
    rules = _Nights(model, floors)
    for night in model.network.nights:
        left = Night(max(night.start, model.network.now), night.finish)
        if left.start < left.finish and model.network.toilets:
            rules.add(left, night.start)
    rules.keep_apart()


class _Nights:
    """Literals are shared between toilets: a hall is free or not, whoever goes through it."""

    def __init__(self, model: Model, floors: dict[str, Floor]) -> None:
        self.model = model
        self.floors = floors
        self._wishes: dict[tuple[str, str, Night], Wish] = {}
        self._spans: dict[str, list[Span]] = {name: [] for name in floors}

    def add(self, night: Night, begins: Tick) -> None:
        """At least one toilet serves what is left of the night that begins at that tick."""
        model = self.model
        toilets = [toilet for toilet in model.network.toilets if not self._spoiled(toilet, night)]
        serves = [self._serves(toilet, night) for toilet in toilets]
        if not serves or any(literal is True for literal, _ in serves):
            return
        literals = [literal for literal, _ in serves]
        if model.elastic:
            missed = model.bool_var(lambda places: not any(read(places) for _, read in serves))
            model.overruns.append((missed, MISSED_NIGHT))
            literals.append(missed)
            model.night_reads.append((begins, lambda places: any(read(places) for _, read in serves)))
        model.cp.add_bool_or(literals)

    def keep_apart(self) -> None:
        """No closure overlaps a night for which its floor was taken as free."""
        for name, spans in self._spans.items():
            floor = self.floors[name]
            if spans and floor.main:
                self.model.no_overlap([*(closed.span for closed in floor.main), *spans])
            for closed in floor.lone if spans else ():
                self.model.no_overlap([closed.span, *spans])

    def _spoiled(self, toilet: Toilet, night: Night) -> bool:
        """Is it already sure that this toilet cannot serve, whatever is planned?"""
        tasks = self.model.tasks
        back = tasks.get(toilet.back) if toilet.back is not None else None
        for task in (tasks[name] for name in toilet.out if name in tasks):
            never_back = back is None or (back.fixed and back.reach.last_finish > night.start)
            if task.fixed and task.reach.low < night.finish and never_back:
                return True
        return all(any(self._shut(floor, night) for floor in way) for way in toilet.ways)

    def _shut(self, name: str, night: Night) -> bool:
        floor = self.floors.get(name)
        fixed = [closed.span for closed in floor.closed if closed.span.interval is None] if floor else []
        return any(span.start < night.finish and span.finish > night.start for span in fixed)

    def _serves(self, toilet: Toilet, night: Night) -> Wish:
        """Does this toilet work that night, and can it be reached?"""
        stand_for = useful_ways(toilet.ways, frozenset(self.floors))
        ways = [self._reached(toilet.ways[n], night) for n in sorted(set(stand_for))]
        working = [self._works(name, toilet, night) for name in toilet.out if name in self.model.tasks]
        return self._all([self._any(ways), *working])

    def _reached(self, way: tuple[str, ...], night: Night) -> Wish:
        return self._all([self._free(self.floors[name], night) for name in way if name in self.floors])

    def _free(self, floor: Floor, night: Night) -> Wish:
        """Is nothing on this floor green that night?"""
        closures = [c for c in floor.closed if c.task.reach.low < night.finish]

        def read(places: Places) -> bool:
            return all(places[c.task.id].start >= night.finish or c.ends(places) <= night.start for c in closures)

        def span(literal: Literal) -> None:
            length = night.finish - night.start
            interval = self.model.cp.new_optional_fixed_size_interval_var(night.start, length, literal, "")
            self._spans[floor.name].append(Span(interval))

        return self._wish("free", floor.name, night, read, span)

    def _works(self, out: str, toilet: Toilet, night: Night) -> Wish:
        """Is the toilet not taken out before this night is over, or given back before it begins?"""
        task = self.model.tasks[out]
        wishes = [self._starts_after(task.id, night)]
        if toilet.back is not None and toilet.back in self.model.tasks:
            wishes.append(self._ends_before(toilet.back, night))
        return self._any(wishes)

    def _starts_after(self, name: str, night: Night) -> Wish:
        task = self.model.tasks[name]
        if task.reach.low >= night.finish:
            return ALWAYS

        def row(literal: Literal) -> None:
            self.model.cp.add(task.start >= night.finish).only_enforce_if(literal)

        return self._wish("starts after", name, night, lambda places: places[name].start >= night.finish, row)

    def _ends_before(self, name: str, night: Night) -> Wish:
        task = self.model.tasks[name]
        if task.reach.last_finish <= night.start:
            return ALWAYS

        def row(literal: Literal) -> None:
            self.model.cp.add(task.finish <= night.start).only_enforce_if(literal)

        return self._wish("ends before", name, night, lambda places: places[name].finish <= night.start, row)

    def _wish(self, what: str, name: str, night: Night, read: Read, enforce: Callable[[Literal], None]) -> Wish:
        key = (what, name, night)
        if key not in self._wishes:
            literal = self.model.bool_var(read)
            enforce(literal)
            self._wishes[key] = (literal, read)
        return self._wishes[key]

    def _all(self, wishes: list[Wish]) -> Wish:
        """One wish for all of these."""
        real = [wish for wish in wishes if wish[0] is not True]
        if len(real) <= 1:
            return real[0] if real else ALWAYS
        both = self.model.bool_var(lambda places: all(read(places) for _, read in real))
        self.model.cp.add_bool_and([literal for literal, _ in real]).only_enforce_if(both)
        return both, lambda places: all(read(places) for _, read in real)

    def _any(self, wishes: list[Wish]) -> Wish:
        """One wish for at least one of these."""
        if len(wishes) == 1 or any(literal is True for literal, _ in wishes):
            return wishes[0] if len(wishes) == 1 else ALWAYS
        either = self.model.bool_var(lambda places: any(read(places) for _, read in wishes))
        self.model.cp.add_bool_or([literal for literal, _ in wishes]).only_enforce_if(either)
        return either, lambda places: any(read(places) for _, read in wishes)
