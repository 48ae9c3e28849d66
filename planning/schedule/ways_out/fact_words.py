"""The facts of a clash in trade words: whose they are, and what they ask."""

from collections.abc import Callable, Iterable, Sequence, Set

from planning.job.hours import local
from planning.job.job import ClockSpan
from planning.job.people import WEEK, Hours
from planning.job.step import Step, Wait
from planning.job.words import AXIS_MIN, Instant
from planning.quantities.show import show_day, show_minutes, show_wall, show_when
from planning.schedule.build.network_of import Built
from planning.schedule.network import Network, Task, Tick
from planning.schedule.no_plan import ClashFact
from planning.schedule.shape import shape_of

Key = tuple[str, ...]

ORDER = (
    "due", "nights", "visit", "delivery", "answer", "held", "errand", "house", "within", "floor", "wet", "waits",
    "absent", "hours", "person", "gear",
)  # fmt: skip
"""What is asked comes first, then what the stuff needs, then who is there."""


def fact_words(built: Built, open_network: Network, keys: Iterable[Key]) -> tuple[ClashFact, ...]:
    """Each fact in words, in the order in which a setter would think of giving way."""
    ranked = sorted(keys, key=lambda key: (ORDER.index(key[0]), key))
    names = Names(built, open_network, ranked)
    return tuple(ClashFact(*WORDS[key[0]](names, key), key) for key in ranked)


class Names:
    """Names of steps, rooms, floors and times, and the facts they are looked up in."""

    def __init__(self, built: Built, network: Network, keys: Sequence[Key] = ()) -> None:
        visits = {key[1] for key in keys if key[0] == "visit"}
        dues = {key[1] for key in keys if key[0] == "due"}
        self.targets = {each.step.id for each in built.visits if each.step is not None and each.visit.id in visits}
        self.targets |= {task for due in network.dues if due.what in dues for task, _ in due.ends}
        if ("nights",) in keys:
            self.targets |= {toilet.back for toilet in network.toilets if toilet.back is not None}
        self.built = built
        self.network = network
        self.site = built.site
        self.job = built.site.job
        self.tasks = {task.id: task for task in network.tasks}

    def when(self, at: Instant) -> str:
        """A time, beside now."""
        return show_when(at, self.job.zone, self.site.now)

    def step(self, task_id: str) -> Step | None:
        """The step of a task, or None for a visit or an errand."""
        task = self.tasks.get(task_id)
        return None if task is None else self.site.step_by_id.get(task.piece_of or task.id)

    def title(self, task_id: str) -> str:
        """COAT 2, or the visit or errand by its own name."""
        step = self.step(task_id)
        if step is not None:
            return step.title.upper()
        for each in self.built.visits:
            if each.visit.id == task_id:
                return f"the {each.visit.who}"
        return next((errand.what for errand in self.job.errands if errand.id == task_id), task_id)

    def room(self, room_id: str) -> str:
        """The room's name."""
        return next((room.name for room in self.job.rooms if room.id == room_id), room_id)

    def floor(self, floor: str) -> str:
        """The room, or the part and the room."""
        room, _, part = floor.partition(".")
        return f"{self.room(room)}, {part}" if part else self.room(room)

    def room_of(self, task_id: str) -> str:
        """The name of the room that a task is done in."""
        step = self.step(task_id)
        return self.title(task_id) if step is None else self.room(step.room)


def hours_words(hours: Hours) -> str:
    """`Mon to Fri, 7:00 to 3:30`."""
    days = sorted(hours.days)
    run = days == list(range(days[0], days[-1] + 1)) if days else False
    said = f"{WEEK[days[0]].title()} to {WEEK[days[-1]].title()}" if run and len(days) > 2 else ", ".join(
        WEEK[day].title() for day in days
    )  # fmt: skip
    return f"{said}, {show_wall(hours.start)} to {show_wall(hours.finish)}"


def _hours(names: Names, key: Key) -> tuple[str, str]:
    return "hours", f"work {hours_words(names.job.hours)}, set-up and clean-up in it"


def _absent(names: Names, key: Key) -> tuple[str, str]:
    site, name = names.site, key[1]
    person = next(person for person in names.job.people if person.name == name)
    if person.days is not None and person.days < names.job.hours.days:
        return name, f"comes {', '.join(WEEK[day].title() for day in sorted(person.days)) or 'only when asked'} only"
    own = {shift.day for shift in site.shifts[name]}
    missed = sorted({shift.day for shift in site.site_shifts if shift.finish > site.now} - own)
    if missed:
        return name, f"not there {', '.join(show_day(day) for day in missed[:3])}"
    return name, "not there all the hours of the job"


def _house(names: Names, key: Key) -> tuple[str, str]:
    house = names.job.house
    spans, what = {
        "quiet": (house.quiet, "quiet: no saw and no mixer"),
        "no_power": (house.no_power, "no power for saw and mixer"),
        "no_water": (house.no_water, "no water for wet work"),
    }[key[1]]
    today = local(names.job.zone, names.site.now).date()
    coming = [span for span in spans if span.day is None or span.day >= today]
    said = " and ".join(_span(span) for span in coming[:2]) + (" and more" if len(coming) > 2 else "")
    return "house", f"{what} {said}"


def _span(span: ClockSpan) -> str:
    day = "" if span.day is None else f"{show_day(span.day)} "
    return f"{day}{show_wall(span.start)} to {show_wall(span.finish)}"


def _nights(names: Names, key: Key) -> tuple[str, str]:
    rooms = [room.name for room in names.job.rooms if room.toilet]
    nights = [names.network.instant(night.start) for night in names.network.nights]
    first = local(names.job.zone, nights[0]).date() if nights else names.job.start
    asked = "that night" if len(nights) == 1 else "each promised night"
    only = f"; the {rooms[0]} has the only one" if len(rooms) == 1 else ""
    return "house", f"a toilet that works {asked}, from {show_day(first)}{only}"


def _visit(names: Names, key: Key) -> tuple[str, str]:
    each = next(each for each in names.built.visits if each.visit.id == key[1])
    visit = each.visit
    sees = f" to see {each.step.title.upper()}, {names.room(each.step.room)}" if each.step is not None else ""
    if not each.booked:
        return visit.who, f"comes in working hours, not before {names.when(visit.earliest)}{sees}"
    till = f" to {names.when(visit.latest)}" if visit.latest > visit.earliest else ""
    return visit.who, f"comes {names.when(visit.earliest)}{till}{sees}"


def _due(names: Names, key: Key) -> tuple[str, str]:
    due = next(due for due in names.network.dues if due.what == key[1])
    room, _, what = due.what.rpartition(" ")
    asked = {"walk": "to be walked on", "toilet": "its toilet back"}.get(what, what)
    return names.room(room), f"promised {asked} by {names.when(names.network.instant(due.tick))}"


def _delivery(names: Names, key: Key) -> tuple[str, str]:
    each = next(each for each in names.job.deliveries if each.id == key[1])
    room = f" for the {names.room(each.room)}" if each.room else ""
    return "delivery", f"{each.of}{room} comes by {names.when(each.latest)}"


def _answer(names: Names, key: Key) -> tuple[str, str]:
    each = next(each for each in names.job.answers if each.id == key[1])
    return each.owed_by, f"owes an answer by {names.when(each.by)}: {each.what}"


def _held(names: Names, key: Key) -> tuple[str, str]:
    at = max((task.release for task in names.tasks.values() if (task.piece_of or task.id) == key[1]), default=0)
    return names.room_of(key[1]), f"{names.title(key[1])} not before {names.when(names.network.instant(at))}, you said"


def _errand(names: Names, key: Key) -> tuple[str, str]:
    each = next(each for each in names.job.errands if each.id == key[1])
    return "errand", f"{each.who} drives {show_minutes(each.takes_min)} first: {each.what}"


def _within(names: Names, key: Key) -> tuple[str, str]:
    before, after = names.step(key[1]), names.step(key[2])
    window = _window(before, after)
    limit = f"within {show_minutes(window.label.typical)} of" if window else "while the window is open after"
    return names.room_of(key[2]), f"{names.title(key[2])} must start {limit} {names.title(key[1])}"


def _window(before: Step | None, after: Step | None) -> Wait | None:
    if before is None or after is None:
        return None
    return next((link.within for link in after.after if link.step == before.id and link.within), None)


def _floor(names: Names, key: Key) -> tuple[str, str]:
    what = {"walk": "nobody walks there", "wet": "no wet work there", "heavy": "nothing heavy there"}[key[1]]
    offs = [
        (max((ticks for _, ticks in off.ticks), default=0), task.id)
        for task in names.tasks.values()
        for off in task.off
        if (off.what, off.floor) == (key[1], key[2]) and not off.until
    ]
    if not offs:
        return names.floor(key[2]), f"{what} while its own work goes on"
    longest, task = max(offs)
    return names.floor(key[2]), f"{what} till {show_minutes(longest * AXIS_MIN)} after {names.title(task)}"


def _wet(names: Names, key: Key) -> tuple[str, str]:
    return names.floor(key[1]), "one wet trade at a time"


def _waits(names: Names, key: Key) -> tuple[str, str]:
    own = [task for task in names.tasks.values() if _in(names, task, key[1])]
    wanted = {task.id for task in own if {task.id, task.piece_of} & names.targets}
    last, length = longest_chain(names.network, own, wanted)
    if last is None:
        return names.room(key[1]), "its steps in their order, with their waits"
    took = show_minutes(length * AXIS_MIN)
    return names.room(key[1]), f"its steps and waits, one after the other, take {took} up to {names.title(last)}"


def _in(names: Names, task: Task, room: str) -> bool:
    step = names.step(task.id)
    return step is not None and step.room == room and task.fixed is None


def longest_chain(network: Network, tasks: Iterable[Task], ends_at: Set[str]) -> tuple[str | None, Tick]:
    """The task (of `ends_at`, if any) that ends last when nothing but order and waits holds these, and its end."""
    shape = shape_of(network)
    wanted = {shape.index[task.id] for task in tasks}
    ends: dict[int, Tick] = {}
    for n in shape.topo:
        if n in wanted:
            ready = [
                (ends[other] - (shape.tasks[other].ticks if lag.from_start else 0)) + shape.least(lag.wait)
                for other, lag in shape.into[n]
                if other in ends
            ]
            ends[n] = max([0, *ready]) + shape.tasks[n].ticks
    if not ends:
        return None, 0
    goals = [n for n in ends if shape.tasks[n].id in ends_at] or list(ends)
    last = max(goals, key=lambda n: (ends[n], -n))
    return shape.tasks[last].id, ends[last]


def _person(names: Names, key: Key) -> tuple[str, str]:
    own = sum(
        task.ticks
        for task in names.tasks.values()
        if task.fixed is None and all(key[1] in crew.people for crew in task.crews)
    )
    only = f", and {show_minutes(own * AXIS_MIN)} of the work nobody else can do" if own else ""
    return key[1], f"one thing at a time{only}"


def _gear(names: Names, key: Key) -> tuple[str, str]:
    count = names.job.gear.count.get(key[1], 0)
    return "gear", f"{count} {key[1].removesuffix('s') if count == 1 else key[1]}"


WORDS: dict[str, Callable[[Names, Key], tuple[str, str]]] = {
    "hours": _hours, "absent": _absent, "house": _house, "nights": _nights, "visit": _visit, "due": _due,
    "delivery": _delivery, "answer": _answer, "held": _held, "errand": _errand, "within": _within, "floor": _floor,
    "wet": _wet, "waits": _waits, "person": _person, "gear": _gear,
}  # fmt: skip
