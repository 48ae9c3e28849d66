"""What makes one plan better than another, as expressions to minimise, in the order in which they count."""

from collections.abc import Callable
from dataclasses import dataclass

from planning.schedule.network import Due, Lag, Network, Solution, Tick
from planning.schedule.solver import measure
from planning.schedule.solver.lags import LONGEST_OVERRUN, latest_starts
from planning.schedule.solver.model import Expr, Model, Places, Span, TaskVars
from planning.schedule.solver.nights import MISSED_NIGHT
from planning.schedule.solver.ranges import holds
from planning.schedule.solver.values import due_values

MISSED_VISIT = 2000
"""What a visit not at its time costs, in ticks of a broken window: more than any window that matters."""


@dataclass(frozen=True, slots=True)
class Goal:
    """A stage: its name, its share of the effort, its expression (made when the stage is reached), its exact value."""

    name: str
    share: float
    make: Callable[[Model], Expr]
    value: Callable[[Network, Solution], int]


def late(model: Model) -> Expr:
    """Ticks by which the promises are missed."""
    return sum(_late(model, due) for due in model.network.dues)


def later_than_told(model: Model) -> Expr:
    """Ticks by which promises are missed beyond what the accepted plan already owned up to."""
    return sum(_beyond(model, due, measure.owned_up(model.network, due)) for due in model.network.dues)


def _beyond(model: Model, due: Due, told: int) -> Expr:
    late = _late(model, due)
    if told == 0:
        return late
    if isinstance(late, int):
        return max(0, late - told)
    names = [name for name, _ in due.ends if name in model.tasks]

    def read(places: Places) -> int:
        return max(0, measure.late_of(due, {name: places[name].finish for name in names}) - told)

    over = model.int_var(0, model.network.horizon, read)
    model.cp.add(over >= late - told)
    return over


def _late(model: Model, due: Due) -> Expr:
    ends = tuple((name, curve) for name, curve in due.ends if name in model.tasks)
    done = [model.tasks[name] for name, _ in ends]
    if all(task.fixed for task in done):
        return measure.late_of(due, {task.id: task.reach.last_finish for task in done})
    most = max((t.reach.last_finish + max(w for _, w in curve) for t, (_, curve) in zip(done, ends, strict=True)))
    over = model.int_var(
        0, max(0, most - due.tick), lambda places: measure.late_of(due, {name: places[name].finish for name, _ in ends})
    )
    for name, curve in ends:
        task = model.tasks[name]
        values = due_values(curve, task.finishes, due.tick)
        parts = model.ticks_in(task, False, tuple(value.when for value in values))
        for value, part in zip(values, parts, strict=True):
            row = model.cp.add(over >= task.finish + value.ticks - due.tick)
            if part is not None:
                row.only_enforce_if(part)
    return over


def finish(model: Model) -> Expr:
    """The finish of the last task that counts."""
    counting = [task for task in model.tasks.values() if task.task.counts]
    names = [task.id for task in counting]
    if all(task.fixed for task in counting):
        return max((task.reach.last_finish for task in counting), default=0)
    low = max(task.reach.first_finish for task in counting)
    end = model.int_var(
        low, max(t.reach.last_finish for t in counting), lambda places: max(places[name].finish for name in names)
    )
    for task in counting:
        model.cp.add(end >= task.finish)
    return end


def later(model: Model) -> Expr:
    """Ticks by which the job ends later than the accepted plan said."""
    assert model.network.before is not None
    said = model.network.before.finish
    end = finish(model)
    if isinstance(end, int):
        return max(0, end - said)
    names = [task.id for task in model.tasks.values() if task.task.counts]
    over = model.int_var(
        0, model.network.horizon, lambda places: max(0, max(places[name].finish for name in names) - said)
    )
    model.cp.add(over >= end - said)
    return over


def person_days(model: Model) -> Expr:
    """Days on site at their price: the days there are, less days off, each a stretch of its own in the person's day."""
    worked = 0
    free: list[Expr] = []
    for name, spans in model.person_spans.items():
        price = measure.price_of_day(model.network, name)
        taken = [(span.start, span.finish) for span in spans if span.interval is None]
        offs: list[Span] = []
        for first, last in model.network.person_days.get(name, ()):
            busy = any(start < last and end > first for start, end in taken)
            to_come = first < last and last > model.network.now
            if busy or to_come:
                worked += price
            if to_come and not busy:
                literal = model.bool_var(_day_off_reader(model, name, first, last))
                free.append(price * literal)
                interval = model.cp.new_optional_fixed_size_interval_var(first, last - first, literal, "")
                offs.append(Span(interval))
        if offs:
            model.no_overlap([*spans, *offs])
    return worked - sum(free)


def _day_off_reader(model: Model, name: str, first: Tick, last: Tick) -> Callable[[Places], bool]:
    crews = {t.id: [n for n, crew in enumerate(t.task.crews) if name in crew.people] for t in model.tasks.values()}
    own = [(task, some) for task, some in crews.items() if some]

    def read(places: Places) -> bool:
        return not any(
            (place := places[task]).start < last and place.finish > first and place.crew in some for task, some in own
        )

    return read


def margin(model: Model) -> Expr:
    """Less is better, so: minus the slack in all windows, each counted up to an hour."""
    windows = [lag for lag in model.network.lags if lag.within is not None and not model.tasks[lag.after].fixed]
    return -sum(_slack(model, lag) for lag in windows)


def _slack(model: Model, lag: Lag) -> Expr:
    before, after = model.tasks[lag.before], model.tasks[lag.after]

    def read(places: Places) -> int:
        ends = {name: places[name] for name in (lag.before, lag.after)}
        starts = {name: place.start for name, place in ends.items()}
        finishes = {name: place.finish for name, place in ends.items()}
        return min(measure.MARGIN, measure.slack(lag, starts, finishes))

    slack = model.int_var(-LONGEST_OVERRUN if model.elastic else 0, measure.MARGIN, read)
    for latest, part in latest_starts(model, lag, before, after):
        row = model.cp.add(slack <= latest - after.start)
        if part is not None:
            row.only_enforce_if(part)
    return slack


def tidy(model: Model) -> Expr:
    """Everything as early as it goes."""
    free = [task for task in model.tasks.values() if not task.fixed]
    return sum(task.start for task in free) - model.network.now * len(free)


def overrun(model: Model) -> Expr:
    """The price of every fact that is broken: a missed visit above all, then windows by how far."""
    price: Expr = sum(over * weight for over, weight in model.overruns)
    for task in model.tasks.values():
        if task.missed is not None:
            price += _missed(model, task)
    return price


def _missed(model: Model, task: TaskVars) -> Expr:
    """A visit that is not at its time costs much by itself, and a little for every tick after its last time."""
    last = measure.appointed(task.task)[-1][1]
    literal = task.missed
    assert literal is not None
    late = model.int_var(0, model.network.horizon, lambda places: measure.visit_late(task.task, places[task.id].start))
    model.cp.add(late >= task.start - last).only_enforce_if(literal)
    return MISSED_VISIT * literal + late


def change(model: Model) -> Expr:
    """How much what people were told changes."""
    network, before = model.network, model.network.before
    assert before is not None
    total: Expr = 0
    for task in model.tasks.values():
        was = before.starts.get(task.id)
        if was is not None and not task.fixed:
            total += measure.weight_of(network, was) * _moved(model, task, was)
    return total


def _moved(model: Model, task: TaskVars, was: Tick) -> Expr:
    name, network = task.id, model.network
    same = {n: measure.same_people(network, name, task.task.crews[n].people) for n in task.crews}
    by = model.int_var(0, network.horizon, lambda places: abs(places[name].start - was))
    model.cp.add(by >= task.start - was)
    model.cp.add(by >= was - task.start)
    if not any(same.values()) or not holds(task.starts, was):
        return by + measure.MOVED
    moved = model.bool_var(lambda places: places[name].start != was or not same.get(places[name].crew, False))
    model.cp.add(by == 0).only_enforce_if(moved.negated())
    for n, literal in task.crews.items():
        if not same[n] and literal is not None:
            model.cp.add_implication(literal, moved)
    return by + measure.MOVED * moved


def _price(network: Network, solution: Solution) -> int:
    prices = {"within": 0, "visit": MISSED_VISIT, "night": MISSED_NIGHT}
    return sum(prices[over.what] + over.ticks for over in solution.overrun)


LATE = Goal("late", 0.4, late, lambda network, plan: measure.late(network, plan.finishes))
LATER_THAN_TOLD = Goal(
    "late", 0.15, later_than_told, lambda network, plan: measure.later_than_told(network, plan.finishes)
)
FINISH = Goal("finish", 0.3, finish, lambda network, plan: measure.finish(network, plan.finishes))
PERSON_DAYS = Goal("person_days", 0.15, person_days, measure.days_weighed)
WIDEST = Goal("margin", 0.05, margin, lambda network, plan: -measure.margin(network, plan.starts, plan.finishes))
TIDY = Goal("tidy", 0.1, tidy, lambda network, plan: measure.tidy(network, plan.starts))
OVERRUN = Goal("overrun", 0.25, overrun, _price)
LATER = Goal("later", 0.15, later, measure.later)
CHANGE = Goal("change", 0.5, change, measure.change)


def goals(network: Network, elastic: bool) -> tuple[Goal, ...]:
    """The stages in order, as the setter's aim and an accepted plan ask for."""
    broken = (OVERRUN,) if elastic else ()
    if network.before is not None:
        return (*broken, LATER_THAN_TOLD, LATER, CHANGE)
    rest = (WIDEST, PERSON_DAYS) if network.aim == "margin" else (PERSON_DAYS, WIDEST)
    return (*broken, LATE, FINISH, *rest, TIDY)
