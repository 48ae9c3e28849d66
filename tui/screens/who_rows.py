"""The rows of Who: people, visits, deliveries, answers that are owed, drives; each as one line of text."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from planning.job.hours import local
from planning.job.plan import Plan, PlannedVisit
from planning.job.words import Instant
from tui.words import as_many, clock, room_name, shorten, wall, zone_of

RowKind = Literal["person", "visit", "delivery", "answer", "errand"]
HEADS: Mapping[RowKind, tuple[str, str, str, str]] = {
    "person": ("WHO", "TODAY", "CAN DO", "NEEDED FOR"),
    "visit": ("VISITS", "WHEN", "WHERE", "TO SEE"),
    "delivery": ("DELIVERIES", "WHEN", "WHERE", ""),
    "answer": ("OWED", "BY", "WHERE", "WHAT"),
    "errand": ("RUNS", "WHO", "TAKES", ""),
}


@dataclass(frozen=True, slots=True)
class WhoRow:
    """One row: a person's name, a visit, or what the helper filled in of something that comes or is owed."""

    kind: RowKind
    person: str = ""
    visit: PlannedVisit | None = None
    item: Mapping[str, Any] | None = None


def who_rows(plan: Plan, filled: Mapping[str, Any], now: Instant) -> list[WhoRow]:
    """People first, then what is still to come, then what is owed."""
    coming = sorted((v for v in plan.visits if v.finish > now), key=lambda v: v.start)
    rows = [WhoRow("person", person=each.name) for each in plan.people]
    rows += [WhoRow("visit", visit=each) for each in coming]
    kinds: tuple[tuple[str, RowKind], ...] = (("deliveries", "delivery"), ("answers", "answer"), ("errands", "errand"))
    rows += [WhoRow(kind, item=each) for name, kind in kinds for each in filled.get(name, [])]
    return rows


def head_text(kind: RowKind) -> str:
    """The heading over the rows of a kind."""
    one, two, three, four = HEADS[kind]
    return f"     {one:<12}{two:<15}{three:<22}{four}".rstrip()


def row_text(plan: Plan, row: WhoRow, gone: bool, now: Instant, width: int) -> str:
    """One row without its number."""
    if row.visit is not None:
        return _visit(plan, row.visit, now)
    if row.item is not None:
        return _item(plan, row.kind, row.item, now)
    return _person(plan, row.person, gone, now, width)


def _person(plan: Plan, name: str, gone: bool, now: Instant, width: int) -> str:
    zone = zone_of(plan)
    person = next(each for each in plan.people if each.name == name)
    today = local(zone, now).date()
    hours = [span for span in person.hours if local(zone, span[0]).date() == today]
    there = f"{wall(plan, hours[0][0])} to {wall(plan, hours[-1][1])}" if hours else "not today"
    needed = [s.title.upper() for s in plan.steps if name in s.people and s.state in ("hands", "ready", "wait")
              and local(zone, s.start).date() == today]  # fmt: skip
    skills = as_many(person.skills, 21)
    work = as_many([shorten(each, 16) for each in needed], max(8, width - 55)) or "nothing"
    return f"{shorten(name, 11):<12}{'left' if gone else there:<15}{skills:<22}{work}"


def _visit(plan: Plan, visit: PlannedVisit, now: Instant) -> str:
    seen = next((s.title for s in plan.steps if s.room == visit.room and s.id.endswith(f"/{visit.sees}")), visit.sees)
    sees = ("NOT BOOKED  " if not visit.booked else "") + shorten(seen or "", 13 if not visit.booked else 25)
    place = shorten(room_name(plan, visit.room), 21)
    return f"{shorten(visit.who, 11):<12}{clock(plan, visit.start, now):<15}{place:<22}{sees}"


def _item(plan: Plan, kind: RowKind, item: Mapping[str, Any], now: Instant) -> str:
    if kind == "errand":
        return f"{shorten(str(item['what']), 11):<12}{shorten(str(item['who']), 14):<15}{item['takes']} min"
    place = room_name(plan, str(item["room"])) if item.get("room") else "the job"
    when = clock(plan, int(item["to"] if kind == "delivery" else item["by"]), now)
    if kind == "answer":
        return f"{shorten(str(item['who']), 11):<12}{when:<15}{shorten(place, 21):<22}{shorten(str(item['what']), 25)}"
    return f"{shorten(str(item['what']), 11):<12}{'till ' + when:<15}{shorten(place, 21):<22}"
