"""Where each step stands and what else changed, read from the events. Facts only: nothing is planned here."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Literal

from planning.job.events import Event, effective
from planning.job.hours import Absence, Extra, Presence, local
from planning.job.job import Job
from planning.job.plan import NOT_PROVED, Proof
from planning.job.words import Instant

TACKY_MIN = 30
LAST_INSTANT: Instant = 200 * 365 * 24 * 60
"""Later than anything that was noted."""


@dataclass(frozen=True, slots=True)
class Accepted:
    """The plan the setter took: step id -> (start, finish, people); visit id -> when it was to come."""

    at: Instant
    steps: Mapping[str, tuple[Instant, Instant, tuple[str, ...]]]
    finish: Instant
    choice: str = ""
    proof: Proof = NOT_PROVED
    visits: Mapping[str, Instant] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Outage:
    """Power, water or heat is out from one instant to another; `finish` None: nobody said till when."""

    what: str
    start: Instant
    finish: Instant | None = None


VisitWord = Literal["passed", "failed", "no_show"]


def visit_word(result: str | None) -> VisitWord | None:
    """What a noted result of a visit means; None without one. Words that say neither are a pass."""
    if result is None:
        return None
    said = result.casefold().replace("-", " ").replace("_", " ")
    if said.startswith("fail"):
        return "failed"
    return "no_show" if said.startswith(("no show", "did not come", "nobody")) else "passed"


@dataclass(frozen=True, slots=True)
class Progress:
    """What happened so far. Keys are step or piece ids as noted; ids of steps no longer in the job stay here."""

    started: Mapping[str, Instant] = field(default_factory=dict)
    finished: Mapping[str, Instant] = field(default_factory=dict)
    not_before: Mapping[str, Instant] = field(default_factory=dict)
    """Steps that may not start before this (runs late before it began, tacky, held until)."""
    finish_said: Mapping[str, Instant] = field(default_factory=dict)
    """Running steps whose finish the setter said will be later."""
    held: frozenset[str] = frozenset()
    presence: Presence = field(default_factory=Presence)
    visits_moved: Mapping[str, Instant] = field(default_factory=dict)
    visit_results: Mapping[str, str] = field(default_factory=dict)
    """What came of a visit, since it was last moved: see `visit_word`."""
    visit_noted: Mapping[str, Instant] = field(default_factory=dict)
    """When a visit was last moved, or its result noted."""
    delivery_due: Mapping[str, Instant] = field(default_factory=dict)
    """Deliveries that come at another time than the job says."""
    outages: tuple[Outage, ...] = ()
    delivered: Mapping[str, Instant] = field(default_factory=dict)
    answered: Mapping[str, Instant] = field(default_factory=dict)
    errands_done: Mapping[str, Instant] = field(default_factory=dict)
    proofs: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Step -> the kinds of evidence noted of it or of its pieces: photo, gauge, reading, note."""
    accepted: Accepted | None = None
    last_event: Instant | None = None


def read_progress(job: Job, events: Iterable[Event]) -> Progress:
    """Fold the events that stand into where the job is. Unknown ids are kept; nothing is ever an error here."""
    fold = _Fold(job)
    for event in effective(events):
        fold.take(event)
    return fold.result()


class _Fold:
    """Collects one kind of fact a handler; handlers are looked up by event kind, so a new kind is one method."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.started: dict[str, Instant] = {}
        self.finished: dict[str, Instant] = {}
        self.not_before: dict[str, Instant] = {}
        self.finish_said: dict[str, Instant] = {}
        self.held: set[str] = set()
        self.absences: list[Absence] = []
        self.stays: dict[tuple[str, date], Instant] = {}
        self.extras: list[Extra] = []
        self.visits_moved: dict[str, Instant] = {}
        self.visit_results: dict[str, str] = {}
        self.visit_noted: dict[str, Instant] = {}
        self.delivery_due: dict[str, Instant] = {}
        self.outages: list[Outage] = []
        self.delivered: dict[str, Instant] = {}
        self.answered: dict[str, Instant] = {}
        self.errands_done: dict[str, Instant] = {}
        self.proofs: dict[str, frozenset[str]] = {}
        self.accepted: Accepted | None = None
        self.last: Instant | None = None

    def take(self, event: Event) -> None:
        handler = getattr(self, f"on_{event.kind}", None)
        if handler is not None:
            handler(event)
        self.last = event.minute if self.last is None else max(self.last, event.minute)

    def result(self) -> Progress:
        return Progress(
            started=self.started, finished=self.finished, not_before=self.not_before, finish_said=self.finish_said,
            held=frozenset(self.held), presence=Presence(tuple(self.absences), self.stays, tuple(self.extras)),
            visits_moved=self.visits_moved, visit_results=self.visit_results, delivered=self.delivered,
            visit_noted=self.visit_noted, delivery_due=self.delivery_due, outages=tuple(self.outages),
            answered=self.answered, errands_done=self.errands_done,
            proofs=self.proofs, accepted=self.accepted, last_event=self.last,
        )  # fmt: skip

    def on_started(self, event: Event) -> None:
        step = str(event.body.get("step", ""))
        self.started[step] = event.minute
        self.finished.pop(step, None)

    def on_finished(self, event: Event) -> None:
        step = str(event.body.get("step", ""))
        self.finished[step] = event.minute_up
        self.started.setdefault(step, event.minute)
        self.finish_said.pop(step, None)

    def on_late(self, event: Event) -> None:
        step = str(event.body.get("step", ""))
        until = _minute(event.body.get("until"))
        if until is None:
            return
        if step in self.started:
            self.finish_said[step] = until
        else:
            self.not_before[step] = max(until, self.not_before.get(step, until))

    def on_tacky(self, event: Event) -> None:
        step = str(event.body.get("step", ""))
        until = _minute(event.body.get("until"))
        self.not_before[step] = until if until is not None else event.minute + TACKY_MIN

    def on_held(self, event: Event) -> None:
        step = str(event.body.get("step", ""))
        until = _minute(event.body.get("until"))
        if until is None:
            (self.held.discard if event.body.get("value") == "off" else self.held.add)(step)
        else:
            self.not_before[step] = until

    def on_gone(self, event: Event) -> None:
        who = str(event.body.get("who", ""))
        until = _minute(event.body.get("until"))
        if until is None:
            until = self._end_of_day(event.minute)
        self.absences.append(Absence(who, event.minute, until))

    def on_came(self, event: Event) -> None:
        who = str(event.body.get("who", ""))
        self.absences = [
            Absence(a.person, a.start, event.minute) if a.person == who and a.start <= event.minute < a.finish else a
            for a in self.absences
        ]

    def on_stay_until(self, event: Event) -> None:
        until = _minute(event.body.get("until"))
        if until is None:
            return
        day = local(self.job.zone, until).date()
        names = [str(event.body["who"])] if event.body.get("who") else [person.name for person in self.job.people]
        begins = _minute(event.body.get("from"))
        if begins is not None:
            self.extras += [Extra(name, begins, until) for name in names]
            return
        for name in names:
            self.stays[name, day] = until

    def on_visit_moved(self, event: Event) -> None:
        until = _minute(event.body.get("until"))
        if until is not None:
            key = str(event.body.get("visit") or event.body.get("who", ""))
            self.visits_moved[key] = until
            self.visit_noted[key] = event.minute
            self.visit_results.pop(key, None)

    def on_visit_result(self, event: Event) -> None:
        key = str(event.body.get("visit") or event.body.get("who", ""))
        self.visit_results[key] = str(event.body.get("value", "passed"))
        self.visit_noted[key] = event.minute

    def on_delivered(self, event: Event) -> None:
        """It is here; the wrong thing is not, and is looked for anew."""
        key = str(event.body.get("delivery") or event.body.get("class", ""))
        if str(event.body.get("value", "")).casefold().startswith("wrong"):
            self.delivered.pop(key, None)
            until = _minute(event.body.get("until"))
            self.delivery_due[key] = until if until is not None else event.minute
        else:
            self.delivered[key] = event.minute

    def on_delivery_moved(self, event: Event) -> None:
        until = _minute(event.body.get("until"))
        if until is not None:
            self.delivery_due[str(event.body.get("delivery") or event.body.get("class", ""))] = until

    def on_service_out(self, event: Event) -> None:
        """A second word of the same outage takes the place of the first."""
        self.on_service_back(event)
        self.outages.append(
            Outage(str(event.body.get("service", "")), event.minute, _minute(event.body.get("until")))
        )  # fmt: skip

    def on_service_back(self, event: Event) -> None:
        what, at = str(event.body.get("service", "")), event.minute
        self.outages = [
            replace(out, finish=at) if out.what == what and (out.finish is None or out.finish > at) else out
            for out in self.outages
        ]

    def on_answered(self, event: Event) -> None:
        self.answered[str(event.body.get("answer") or event.body.get("value", ""))] = event.minute

    def on_photo(self, event: Event) -> None:
        """Something noted of a step: it may be the evidence that the step asks for."""
        step = str(event.body.get("step", "")).partition("#")[0]
        if step:
            self.proofs[step] = self.proofs.get(step, frozenset()) | {event.kind}

    on_gauge = on_reading = on_note = on_photo

    def on_errand(self, event: Event) -> None:
        self.errands_done[str(event.body.get("errand") or event.body.get("value", ""))] = event.minute

    def on_plan_accepted(self, event: Event) -> None:
        steps = _accepted_steps(event.body.get("steps"))
        last = max((finish for _, finish, _ in steps.values()), default=event.minute)
        finish = _minute(event.body.get("finish"))
        said = event.body.get("proof")
        proof = NOT_PROVED
        if isinstance(said, Mapping):
            proof = Proof(bool(said.get("best")), said.get("at_most_min_sooner"), bool(said.get("cut_short")))
        self.accepted = Accepted(
            event.minute, steps, last if finish is None else finish, str(event.body.get("choice", "")), proof,
            _accepted_visits(event.body.get("visits")),
        )  # fmt: skip

    def _end_of_day(self, at: Instant) -> Instant:
        moment = local(self.job.zone, at)
        midnight = (moment + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)
        return int(midnight.timestamp() // 60)


def _accepted_visits(table: object) -> dict[str, Instant]:
    if not isinstance(table, Mapping):
        return {}
    return {str(visit): at for visit, start in table.items() if (at := _minute(start)) is not None}


def _minute(value: object) -> Instant | None:
    """An instant in an event body: whole minutes since 1970, as every writer of events stores it; None for any other
    value, and for one that lies in no year that calendars know.
    """
    return int(value) if isinstance(value, int | float) and 0 <= value < LAST_INSTANT else None


def _accepted_steps(stored: object) -> dict[str, tuple[Instant, Instant, tuple[str, ...]]]:
    """The steps of an accepted plan; one that is not as every writer stores it is left out."""
    steps = {}
    for step, times in stored.items() if isinstance(stored, Mapping) else ():
        held = times if isinstance(times, Mapping) else {}
        start, finish, people = _minute(held.get("start")), _minute(held.get("finish")), held.get("people")
        if start is not None and finish is not None and isinstance(people, list | tuple):
            steps[str(step)] = (start, finish, tuple(map(str, people)))
    return steps
