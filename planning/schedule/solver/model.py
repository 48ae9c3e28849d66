"""The solver's model while it is being built: its variables, and what each would be in a given plan."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from ortools.sat.python import cp_model

from planning.job.hours import joined
from planning.schedule.network import Network, Task, Tick
from planning.schedule.solver.ranges import Ranges
from planning.schedule.solver.reach import Reach

Expr = cp_model.LinearExpr | int
Literal = cp_model.BoolVarT | bool
"""A yes-or-no variable of the model or its opposite, or what is always or never so."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a plan has a task: start, finish, index of the crew and of the way in."""

    start: Tick
    finish: Tick
    crew: int = 0
    way: int = 0


Places = Mapping[str, Place]


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch for a no-overlap: an interval of the model, or a fixed stretch when there is none."""

    interval: cp_model.IntervalVar | None
    start: Tick = 0
    finish: Tick = 0


@dataclass(slots=True)
class TaskVars:
    """A task in the model. A literal of None means "always"; `crews` and `ways` give literals by index."""

    task: Task
    reach: Reach
    starts: Ranges
    finishes: Ranges
    start: Expr = 0
    finish: Expr = 0
    size: Expr = 0
    span: Span = Span(None)
    crews: dict[int, Literal | None] = field(default_factory=dict)
    crew_spans: dict[int, Span] = field(default_factory=dict)
    ways: dict[int, Literal | None] = field(default_factory=dict)
    missed: Literal | None = None

    @property
    def id(self) -> str:
        """The task's id."""
        return self.task.id

    @property
    def fixed(self) -> bool:
        """Has it begun?"""
        return self.task.fixed is not None


class Model:
    """A network as a CP-SAT model.

    Every variable is registered with how to read it off a plan, so any plan is a complete hint. `elastic`: windows,
    visits and nights may be broken at a price.
    """

    def __init__(self, network: Network, elastic: bool = False) -> None:
        self.network = network
        self.elastic = elastic
        self.cp = cp_model.CpModel()
        self.tasks: dict[str, TaskVars] = {}
        self.overruns: list[tuple[Expr, int]] = []
        self.night_reads: list[tuple[Tick, Callable[[Places], bool]]] = []
        self.person_spans: dict[str, list[Span]] = {}
        self.readers: list[tuple[cp_model.IntVar, Callable[[Places], int]]] = []
        self._literals: dict[tuple[str, str, tuple[Ranges, ...]], list[Literal | None]] = {}

    # variables

    def int_var(self, low: int, high: int, read: Callable[[Places], int]) -> cp_model.IntVar:
        """A whole number, and its value in a plan."""
        var = self.cp.new_int_var(low, high, "")
        self.readers.append((var, read))
        return var

    def int_in(self, ranges: Ranges, read: Callable[[Places], int]) -> cp_model.IntVar:
        """A whole number from these ranges, and its value in a plan."""
        var = self.cp.new_int_var_from_domain(domain(ranges), "")
        self.readers.append((var, read))
        return var

    def bool_var(self, read: Callable[[Places], bool | int]) -> cp_model.IntVar:
        """A yes or no, and its value in a plan."""
        var = self.cp.new_bool_var("")
        self.readers.append((var, read))
        return var

    def choice(self, reads: Sequence[Callable[[Places], bool]]) -> list[Literal | None]:
        """Exactly one of several: no literal for one, one literal and its opposite for two."""
        if len(reads) == 1:
            return [None]
        if len(reads) == 2:
            one = self.bool_var(reads[0])
            return [one, one.negated()]
        many = [self.bool_var(read) for read in reads]
        self.cp.add_exactly_one(many)
        return list(many)

    def ticks_in(self, task: TaskVars, from_start: bool, parts: tuple[Ranges, ...]) -> list[Literal | None]:
        """Literals that say in which part of its possible finishes (or starts) a task ends (or begins)."""
        key = (task.id, "start" if from_start else "finish", parts)
        if key not in self._literals:
            tick = task.start if from_start else task.finish
            literals = self.choice([_reader(task.id, from_start, part) for part in parts])
            for literal, part in zip(literals, parts, strict=True):
                if literal is not None:
                    self.within(tick, part, literal)
            self._literals[key] = literals
        return self._literals[key]

    def hint(self, places: Places) -> None:
        """Take a plan as the hint: every variable that can be read off it."""
        self.cp.proto.clear_solution_hint()
        for var, read in self.readers:
            try:
                value = read(places)
            except LookupError:
                # The plan may lack a task that is new, or name a crew that is gone: the solver finds its own value.
                continue
            self.cp.add_hint(var, value)

    # constraints

    def within(self, tick: Expr, ranges: Ranges, literal: Literal | None = None) -> None:
        """The tick lies in the ranges, if the literal holds."""
        row = self.cp.add_linear_expression_in_domain(tick, domain(ranges))
        if literal is not None:
            row.only_enforce_if(literal)

    def no_overlap(self, spans: Iterable[Span]) -> None:
        """None of these stretches overlap, but fixed ones may: what has happened constrains only what has not."""
        intervals: list[cp_model.IntervalVar] = []
        fixed: list[tuple[Tick, Tick]] = []
        for span in spans:
            if span.interval is not None:
                intervals.append(span.interval)
            elif span.finish > max(span.start, self.network.now):
                fixed.append((max(span.start, self.network.now), span.finish))
        if not intervals:
            return
        intervals += [self.cp.new_fixed_size_interval_var(a, b - a, "") for a, b in joined(fixed)]
        if len(intervals) < 2:
            return
        self.cp.add_no_overlap(intervals)


@lru_cache(maxsize=4096)
def domain(ranges: Ranges) -> cp_model.Domain:
    """Ranges as the solver's own domain."""
    return cp_model.Domain.from_flat_intervals([tick for pair in ranges for tick in pair])


def _reader(task: str, from_start: bool, part: Ranges) -> Callable[[Places], bool]:
    def read(places: Places) -> bool:
        tick = places[task].start if from_start else places[task].finish
        return any(a <= tick <= b for a, b in part)

    return read
