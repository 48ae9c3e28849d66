"""The plan as JSON text, version 1, and back: exact but for the zone and the notes, which the reader gives."""

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from planning.job.plan import (
    PLAN_VERSION,
    Act,
    Broken,
    HouseOut,
    Moved,
    Piece,
    Plan,
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
from planning.job.words import Instant


class PlanFileError(ValueError):
    """The text is not a plan of this version: the message says which key is wrong and what belongs there."""


def iso(at: Instant, zone: ZoneInfo) -> str:
    """An instant as ISO 8601 text with the site's offset."""
    return datetime.fromtimestamp(at * 60, UTC).astimezone(zone).isoformat(timespec="minutes")


def _iso_or_none(at: Instant | None, zone: ZoneInfo) -> str | None:
    return None if at is None else iso(at, zone)


def _instant(text: str) -> Instant:
    moment = datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise PlanFileError(f"time {text!r} has no offset; write it as 2026-06-03T07:20-06:00")
    return int(moment.timestamp() // 60)


def _instant_or_none(text: str | None) -> Instant | None:
    return None if text is None else _instant(text)


def to_dict(plan: Plan) -> dict[str, Any]:
    """The plan as plain JSON values."""
    zone = ZoneInfo(plan.zone)
    return {
        "version": PLAN_VERSION,
        "job": plan.job,
        "made_at": iso(plan.made_at, zone),
        "finish": iso(plan.finish, zone),
        "proof": {
            "best": plan.proof.best,
            "at_most_min_sooner": plan.proof.at_most_min_sooner,
            "cut_short": plan.proof.cut_short,
        },
        "rooms": [_room_dict(room) for room in plan.rooms],
        "people": [
            {"name": p.name, "skills": list(p.skills), "hours": [[iso(a, zone), iso(b, zone)] for a, b in p.hours]}
            for p in plan.people
        ],
        "gear": dict(plan.gear),
        "house": [
            _house_dict(h, zone) for h in plan.house
        ],
        "visits": [
            {"id": v.id, "who": v.who, "room": v.room, "sees": v.sees, "start": iso(v.start, zone),
             "finish": iso(v.finish, zone), "booked": v.booked}
            for v in plan.visits
        ],
        "steps": [_step_dict(step, zone) for step in plan.steps],
        "stay_off": [
            {"room": s.room, "part": s.part, "what": s.what, "from": iso(s.start, zone), "until": iso(s.until, zone),
             "step": s.step}
            for s in plan.stay_off
        ],
        "broken": [{"rule": b.rule, "steps": list(b.steps), "words": b.words} for b in plan.broken],
        "moved": [{"id": m.id, "was": iso(m.was, zone), "now": iso(m.now, zone), "why": m.why} for m in plan.moved],
    }  # fmt: skip


def _house_dict(out: HouseOut, zone: ZoneInfo) -> dict[str, Any]:
    back = _iso_or_none(out.back_at, zone)
    return {"what": out.what, "room": out.room, "out_from": iso(out.out_from, zone), "back_at": back}


def _room_dict(room: PlannedRoom) -> dict[str, Any]:
    parts = [{"id": part.id, "in_from": list(part.in_from)} for part in room.parts]
    return {"id": room.id, "name": room.name, "in_from": list(room.in_from), "parts": parts}


def _step_dict(step: PlannedStep, zone: ZoneInfo) -> dict[str, Any]:
    window = step.window
    return {
        "id": step.id,
        "room": step.room,
        "part": step.part,
        "title": step.title,
        "kind": step.kind,
        "state": step.state,
        "start": iso(step.start, zone),
        "finish": iso(step.finish, zone),
        "people": list(step.people),
        "gear": dict(step.gear),
        "foot_ready": _iso_or_none(step.foot_ready, zone),
        "window": {
            "opens": _iso_or_none(window.opens, zone),
            "shuts": _iso_or_none(window.shuts, zone),
            "state": window.state,
        },
        "latest_start": _iso_or_none(step.latest_start, zone),
        "lost_then": step.lost_then,
        "reason": step.reason,
        "recovery": step.recovery,
        "after": [
            {"id": a.id, "on": a.on, "wait_min": a.wait_min, "within_min": a.within_min, "law": a.law,
             "label_min": a.label_min, "factor": a.factor}
            for a in step.after
        ],
        "stands_on": list(step.stands_on),
        "pause": step.pause,
        "piece": None if step.piece is None else {"of": step.piece.of, "n": step.piece.n, "share": step.piece.share},
        "acts": [{"title": a.title, "opens": iso(a.opens, zone), "shuts": iso(a.shuts, zone)} for a in step.acts],
    }  # fmt: skip


def to_json(plan: Plan) -> str:
    """The plan as JSON text, one key a line, ending in a newline."""
    return json.dumps(to_dict(plan), indent=1, ensure_ascii=False) + "\n"


def from_json(text: str, zone: str = "UTC", notes: Mapping[str, str] | None = None) -> Plan:
    """Read a plan back; `zone` is the site's (the text carries offsets only).

    Raises PlanFileError with one clear line for anything that is not such a plan.
    """
    try:
        raw = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as wrong:
        raise PlanFileError(f"not JSON: {wrong}; give the output of `mudday plan JOB --format json`") from wrong
    if not isinstance(raw, dict) or raw.get("version") != PLAN_VERSION:
        raise PlanFileError(f'"version" must be {PLAN_VERSION}; give the output of `mudday plan JOB --format json`')
    try:
        return from_dict(raw, zone, notes)
    except PlanFileError:
        raise
    except KeyError as missing:
        raise PlanFileError(f"key {missing} is missing; give a whole plan") from missing
    except (TypeError, ValueError, AttributeError, OverflowError, LookupError) as wrong:
        raise PlanFileError(f"a value has the wrong form ({wrong}); give a whole plan") from wrong


def from_dict(raw: Mapping[str, Any], zone: str = "UTC", notes: Mapping[str, str] | None = None) -> Plan:
    """A plan from plain JSON values. Raises KeyError, TypeError or ValueError on a wrong form."""
    return Plan(
        job=str(raw["job"]),
        zone=zone,
        made_at=_instant(raw["made_at"]),
        finish=_instant(raw["finish"]),
        proof=Proof(bool(raw["proof"]["best"]), raw["proof"]["at_most_min_sooner"], bool(raw["proof"]["cut_short"])),
        rooms=tuple(
            PlannedRoom(r["id"], r["name"], tuple(r["in_from"]),
                        tuple(PlannedPart(p["id"], tuple(p["in_from"])) for p in r["parts"]))
            for r in raw["rooms"]
        ),
        people=tuple(
            PlannedPerson(p["name"], tuple(p["skills"]), tuple((_instant(a), _instant(b)) for a, b in p["hours"]))
            for p in raw["people"]
        ),
        gear=dict(raw["gear"]),
        house=tuple(
            HouseOut(h["what"], h["room"], _instant(h["out_from"]), _instant_or_none(h["back_at"]))
            for h in raw["house"]
        ),
        visits=tuple(
            PlannedVisit(v["id"], v["who"], v["room"], v["sees"], _instant(v["start"]), _instant(v["finish"]),
                         v["booked"])
            for v in raw["visits"]
        ),
        steps=tuple(_step(s, str(raw["job"])) for s in raw["steps"]),
        stay_off=tuple(
            StayOff(s["room"], s["part"], s["what"], _instant(s["from"]), _instant(s["until"]), s["step"])
            for s in raw["stay_off"]
        ),
        broken=tuple(Broken(b["rule"], tuple(b["steps"]), b["words"]) for b in raw["broken"]),
        moved=tuple(Moved(m["id"], _instant(m["was"]), _instant(m["now"]), m["why"]) for m in raw["moved"]),
        notes=dict(notes or {}),
    )  # fmt: skip


def _step(s: Mapping[str, Any], job: str) -> PlannedStep:
    window = s["window"]
    return PlannedStep(
        id=s["id"],
        job=job,
        room=s["room"],
        part=s["part"],
        title=s["title"],
        kind=s["kind"],
        state=s["state"],
        start=_instant(s["start"]),
        finish=_instant(s["finish"]),
        people=tuple(s["people"]),
        gear=dict(s["gear"]),
        foot_ready=_instant_or_none(s["foot_ready"]),
        window=StepWindow(_instant_or_none(window["opens"]), _instant_or_none(window["shuts"]), window["state"]),
        latest_start=_instant_or_none(s["latest_start"]),
        lost_then=s["lost_then"],
        reason=s["reason"],
        recovery=s["recovery"],
        after=tuple(
            PlannedLink(a["id"], a["on"], a["wait_min"], a["within_min"], a["law"], a["label_min"], a["factor"])
            for a in s["after"]
        ),
        stands_on=tuple(s["stands_on"]),
        pause=bool(s["pause"]),
        piece=None if s["piece"] is None else Piece(s["piece"]["of"], s["piece"]["n"], s["piece"]["share"]),
        acts=tuple(Act(a["title"], _instant(a["opens"]), _instant(a["shuts"])) for a in s["acts"]),
    )  # fmt: skip
