import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, time

from hypothesis import given
from hypothesis import strategies as st

from planning.handover.as_text import note_text
from planning.handover.evening import evening
from planning.handover.snapshot import make_note
from planning.handover.wording import owner_time, quarter_up
from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.trade.air import opens_at, site_air
from tests.planning.supply.a_day import JOB, POUR, SET, STEPS, WALK, ZONE, a_plan, as_done, at, event

FIRST = f"{SET.id}#1"
NOTED = [
    event(1, "started", at(9, 12), step=FIRST),
    event(2, "late", at(11, 30), step=FIRST, value=40, until=at(12, 40), why="cuts at the door"),
    event(3, "finished", at(12, 38), step=FIRST),
    event(4, "started", at(14, 40), step=POUR.id),
    event(5, "finished", at(15, 20), step=POUR.id),
    event(6, "photo", at(15, 25), step=POUR.id, value="IMG_1"),
    event(7, "stay_until", at(14), until=at(16, 10)),
    event(8, "reading", at(6, 58), room="kitchen", value={"air_c": 20.0, "humidity": 0.55, "surface_c": 18.0}),
    event(9, "used", at(15, 20), **{"class": "leveler-rapid", "value": 2, "lot": "A7"}),
]


def snapshot(plan: Plan, job: Job, events: Sequence[Event], now: Instant, long: bool = False) -> str:
    return note_text(make_note(evening(plan, job, STEPS, events, now), long=long))


def note(long: bool = False) -> str:
    plan = as_done(as_done(a_plan(), FIRST), POUR.id)
    return snapshot(plan, JOB, NOTED, at(16), long)


def test_what_was_done_stands_with_the_times_noted() -> None:
    said = note()
    assert "Kitchen: set tile, part 1 (9:12 to 12:38)." in said
    assert "Powder room: pour (2:40 to 3:20); 1 photo." in said
    assert "On site: 2 people, 7:00 to 4:10" in said


def test_stay_off_is_the_high_case_up_to_the_quarter_hour_in_an_owners_words() -> None:
    until = opens_at(WALK, site_air(JOB, NOTED), at(15, 20), "high")
    assert f"Powder room: till {owner_time(until, ZONE, at(16))}. Nothing heavy till" in note()
    assert "Kitchen: till" in note()


def test_the_night_says_heat_fans_and_the_toilet() -> None:
    said = note()
    assert "Keep the kitchen and powder room at 61 F or more." in said
    assert "No fan and no draft in the powder room." in said
    assert "Powder room: no toilet till Tue 9 Jun 4 pm." in said


def test_tomorrow_visits_deliveries_and_what_we_need() -> None:
    said = note()
    assert "Tile comes 8 am to 10 am: keep the drive clear." in said
    assert "Fri 5 Jun 9 am, inspector, flood, powder room. Not yet passed." in said
    assert "Grout color for the mudroom, by Thu 4 Jun 9 am." in said


def test_the_hour_we_come_and_the_hour_work_begins_are_told_apart() -> None:
    said = " ".join(note().split())
    assert "We come at 7 am, 1 person, and set up; work begins 7:20 am, kitchen first: set tile." in said
    assert "Please have" not in said, "the kitchen is not to be walked in, so it is clear"
    fresh = " ".join(snapshot(a_plan(), JOB, (), at(16, day=2)).split())
    assert "Please have the powder room and kitchen and the way there clear." in fresh


def test_a_day_on_which_the_first_step_needs_no_setting_up_tells_one_hour_only() -> None:
    later = replace(JOB, hours=replace(JOB.hours, start=time(7, 20)))
    said = " ".join(snapshot(a_plan(), later, NOTED, at(16)).split())
    assert "We come at 7:20 am, 1 person, kitchen first" in said


def test_an_answer_given_and_a_visit_passed_are_no_longer_asked_for() -> None:
    events = [*NOTED, event(10, "answered", at(15), answer="grout-color", value="gray"),
              event(11, "visit_result", at(15), visit="flood-visit", value="passed")]  # fmt: skip
    said = snapshot(a_plan(), JOB, events, at(16))
    assert "WE NEED" not in said
    assert "Inspector, flood, powder room: passed Wed 3 Jun 3 pm." in said


def taken(seq: int, start: int, finish: int) -> Event:
    """A plan taken before anything ran late, with the pour at `start`."""
    steps = {POUR.id: {"start": start, "finish": start + 35, "people": ["you"]}}
    return event(seq, "plan_accepted", at(7), steps=steps, finish=finish, choice="")


def test_late_says_how_late_why_and_what_it_did_to_the_plan_that_held() -> None:
    assert "Set tile, 40 min: cuts at the door." in note()
    assert "We stayed till 4:10." in note()
    plan = a_plan()
    same = snapshot(plan, JOB, [taken(0, at(13), plan.finish), *NOTED], at(16))
    assert "Nothing moved to another day." in same
    later = snapshot(plan, JOB, [taken(0, at(13, day=2), at(15, day=4)), *NOTED], at(16))
    assert "1 step moved to another day." in later


def test_no_line_of_the_note_is_wider_than_a_page_and_every_heading_stands_apart() -> None:
    said = note(long=True).splitlines()
    assert max(map(len, said)) <= 80
    assert all(line.startswith("PLEASE STAY OFF  ") or line == "PLEASE STAY OFF" for line in said if "STAY OFF" in line)


def test_the_last_day_is_told_as_the_slow_one_only_and_what_decides_it() -> None:
    said = " ".join(note().split())
    day = re.search(r"We are done by (\w+ \d+ Jun), slow days counted in\. Last comes grout, kitchen", said)
    assert day is not None
    told = datetime.strptime(f"{day[1]} 2026", "%a %d %b %Y").date()  # noqa: DTZ007  # a date only
    assert told > date(2026, 6, 5)
    assert "Fri 5 Jun if" not in said


def test_the_long_note_adds_air_materials_and_readings_and_the_short_one_does_not() -> None:
    assert "lot A7" in note(long=True)
    assert "6:58  kitchen: 68 F, 55 %, floor 64 F" in note(long=True)
    assert "lot A7" not in note()


def test_a_day_on_which_nothing_happened_still_makes_a_note() -> None:
    said = snapshot(a_plan(), JOB, (), at(16, day=2))
    assert said.startswith("GUEST HOUSE: TUE 2 JUN    On site: nobody today")
    assert "DONE TODAY" not in said


@given(st.integers(at(0), at(0) + 10**6))
def test_owners_are_told_the_next_quarter_hour_and_never_an_earlier_time(moment: int) -> None:
    told = quarter_up(moment)
    assert moment <= told < moment + 15
    assert told % 15 == 0
