"""A plan read back from its JSON text, version 1: every value is checked, and what is wrong is one clear line."""

import json
from collections.abc import Callable, Mapping
from datetime import date, datetime
from typing import Any, TypeVar, get_args

from planning.job.chance import Chance, DayChance, DemandChance, DemandKind
from planning.job.plan import (
    PLAN_VERSION,
    Act,
    Broken,
    HouseOut,
    Moved,
    Piece,
    Plan,
    PlannedBatch,
    PlannedLink,
    PlannedPart,
    PlannedPerson,
    PlannedRoom,
    PlannedStep,
    PlannedVisit,
    Proof,
    StayOff,
    StepWindow,
)
from planning.job.words import Barrier, Instant, Kind, LinkEnd, Service, StepState, WindowState

T = TypeVar("T")
_GIVE = "give the output of `mudday plan JOB --format json`"


class PlanFileError(ValueError):
    """The text is not a plan of this version: the message says which key is wrong and what belongs there."""


def from_json(text: str, zone: str = "UTC", notes: Mapping[str, str] | None = None) -> Plan:
    """Read a plan back; `zone` is the site's (the text carries offsets only).

    Raises PlanFileError with one clear line for anything that is not such a plan.
    """
    try:
        raw = json.loads(text)
    except (ValueError, RecursionError) as wrong:
        raise PlanFileError(f"not JSON: {wrong}; {_GIVE}") from wrong
    return from_dict(raw, zone, notes)


def from_dict(raw: Any, zone: str = "UTC", notes: Mapping[str, str] | None = None) -> Plan:
    """A plan from plain JSON values. Raises PlanFileError on a wrong form, and says which key it is."""
    top = _Table(raw, "")
    if top.raw.get("version") != PLAN_VERSION:
        raise PlanFileError(f'"version" must be {PLAN_VERSION}; {_GIVE}')
    job, proof = top.text("job"), top.table("proof")
    return Plan(
        job=job,
        zone=zone,
        made_at=top.time("made_at"),
        finish=top.time("finish"),
        proof=Proof(proof.flag("best"), proof.maybe("at_most_min_sooner", proof.whole), proof.flag("cut_short")),
        rooms=tuple(map(_room, top.tables("rooms"))),
        people=tuple(PlannedPerson(p.text("name"), p.texts("skills"), p.spans("hours")) for p in top.tables("people")),
        gear=top.counts("gear"),
        house=tuple(map(_house, top.tables("house"))),
        visits=tuple(map(_visit, top.tables("visits"))),
        steps=tuple(_step(step, job) for step in top.tables("steps")),
        stay_off=tuple(map(_stay_off, top.tables("stay_off"))),
        broken=tuple(Broken(b.whole("rule"), b.texts("steps"), b.text("words")) for b in top.tables("broken")),
        moved=tuple(Moved(m.text("id"), m.time("was"), m.time("now"), m.text("why")) for m in top.tables("moved")),
        chance=_chance(top.table("chance")) if top.has("chance") else None,
        notes=dict(notes or {}),
    )


class _Table:
    """One JSON object with the path to it: each reader takes a key and checks the form of its value."""

    def __init__(self, raw: Any, path: str) -> None:
        if not isinstance(raw, dict):
            raise PlanFileError(f"{path or 'the plan'} should be an object with keys; {_GIVE}")
        self.raw: dict[str, Any] = raw
        self.path = path

    def _get(self, key: str) -> Any:
        if key not in self.raw:
            raise PlanFileError(f"key {self._name(key)} is missing; give a whole plan")
        return self.raw[key]

    def has(self, key: str) -> bool:
        """Is there a value under that key?"""
        return self.raw.get(key) is not None

    def _name(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def _wrong(self, key: str, value: Any, form: str) -> PlanFileError:
        shown = str(value)
        return PlanFileError(f"{self._name(key)} is {shown[:40]!r}; it should be {form}")

    def text(self, key: str) -> str:
        """A text."""
        value = self._get(key)
        if not isinstance(value, str):
            raise self._wrong(key, value, "text")
        return value

    def word(self, key: str, words: tuple[Any, ...]) -> Any:
        """One of a closed list of words."""
        value = self._get(key)
        if value not in words:
            raise self._wrong(key, value, f"one of {', '.join(map(str, words))}")
        return value

    def whole(self, key: str) -> int:
        """A whole number."""
        value = self._get(key)
        if isinstance(value, bool) or not isinstance(value, int):
            raise self._wrong(key, value, "a whole number")
        return value

    def number(self, key: str) -> float:
        """A number."""
        value = self._get(key)
        if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e9:
            raise self._wrong(key, value, "a number")
        return value

    def flag(self, key: str) -> bool:
        """True or false."""
        value = self._get(key)
        if not isinstance(value, bool):
            raise self._wrong(key, value, "true or false")
        return value

    def maybe(self, key: str, read: Callable[[str], T]) -> T | None:
        """What `read` reads, or nothing."""
        return None if self._get(key) is None else read(key)

    def time(self, key: str) -> Instant:
        """A time with its offset, to the minute."""
        return self._moment(key, self._get(key))

    def _moment(self, key: str, value: Any) -> Instant:
        try:
            moment = datetime.fromisoformat(value)
        except (TypeError, ValueError):
            raise self._wrong(key, value, "a time such as 2026-06-03T07:20-06:00") from None
        if moment.tzinfo is None:
            raise PlanFileError(f"time {value!r} has no offset; write it as 2026-06-03T07:20-06:00")
        return int(moment.timestamp() // 60)

    def day(self, key: str) -> date:
        """A day of the calendar."""
        try:
            return date.fromisoformat(self.text(key))
        except ValueError:
            raise self._wrong(key, self.raw[key], "a day such as 2026-06-03") from None

    def _list(self, key: str) -> list[Any]:
        value = self._get(key)
        if not isinstance(value, list):
            raise self._wrong(key, value, "a list")
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts."""
        values = self._list(key)
        if not all(isinstance(value, str) for value in values):
            raise self._wrong(key, values, "a list of texts")
        return tuple(values)

    def parts(self, key: str) -> tuple[str | None, ...]:
        """A list of part ids, null for a whole room."""
        values = self._list(key)
        if not all(value is None or isinstance(value, str) for value in values):
            raise self._wrong(key, values, "a list of part ids")
        return tuple(values)

    def spans(self, key: str) -> tuple[tuple[Instant, Instant], ...]:
        """A list of [from, to]."""
        values = self._list(key)
        if not all(isinstance(value, list) and len(value) == 2 for value in values):
            raise self._wrong(key, values, "a list of [from, to]")
        return tuple((self._moment(key, first), self._moment(key, last)) for first, last in values)

    def counts(self, key: str) -> dict[str, int]:
        """How many of each name."""
        table = self.table(key)
        return {name: table.whole(name) for name in table.raw}

    def table(self, key: str) -> "_Table":
        """An object inside this one."""
        return _Table(self._get(key), self._name(key))

    def tables(self, key: str) -> list["_Table"]:
        """A list of objects."""
        return [_Table(each, f"{self._name(key)}[{n}]") for n, each in enumerate(self._list(key))]


def _room(raw: _Table) -> PlannedRoom:
    parts = tuple(PlannedPart(part.text("id"), part.texts("in_from")) for part in raw.tables("parts"))
    return PlannedRoom(raw.text("id"), raw.text("name"), raw.texts("in_from"), parts)


def _house(raw: _Table) -> HouseOut:
    what = raw.word("what", get_args(Service))
    return HouseOut(what, raw.text("room"), raw.time("out_from"), raw.maybe("back_at", raw.time))


def _visit(raw: _Table) -> PlannedVisit:
    return PlannedVisit(
        raw.text("id"), raw.text("who"), raw.text("room"), raw.maybe("sees", raw.text), raw.time("start"),
        raw.time("finish"), raw.flag("booked"),
    )  # fmt: skip


def _stay_off(raw: _Table) -> StayOff:
    return StayOff(
        raw.text("room"), raw.maybe("part", raw.text), raw.word("what", get_args(Barrier)), raw.time("from"),
        raw.time("until"), raw.text("step"),
    )  # fmt: skip


def _link(raw: _Table) -> PlannedLink:
    return PlannedLink(
        raw.text("id"), raw.word("on", get_args(LinkEnd)), raw.whole("wait_min"),
        raw.maybe("within_min", raw.whole), raw.text("law"), raw.whole("label_min"), raw.number("factor"),
    )  # fmt: skip


def _chance(raw: _Table) -> Chance:
    return Chance(
        draws=raw.whole("draws"),
        finish=raw.time("finish"),
        finish_holds=raw.number("finish_holds"),
        finish_likely=raw.time("finish_likely"),
        finish_any_label=raw.time("finish_any_label"),
        days=tuple(
            DayChance(d.day("day"), d.number("holds"), d.number("any_label"), d.maybe("weakest", d.text),
                      d.whole("buffer_min"), d.number("lifted"))
            for d in raw.tables("days")
        ),
        steps={step.text("id"): step.number("holds") for step in raw.tables("steps")},
        demands=tuple(
            DemandChance(d.word("kind", get_args(DemandKind)), d.text("what"), d.number("kept"))
            for d in raw.tables("demands")
        ),
    )  # fmt: skip


def _window(raw: _Table) -> StepWindow:
    state = raw.word("state", (*get_args(WindowState), None))
    return StepWindow(raw.maybe("opens", raw.time), raw.maybe("shuts", raw.time), state)


def _batch(raw: _Table) -> PlannedBatch:
    return PlannedBatch(raw.whole("n"), raw.whole("mixer"), raw.number("bags"), raw.time("begins"), raw.time("lands"),
                        raw.maybe("use_by", raw.time))  # fmt: skip


def _step(raw: _Table, job: str) -> PlannedStep:
    piece = raw.maybe("piece", raw.table)
    return PlannedStep(
        id=raw.text("id"),
        job=job,
        room=raw.text("room"),
        part=raw.maybe("part", raw.text),
        title=raw.text("title"),
        kind=raw.word("kind", get_args(Kind)),
        state=raw.word("state", get_args(StepState)),
        start=raw.time("start"),
        finish=raw.time("finish"),
        people=raw.texts("people"),
        gear=raw.counts("gear"),
        foot_ready=raw.maybe("foot_ready", raw.time),
        window=_window(raw.table("window")),
        latest_start=raw.maybe("latest_start", raw.time),
        lost_then=raw.maybe("lost_then", raw.text),
        reason=raw.text("reason"),
        recovery=raw.maybe("recovery", raw.text),
        after=tuple(map(_link, raw.tables("after"))),
        stands_on=raw.parts("stands_on"),
        pause=raw.flag("pause"),
        piece=None if piece is None else Piece(piece.text("of"), piece.whole("n"), piece.number("share")),
        acts=tuple(Act(act.text("title"), act.time("opens"), act.time("shuts")) for act in raw.tables("acts")),
        batches=tuple(map(_batch, raw.tables("batches"))) if raw.has("batches") else (),
    )
