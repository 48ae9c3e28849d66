from dataclasses import replace
from typing import Any

from icalendar import Calendar

from planning.handover.calendar import phone_calendar
from planning.handover.release import releases
from planning.job.plan import Plan
from tests.planning.supply.a_day import JOB, STEPS, a_plan, at


def entries(plan: Plan, now: int) -> dict[str, Any]:
    calendar = Calendar.from_ical(phone_calendar(plan, JOB, STEPS, (), now))
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
    for each in releases(a_plan(), JOB, STEPS):
        entry = table.get(f"off-{each.step}-{each.room}@guest-house.mudday")
        if each.what == "walk" and each.until is not None:
            assert entry is not None
            assert int(entry["dtend"].dt.timestamp()) // 60 >= each.until


def test_lines_end_as_the_standard_asks() -> None:
    text = phone_calendar(a_plan(), JOB, STEPS, (), at(7))
    assert text.startswith(b"BEGIN:VCALENDAR\r\n")
    assert all(line.endswith(b"\r") for line in text.split(b"\n")[:-1])
    assert max(map(len, text.split(b"\r\n"))) <= 75
