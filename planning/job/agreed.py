"""The job as it was agreed on the way: demands given up or moved, a drive added, somebody more to work.

The job file says what was asked at first. When the setter takes a way out that needs somebody's yes, that yes is an
`agreed` event; here it is laid over the job. Body of `agreed`, by its `what`:

    "night"                    day (ISO date): the household does without its toilet that night
    "promise"                  room, promise ("walk", "usable", "toilet"), until: promised for then instead
    "quiet" "no_power" "no_water"   day: not asked on that date
    "answer"                   id, until: it is owed by then instead
    "errand"                   id, who, takes, brings, before, instead (a delivery's id or None): a drive of our own

`came` with `can` (skills) is somebody who was not on the job before: he works the hours that `stay_until` gives him.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from planning.job.events import Event, effective
from planning.job.job import ClockSpan, Errand, Job
from planning.job.people import Person


def as_agreed(job: Job, events: Iterable[Event]) -> Job:
    """The job with everything that was agreed since; the job itself when nothing was. What cannot be read is left."""
    for event in effective(events):
        body = event.body
        if event.kind == "came" and body.get("can") and body.get("who"):
            job = _with_person(job, str(body["who"]), body["can"])
        elif event.kind == "agreed" and (change := CHANGES.get(str(body.get("what")))) is not None:
            try:
                job = change(job, body)
            except (KeyError, ValueError, TypeError):
                # A record may come from a later program: what it agreed on is unknown here, and stays as it was.
                continue
    return job


def _with_person(job: Job, who: str, can: object) -> Job:
    if any(person.name == who for person in job.people) or not isinstance(can, list | tuple):
        return job
    return replace(job, people=(*job.people, Person(who, job.name, frozenset(map(str, can)), frozenset())))


def _night(job: Job, body: Mapping[str, Any]) -> Job:
    day = date.fromisoformat(str(body["day"]))
    return replace(job, house=replace(job.house, toilet_excused=job.house.toilet_excused | {day}))


def _promise(job: Job, body: Mapping[str, Any]) -> Job:
    until = int(body["until"])
    return replace(job, promises=tuple(
        replace(each, by=until) if (each.room, each.what) == (body["room"], body["promise"]) else each
        for each in job.promises
    ))  # fmt: skip


def _not_that_day(spans: tuple[ClockSpan, ...], day: date) -> tuple[ClockSpan, ...]:
    return tuple(replace(span, but=span.but | {day}) for span in spans if span.day != day)


def _house(key: str) -> Callable[[Job, Mapping[str, Any]], Job]:
    def change(job: Job, body: Mapping[str, Any]) -> Job:
        day = date.fromisoformat(str(body["day"]))
        changed: dict[str, Any] = {key: _not_that_day(getattr(job.house, key), day)}
        return replace(job, house=replace(job.house, **changed))

    return change


def _answer(job: Job, body: Mapping[str, Any]) -> Job:
    until = int(body["until"])
    return replace(job, answers=tuple(
        replace(each, by=until) if each.id == body["id"] else each for each in job.answers
    ))  # fmt: skip


def _errand(job: Job, body: Mapping[str, Any]) -> Job:
    brings = {str(key): float(count) for key, count in dict(body.get("brings") or {}).items()}
    before = None if body.get("before") is None else str(body["before"])
    made = Errand(str(body["id"]), str(body.get("say", "supply run")), int(body["takes"]), str(body["who"]), brings,
                  before)  # fmt: skip
    rest = tuple(each for each in job.deliveries if each.id != body.get("instead"))
    return replace(job, errands=(*(each for each in job.errands if each.id != made.id), made), deliveries=rest)


CHANGES: dict[str, Callable[[Job, Mapping[str, Any]], Job]] = {
    "night": _night,
    "promise": _promise,
    "quiet": _house("quiet"),
    "no_power": _house("no_power"),
    "no_water": _house("no_water"),
    "answer": _answer,
    "errand": _errand,
}
