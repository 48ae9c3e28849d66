"""Evidence: what a step must leave behind (a photo, a reading), what was noted of it, and the log of a flood test."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planning.job.events import Event, effective
from planning.job.plan import Plan
from planning.job.progress import Progress
from planning.job.step import Step
from planning.job.words import Instant, Minutes

PROVES = ("photo", "gauge", "reading", "note")
"""Kinds of events that can prove a step when they name it. A note proves too, but its words stay with the setter."""
FLOOD_HOLD = "flood_hold"


@dataclass(frozen=True, slots=True)
class Proof:
    """One thing noted of a step: `kind` of the event, its words, when."""

    at: Instant
    kind: str
    words: str


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a step asks to be kept, and what was kept. Nothing in `proofs`: it is missing."""

    step: Step
    asks: str
    proofs: tuple[Proof, ...]


@dataclass(frozen=True, slots=True)
class FloodTest:
    """The log of one flood test. `asked_min` is the hold that the job asks; None in a time: not yet.

    It says what was noted, and is no pass: only whoever reads it for the code passes it.
    """

    room: str
    part: str | None
    asked_min: Minutes
    filled: Instant | None
    read: Instant | None
    seen_by: str | None
    result: str | None
    proofs: tuple[Proof, ...]

    @property
    def held_min(self) -> Minutes | None:
        """How long the water stood before it was read."""
        return None if self.filled is None or self.read is None else self.read - self.filled


def proofs_of(events: Iterable[Event], step_ids: Iterable[str], kinds: Sequence[str] = PROVES) -> tuple[Proof, ...]:
    """What was noted of these steps (and of their pieces), in order of time."""
    wanted = set(step_ids)
    found = [
        Proof(event.minute, event.kind, str(event.body.get("value", "")).strip())
        for event in effective(events)
        if event.kind in kinds and str(event.body.get("step", "")).split("#")[0] in wanted
    ]
    return tuple(sorted(found, key=lambda proof: proof.at))


def evidence_of(step: Step, events: Iterable[Event]) -> tuple[Evidence, ...]:
    """Each thing that the step asks to be kept, with what was noted for it.

    A photo is asked for by its name; a film gauge reading is a gauge noted; all else may be proved in any way.
    """
    noted = proofs_of(events, (step.id,))
    return tuple(Evidence(step, asks, tuple(p for p in noted if p.kind in _kinds(asks))) for asks in step.evidence)


def _kinds(asks: str) -> tuple[str, ...]:
    if asks.startswith("photo"):
        return ("photo",)
    return ("gauge",) if "gauge" in asks else PROVES


def flood_tests(
    plan: Plan, steps: Iterable[Step], events: Sequence[Event], progress: Progress
) -> tuple[FloodTest, ...]:
    """Every flood test of the job, begun or not: a step that is read after a hold, and the step that fills."""
    found = []
    for read in steps:
        holds = [link for link in read.after if link.wait is not None and link.wait.window == FLOOD_HOLD]
        for link in holds:
            assert link.wait is not None  # as just asked
            visit = next((v for v in plan.visits if v.room == read.room and v.sees == read.key), None)
            found.append(FloodTest(
                read.room, read.part, link.wait.label.typical, progress.finished.get(link.step),
                progress.finished.get(read.id), visit.who if visit is not None else read.sees,
                progress.visit_results.get(visit.id) if visit is not None else None,
                proofs_of(events, (link.step, read.id), ("photo", "gauge", "reading")),
            ))  # fmt: skip
    return tuple(found)
