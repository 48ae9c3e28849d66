from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import quote

from icalendar import Calendar

from planning.handover.calendar import Reader, calendar_body, phone_calendar
from planning.handover.evening import evening
from planning.handover.release import releases
from planning.handover.slow import slow_times
from planning.job.events import Event
from planning.job.hours import local
from planning.job.plan import Plan, StepWindow
from tests.planning.supply.a_day import JOB, STEPS, a_plan, at, event


def entries(plan: Plan, now: int, reader: Reader = "me", told: Sequence[Event] = ()) -> dict[str, Any]:
    calendar = Calendar.from_ical(phone_calendar(plan, JOB, STEPS, told, now, reader).data)
    found = [entry for entry in calendar.walk() if entry.name == "VEVENT"]
    table = {str(entry["uid"]): entry for entry in found}
    assert len(table) == len(found)
    return table


def test_an_entry_keeps_its_id_when_the_plan_moves() -> None:
    plan = a_plan()
    later = replace(plan, steps=tuple(replace(s, start=s.start + 60, finish=s.finish + 60) for s in plan.steps))
    assert set(entries(plan, at(7))) == set(entries(later, at(8)))


def test_visits_have_a_reminder_and_stay_offs_do_not_show_as_busy() -> None:
    table = entries(a_plan(), at(7))
    visit = next(entry for uid, entry in table.items() if uid.startswith("visit-"))
    assert [str(part.name) for part in visit.subcomponents] == ["VALARM"]
    offs = [entry for uid, entry in table.items() if uid.startswith("off-")]
    assert offs
    assert all(str(entry["transp"]) == "TRANSPARENT" for entry in offs)


def test_a_stay_off_ends_no_sooner_than_the_slow_case() -> None:
    table = entries(a_plan(), at(7))
    for each in releases(a_plan(), JOB, STEPS, (), slow_times(a_plan(), JOB, STEPS)):
        entry = table.get(f"{quote(f'off-{each.step}-{each.room}', safe='')}@guest%20house.mudday")
        if each.what == "walk" and each.until is not None:
            assert entry is not None
            assert int(entry["dtend"].dt.timestamp()) // 60 >= each.until


def test_a_later_file_has_the_higher_sequence_and_takes_back_what_is_gone() -> None:
    plan = a_plan()
    first = phone_calendar(plan, JOB, STEPS, (), at(7))
    told = event(1, "told", at(7), **calendar_body(first, "me"))
    without = replace(plan, steps=tuple(step for step in plan.steps if step.kind != "pour"))
    before, after = entries(plan, at(7)), entries(without, at(8), told=[told])
    assert set(before) <= set(after)
    assert all(int(after[uid]["sequence"]) > int(before[uid]["sequence"]) for uid in before)
    gone = {uid for uid, entry in after.items() if entry.get("status") == "CANCELLED"}
    assert gone == {uid for uid in before if "pour" in uid}
    again = event(2, "told", at(8), **calendar_body(phone_calendar(without, JOB, STEPS, [told], at(8)), "me"))
    assert not any(entry.get("status") for entry in entries(without, at(9), told=[told, again]).values())


def test_an_owner_has_no_day_of_ours_but_the_next_and_no_window_and_no_visit_nobody_booked() -> None:
    plan = a_plan()
    plan = replace(plan, visits=(replace(plan.visits[0], booked=False),))
    mine, his = entries(plan, at(7)), entries(plan, at(7), "owner")
    assert sum(uid.startswith("day-") for uid in his) == 1 < sum(uid.startswith("day-") for uid in mine)
    assert not any(uid.startswith(("window-", "visit-")) for uid in his)
    last = his["last-day@guest%20house.mudday"]
    facts = evening(plan, JOB, STEPS, (), at(7))
    assert last["dtstart"].dt >= local(JOB.zone, facts.last.safe).date()


def test_a_window_rings_when_it_opens_and_before_it_shuts() -> None:
    plan = a_plan()
    opened = StepWindow(at(10, day=5), at(14, day=5), "not_yet")
    plan = replace(plan, steps=tuple(replace(s, window=opened) if s.kind == "grout" else s for s in plan.steps))
    window = next(entry for uid, entry in entries(plan, at(7)).items() if uid.startswith("window-"))
    rings = [(alarm["trigger"].dt, alarm["trigger"].params.get("RELATED")) for alarm in window.subcomponents]
    assert rings == [(timedelta(), "START"), (timedelta(minutes=-15), "END")]
    assert (window["dtstart"].dt, window["dtend"].dt) == tuple(
        datetime.fromtimestamp(moment * 60, UTC) for moment in (at(10, day=5), at(14, day=5))
    )


def test_lines_end_as_the_standard_asks() -> None:
    text = phone_calendar(a_plan(), JOB, STEPS, (), at(7)).data
    assert text.startswith(b"BEGIN:VCALENDAR\r\n")
    assert all(line.endswith(b"\r") for line in text.split(b"\n")[:-1])
    assert max(map(len, text.split(b"\r\n"))) <= 75
