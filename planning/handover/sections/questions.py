"""What must be answered before the note is true: begun and not done, planned and not begun, seen and not said."""

from collections.abc import Iterator
from dataclasses import dataclass

from planning.handover.evening import Evening
from planning.handover.proofs import evidence_of
from planning.job.words import Instant


@dataclass(frozen=True, slots=True)
class Question:
    """An open question. `words` is how a reader of the note is told; `answer` is what the setter notes (`KIND ABOUT`).

    `kind`: finished, started, visit_result, delivered or proof. `step`: the step it is about, "" for none. `at`: the
    time that the plan has for it.
    """

    kind: str
    words: str
    answer: str
    step: str = ""
    at: Instant = 0


def open_questions(facts: Evening) -> tuple[Question, ...]:
    """All open questions of the day of the note, what makes it most untrue first."""
    return (*_begun(facts), *_not_begun(facts), *_visits(facts), *_deliveries(facts), *_unproved(facts))


def question_lines(facts: Evening) -> list[str]:
    """The same as a reader is told; a photo that is not noted yet is the setter's own care."""
    return [question.words for question in open_questions(facts) if question.kind != "proof"]


def _begun(facts: Evening) -> Iterator[Question]:
    for step in facts.plan.steps:
        begun = facts.progress.started.get(step.id)
        if begun is None or step.id in facts.progress.finished or step.finish > facts.now:
            continue
        words = f"{_place(facts, step.room)}, {step.title}: begun {facts.wall(begun)}, not marked done."
        yield Question("finished", words, f"finished {step.id}", step.id, step.finish)


def _not_begun(facts: Evening) -> Iterator[Question]:
    """By the plan that was taken: the plan on the wall has moved them on."""
    taken = facts.progress.accepted
    if taken is None:
        return
    known = {step.id: step for step in facts.plan.steps}
    marked = {*facts.progress.started, *facts.progress.finished, *facts.progress.held, *facts.progress.errands_done}
    said_later = {step for step, until in facts.progress.not_before.items() if until > taken.at}
    for step_id, (start, finish, _) in sorted(taken.steps.items(), key=lambda item: item[1][0]):
        step = known.get(step_id)
        if (
            step is None
            or step_id in marked
            or step_id in said_later
            or finish > facts.now
            or not facts.is_today(start)
        ):
            continue
        span = f"{facts.wall(start)} to {facts.wall(finish)}"
        words = f"{_place(facts, step.room)}, {step.title}: planned {span}, not marked."
        yield Question("started", words, f"started {step_id}", step_id, start)


def _visits(facts: Evening) -> Iterator[Question]:
    for visit in facts.plan.visits:
        over = visit.booked and visit.finish <= facts.now and facts.is_today(visit.start)
        if over and visit.id not in facts.progress.visit_results:
            who = f"{visit.who.capitalize()}, {_room(facts, visit.room)}"
            words = f"{who}, {facts.wall(visit.start)}: not said how it went."
            yield Question("visit_result", words, f"visit_result {visit.id}", "", visit.start)


def _deliveries(facts: Evening) -> Iterator[Question]:
    for each in facts.job.deliveries:
        due = facts.progress.delivery_due.get(each.id, each.latest)
        if due <= facts.now and facts.is_today(due) and each.id not in facts.progress.delivered:
            words = f"{each.of.capitalize()} was to come by {facts.wall(due)}: not said if it is here."
            yield Question("delivered", words, f"delivered {each.id}", "", due)


def _unproved(facts: Evening) -> Iterator[Question]:
    """Done today without the photo or reading that it must leave behind."""
    for step in facts.steps:
        done = [at for key, at in facts.progress.finished.items() if key.split("#")[0] == step.id]
        if not done or not facts.is_today(max(done)):
            continue
        missing = [each.asks for each in evidence_of(step, facts.events) if not each.proofs]
        if missing:
            words = f"{_place(facts, step.room)}, {step.title}: {' and '.join(missing)} not noted."
            kind = "gauge" if "gauge" in missing[0] else "photo" if missing[0].startswith("photo") else "note"
            yield Question("proof", words, f"{kind} {step.id} TEXT", step.id, max(done))


def _room(facts: Evening, room: str) -> str:
    return next((each.name for each in facts.plan.rooms if each.id == room), room)


def _place(facts: Evening, room: str) -> str:
    name = _room(facts, room)
    return name[:1].upper() + name[1:]
