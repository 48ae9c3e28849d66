"""Materials against plan, the log of gauge and air, and what to mind."""

import re
from collections.abc import Iterable

from planning.handover.cautions import reader_cautions
from planning.handover.evening import Evening
from planning.handover.note import Audience
from planning.job.events import Event, effective
from planning.quantities.show import show_day, show_temp
from planning.supply.count_words import count_words
from planning.trade.cautions import caution_words
from planning.trade.materials import material_classes

_LOT = re.compile(r"\blot(?:\s+(?:no\.?|number))?[\s:#]+([\w./-]*\w)", re.IGNORECASE)


def materials(facts: Evening) -> list[str]:
    """Packages used today by class with their lots, beside what the plan has for the steps done so far."""
    known = material_classes(facts.job)
    planned, used, today, lots = _planned(facts), used_of(facts.events), used_of(facts.noted), _lots(facts.noted)
    lines = []
    for key in dict.fromkeys(str(event.body.get("class", "")) for event in facts.noted if event.kind == "used"):
        name = known[key].package.name if key in known else "piece"
        title = known[key].title if key in known else key
        so_far = f"; so far {used[key]:g}, planned {planned[key]}" if key in planned else ""
        lot = f", lot {', '.join(lots[key])}" if lots.get(key) else ""
        lines.append(f"{title}: {count_words(today.get(key, 0.0), name)}{lot}{so_far}.")
    return lines


def _planned(facts: Evening) -> dict[str, int]:
    """Whole packages that the steps done so far were to take, by class, spares not counted."""
    known = material_classes(facts.job)
    found: dict[str, int] = {}
    for step in facts.steps:
        pieces = [p for p in facts.plan.steps if (p.piece.of if p.piece else p.id) == step.id]
        share = sum(p.piece.share if p.piece else 1.0 for p in pieces if p.id in facts.progress.finished)
        for amount in step.amounts:
            if share and amount.material in known:
                whole = known[amount.material].packages(amount.quantity * min(share, 1.0))
                found[amount.material] = found.get(amount.material, 0) + whole
    return found


def used_of(events: Iterable[Event]) -> dict[str, float]:
    """Packages noted as used, by class."""
    found: dict[str, float] = {}
    for event in effective(events):
        value = event.body.get("value")
        if event.kind == "used" and isinstance(value, int | float):
            key = str(event.body.get("class", ""))
            found[key] = found.get(key, 0.0) + float(value)
    return found


def _lots(events: Iterable[Event]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for event in events:
        lot = lot_of(event)
        if event.kind == "used" and lot:
            found.setdefault(str(event.body.get("class", "")), []).append(lot)
    return {key: list(dict.fromkeys(each)) for key, each in found.items()}


def lot_of(event: Event) -> str:
    """The lot number noted with packages used: its own word, or what stands behind "lot" in the reason given."""
    if event.body.get("lot"):
        return str(event.body["lot"]).strip()
    found = _LOT.search(str(event.body.get("why", "")))
    return found[1] if found else ""


def air_log(facts: Evening) -> list[str]:
    """The air readings of the day as noted."""
    lines = []
    for event in facts.noted:
        value = event.body.get("value")
        if event.kind == "reading" and isinstance(value, dict):
            said = [show_temp(float(value["air_c"]), facts.job.units)] if "air_c" in value else []
            said += [f"{round(float(value['humidity']) * 100)} %"] if "humidity" in value else []
            said += [f"floor {show_temp(float(value['surface_c']), facts.job.units)}"] if "surface_c" in value else []
            room = facts.job.room(str(event.body["room"])).name if event.body.get("room") else ""
            lines.append(f"{facts.wall(event.minute)}  {room}: {', '.join(said)}")
    return lines


def proofs(facts: Evening) -> list[str]:
    """Film gauge readings and photos of the day, as noted."""
    return [
        f"{facts.wall(event.minute)}  {event.kind}: {facts.named(str(event.body.get('step', '')))} "
        f"{event.body.get('value', '')}".rstrip()
        for event in facts.noted
        if event.kind in ("gauge", "photo")
    ]


def cautions(facts: Evening, audience: Audience) -> list[str]:
    """What to mind: for the household by what cures and comes next; for the contractor what the next work asks."""
    day = facts.next_work_day()
    coming = [] if day is None else [facts.step_of(step) for step in facts.on(day)]
    ahead = [key for step in coming if step is not None for key in step.cautions]
    if audience == "contractor":
        said = list(caution_words(ahead, facts.job.units))
        return [f"{show_day(day)}: {words}" if n == 0 and day else words for n, words in enumerate(said)]
    curing = {each.kind for each in facts.standing}
    return list(reader_cautions(ahead, curing))
