"""The pull-list as plain JSON values, by day, room and step. Masses in kilograms, water in liters."""

from typing import Any
from zoneinfo import ZoneInfo

from planning.job.plan_json import iso
from planning.supply.pull_list import Item, PullDay, PullList, PullStep
from planning.supply.shortages import Shortage, shortages

PULL_VERSION = 1


def pull_dict(listed: PullList, zone: ZoneInfo) -> dict[str, Any]:
    """The whole pull-list, and what runs short of the classes that somebody counted."""
    return {
        "version": PULL_VERSION,
        "job": listed.job,
        "days": [_day(day, zone) for day in listed.days],
        "runs_short": [_short(each, zone) for each in shortages(listed)],
    }


def _short(short: Shortage, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "day": short.day.isoformat(),
        "at": iso(short.at, zone),
        "step": short.step,
        "class": short.material,
        "title": short.title,
        "packages": short.packages,
        "package": short.package,
    }


def _day(day: PullDay, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "day": day.day.isoformat(),
        "weight_kg": round(day.weight_kg, 1),
        "payload_kg": day.payload_kg,
        "rooms": [{"room": room, "steps": [_step(step, zone) for step in steps]} for room, steps in day.by_room()],
        "short": [
            {"step": step.id, "class": item.material, "packages": item.short, "package": item.package}
            for step, item in day.short
        ],
        "cautions": list(day.cautions),
    }


def _step(step: PullStep, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "id": step.id,
        "title": step.title,
        "part": step.part,
        "start": iso(step.start, zone),
        "people": list(step.people),
        "items": [_item(item, zone) for item in step.items],
        "gear": dict(step.gear),
        "small_items": list(step.small_items),
        "says": step.says,
    }


def _item(item: Item, zone: ZoneInfo) -> dict[str, Any]:
    return {
        "class": item.material,
        "title": item.title,
        "package": item.package,
        "need": item.need,
        "spare": item.spare,
        "stock": item.stock,
        "short": item.short,
        "weight_kg": round(item.weight_kg, 1),
        "amount": item.amount,
        "unit": item.unit,
        "water_l_each": item.water_l,
        "comes": None if item.comes is None else iso(item.comes, zone),
        "ticked": item.ticked,
        "over_plan": item.more,
    }
