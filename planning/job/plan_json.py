"""The plan as JSON text, version 1, and back: exact but for the zone and the notes, which the reader gives."""

import json
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from planning.job.chance import Chance
from planning.job.plan import PLAN_VERSION, HouseOut, Plan, PlannedBatch, PlannedRoom, PlannedStep
from planning.job.plan_reader import PlanFileError, from_dict, from_json
from planning.job.words import Instant

__all__ = ["PlanFileError", "from_dict", "from_json", "iso", "to_dict", "to_json"]


def iso(at: Instant, zone: ZoneInfo) -> str:
    """An instant as ISO 8601 text with the site's offset."""
    return datetime.fromtimestamp(at * 60, UTC).astimezone(zone).isoformat(timespec="minutes")


def _iso_or_none(at: Instant | None, zone: ZoneInfo) -> str | None:
    return None if at is None else iso(at, zone)


def to_dict(plan: Plan) -> dict[str, Any]:
    """The plan as plain JSON values."""
    zone = ZoneInfo(plan.zone)
    known = {} if plan.chance is None else {"chance": _chance_dict(plan.chance, zone)}
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
        **known,
    }  # fmt: skip


def _chance_dict(chance: Chance, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "draws": chance.draws,
        "finish": iso(chance.finish, zone),
        "finish_holds": chance.finish_holds,
        "finish_likely": iso(chance.finish_likely, zone),
        "finish_any_label": iso(chance.finish_any_label, zone),
        "days": [
            {"day": d.day.isoformat(), "holds": d.holds, "any_label": d.any_label, "weakest": d.weakest,
             "buffer_min": d.buffer_min, "lifted": d.lifted}
            for d in chance.days
        ],
        "steps": [{"id": step, "holds": holds} for step, holds in chance.steps.items()],
        "demands": [{"kind": d.kind, "what": d.what, "kept": d.kept} for d in chance.demands],
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
        **({"batches": [_batch_dict(batch, zone) for batch in step.batches]} if step.batches else {}),
    }  # fmt: skip


def _batch_dict(batch: PlannedBatch, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "n": batch.n,
        "mixer": batch.mixer,
        "bags": batch.bags,
        "begins": iso(batch.begins, zone),
        "lands": iso(batch.lands, zone),
        "use_by": _iso_or_none(batch.use_by, zone),
    }


def to_json(plan: Plan) -> str:
    """The plan as JSON text, one key a line, ending in a newline."""
    return json.dumps(to_dict(plan), indent=1, ensure_ascii=False) + "\n"
