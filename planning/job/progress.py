"""Where each step stands and what else changed, read from the events. Facts only: nothing is planned here."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from planning.job.events import Event, effective
from planning.job.hours import Absence, Presence, local
from planning.job.job import Job
from planning.job.plan import NOT_PROVED, Proof
from planning.job.words import Instant

TACKY_MIN = 30
FOREVER: Instant = 1 << 40


@dataclass(frozen=True, slots=True)
class Accepted:
    """The plan the setter took: step id -> (start, finish, people)."""

    at: Instant
    steps: Mapping[str, tuple[Instant, Instant, tuple[str, ...]]]
    finish: Instant
    choice: str = ""
    proof: Proof = NOT_PROVED


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
    delivered: Mapping[str, Instant] = field(default_factory=dict)
    answered: Mapping[str, Instant] = field(default_factory=dict)
    errands_done: Mapping[str, Instant] = field(default_factory=dict)
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
        self.visits_moved: dict[str, Instant] = {}
        self.visit_results: dict[str, str] = {}
        self.delivered: dict[str, Instant] = {}
        self.answered: dict[str, Instant] = {}
        self.errands_done: dict[str, Instant] = {}
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
            held=frozenset(self.held), presence=Presence(tuple(self.absences), self.stays),
            visits_moved=self.visits_moved, visit_results=self.visit_results, delivered=self.delivered,
            answered=self.answered, errands_done=self.errands_done, accepted=self.accepted, last_event=self.last,
        )  # fmt: skip

    def on_started(self, event: Event) -> None:
        step = str(event.body.get("step", ""))
        self.started[step] = event.minute
        self.finished.pop(step, None)

    def on_finished(self, event: Event) -> None:
        step = str(event.body.get("step", ""))
        self.finished[step] = event.minute
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
        for name in names:
            self.stays[name, day] = until

    def on_visit_moved(self, event: Event) -> None:
        until = _minute(event.body.get("until"))
        if until is not None:
            self.visits_moved[str(event.body.get("visit") or event.body.get("who", ""))] = until

    def on_visit_result(self, event: Event) -> None:
        key = str(event.body.get("visit") or event.body.get("who", ""))
        self.visit_results[key] = str(event.body.get("value", "passed"))

    def on_delivered(self, event: Event) -> None:
        self.delivered[str(event.body.get("delivery") or event.body.get("class", ""))] = event.minute

    def on_answered(self, event: Event) -> None:
        self.answered[str(event.body.get("answer") or event.body.get("value", ""))] = event.minute

    def on_errand(self, event: Event) -> None:
        self.errands_done[str(event.body.get("errand") or event.body.get("value", ""))] = event.minute

    def on_plan_accepted(self, event: Event) -> None:
        steps = {
            str(step): (int(times["start"]), int(times["finish"]), tuple(map(str, times["people"])))
            for step, times in event.body.get("steps", {}).items()
        }
        finish = int(event.body.get("finish", max((f for _, f, _ in steps.values()), default=event.minute)))
        said = event.body.get("proof")
        proof = NOT_PROVED
        if isinstance(said, Mapping):
            proof = Proof(bool(said.get("best")), said.get("at_most_min_sooner"), bool(said.get("cut_short")))
        self.accepted = Accepted(event.minute, steps, finish, str(event.body.get("choice", "")), proof)

    def _end_of_day(self, at: Instant) -> Instant:
        moment = local(self.job.zone, at)
        midnight = (moment + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)
        return int(midnight.timestamp() // 60)


def _minute(value: object) -> Instant | None:
    """An instant in an event body: whole minutes since 1970, as every writer of events stores it."""
    return int(value) if isinstance(value, int | float) else None
