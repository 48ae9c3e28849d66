"""What the owner must say yes to before it is mended: an answer owed for each such trouble that was found."""

import re
from collections.abc import Iterable

from planning.job.events import Event, effective
from planning.job.hours import next_morning
from planning.job.job import Answer, Job
from planning.job.progress import visit_word
from planning.trade.troubles import Trouble, trouble_named, troubles

FOUND = "found"
TROUBLE_KINDS = frozenset(("found", "visit_result", "short", "extra_work"))
"""Events that may put steps into the job."""


def answer_id(event: Event) -> str:
    """The id of the answer that an event asks for."""
    return f"answer/{event.id}"


def found_id(job: Job, event: Event, key: str, tag: str) -> str:
    """The id of the step that a trouble of a floor puts in: `room[.part]/found/key`."""
    place = str(event.body.get("room") or str(event.body.get("step", "")).partition("/")[0])
    return f"{place}/{FOUND}/{key}{tag}"


def is_trouble(event: Event) -> bool:
    """May this event put steps into the job?"""
    failed = visit_word(str(event.body.get("value", ""))) == "failed"
    return event.kind in TROUBLE_KINDS and (event.kind != "visit_result" or failed)


def tags(events: Iterable[Event]) -> dict[str, str]:
    """Event id -> the ending of the ids made for it: "", "-2", "-3" by the order of all that were noted, undone ones
    too, so that no id ever means another thing."""
    noted = sorted((event for event in events if is_trouble(event)), key=lambda event: event.seq)
    return {event.id: f"-{n}" if n > 1 else "" for n, event in enumerate(noted, start=1)}


def said_no(events: Iterable[Event], event: Event) -> bool:
    """Did the owner say no to what this event asks?"""
    said = [e for e in events if e.kind == "answered" and e.body.get("answer") == answer_id(event)]
    return bool(said) and re.match(r"\s*no\b", str(said[-1].body.get("value", "")), re.IGNORECASE) is not None


def asked_answers(job: Job, events: Iterable[Event]) -> tuple[Answer, ...]:
    """The answers owed for what was found and needs somebody's yes; they are due the next working morning."""
    noted = tuple(events)
    ends = tags(noted)
    found = []
    for event in effective(noted):
        trouble = trouble_of(event)
        if trouble is None or trouble.asks is None:
            continue
        cure = trouble.cure("")
        assert cure is not None
        room = _room(event)
        if all(each.id != room for each in job.rooms) or said_no(effective(noted), event):
            continue
        by = next_morning(job.hours, job.zone, event.minute)
        holds = found_id(job, event, f"{trouble.key}-{cure.rows[0].key}", ends[event.id])
        what = f"yes to mend: {event.body.get('value') or trouble.title}"
        found.append(Answer(answer_id(event), trouble.asks, what, room, holds, by, yes=True))
    return tuple(found)


def trouble_of(event: Event) -> Trouble | None:
    """The trouble that a `found` event speaks of; None for an event of another kind."""
    if event.kind != "found":
        return None
    known = troubles().get(str(event.body.get("trouble", "")))
    return known if known is not None else trouble_named(str(event.body.get("value", "")))


def _room(event: Event) -> str:
    room = str(event.body.get("room") or event.body.get("step", ""))
    return room.partition("/")[0].partition(".")[0]
