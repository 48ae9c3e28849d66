"""What was really taken, read from a record: meals off, nonsense out, pieces by share, waits only where they held."""

from dataclasses import replace

import pytest

from planning.job.events import Event
from planning.job.step import Band, Link, Step, Wait
from planning.learning.hours import NOT_SAID, hours_spent
from planning.learning.observed import labour_seen, waits_seen
from planning.trade.air import opens_at, site_air
from tests.planning.supply.a_day import GROUT, JOB, POUR, SET, STEPS, at, event

DRY = Wait("next_layer", Band(60, 120, 240), "drying", "membrane-liquid", "kitchen")
COAT_1 = Step("kitchen/floor/coat-1", JOB.name, "kitchen", None, "floor", "coat-1", "coat 1", "coat", ("coat",),
              Band(40, 60, 90), pause=True)  # fmt: skip
COAT_2 = replace(COAT_1, id="kitchen/floor/coat-2", key="coat-2", title="coat 2", after=(Link(COAT_1.id, wait=DRY),))


def marks(step: str, start: int, finish: int, seq: int = 1) -> list[Event]:
    return [event(seq, "started", start, step=step), event(seq + 1, "finished", finish, step=step)]


def taken(seq: int, *spans: tuple[str, int, int]) -> Event:
    steps = {step: {"start": start, "finish": finish, "people": ["you", "helper"]} for step, start, finish in spans}
    return event(seq, "plan_accepted", at(7), steps=steps, finish=at(15), choice="")


def test_a_whole_step_is_held_against_its_usual_labour() -> None:
    seen = labour_seen(JOB, STEPS, marks(GROUT.id, at(8), at(10)))
    assert [(each.key, each.usual_min, each.real_min, each.ratio) for each in seen] == [("grout", 90, 120, 120 / 90)]


def test_the_meal_is_no_work_where_a_step_may_pause_over_it() -> None:
    seen = labour_seen(JOB, (COAT_1,), marks(COAT_1.id, at(11, 30), at(13, 30)))
    assert seen[0].real_min == 90
    through = labour_seen(JOB, (replace(COAT_1, pause=False),), marks(COAT_1.id, at(11, 30), at(13, 30)))
    assert through[0].real_min == 120


@pytest.mark.parametrize(
    ("start", "finish"), [(at(9), at(9)), (at(14), at(8, day=4))], ids=["pressed twice", "forgotten over night"]
)
def test_marks_that_say_nothing_of_the_pace_are_left_out(start: int, finish: int) -> None:
    assert labour_seen(JOB, STEPS, marks(GROUT.id, start, finish)) == ()


def test_a_pour_has_no_pace_and_a_step_no_longer_in_the_job_is_passed_over() -> None:
    assert labour_seen(JOB, STEPS, marks(POUR.id, at(9), at(10))) == ()
    assert labour_seen(JOB, STEPS, marks("attic/floor/set", at(9), at(10))) == ()


def test_a_piece_is_held_against_its_share_in_the_plan_in_force_when_it_was_begun() -> None:
    first, second = f"{SET.id}#1", f"{SET.id}#2"
    plan = taken(1, (first, at(8), at(10)), (second, at(12, 30), at(13, 30)))
    later = taken(5, (first, at(8), at(11)), (second, at(12, 30), at(13, 30)))
    seen = labour_seen(JOB, STEPS, [plan, *marks(first, at(8), at(11), 2), later])
    assert [(each.usual_min, each.real_min) for each in seen] == [(200, 180)]


def test_a_pace_that_is_written_already_is_taken_out_of_what_is_usual() -> None:
    written = replace(JOB, pace={"grout": 1.5})
    stretched = tuple(replace(s, labour=Band(90, 135, 195)) if s.id == GROUT.id else s for s in STEPS)
    seen = labour_seen(written, stretched, marks(GROUT.id, at(8), at(10)))
    assert [(each.usual_min, each.real_min) for each in seen] == [(90, 120)]


def test_a_wait_counts_when_the_next_step_was_begun_as_it_opened_or_was_noted_as_tacky() -> None:
    opens = opens_at(DRY, site_air(JOB), at(9))
    coats = (COAT_1, COAT_2)

    def seen(start: int, *more: Event) -> list[float]:
        events = [*marks(COAT_1.id, at(8), at(9)), event(5, "started", start, step=COAT_2.id), *more]
        return [each.ratio for each in waits_seen(JOB, coats, events)]

    assert seen(opens) == [1.0]
    assert seen(opens + 180) == [], "he came back after lunch: that says nothing of the coat"
    late = seen(opens + 60, event(4, "tacky", opens, step=COAT_2.id))
    assert late == [(opens + 60 - at(9)) / (opens - at(9))]
    assert seen(opens - 30)[0] < 1


def test_waits_are_named_by_class_and_window_and_fixed_ones_are_not_learned() -> None:
    opens = opens_at(DRY, site_air(JOB), at(9))
    events = [*marks(COAT_1.id, at(8), at(9)), event(5, "started", opens, step=COAT_2.id)]
    assert [each.key for each in waits_seen(JOB, (COAT_1, COAT_2), events)] == ["membrane-liquid/next_layer"]
    fixed = replace(COAT_2, after=(Link(COAT_1.id, wait=replace(DRY, law="fixed")),))
    assert waits_seen(JOB, (COAT_1, fixed), events) == ()


def test_hours_are_per_person_and_room_and_each_kind_stands_beside_its_usual_labour() -> None:
    plan = taken(1, (GROUT.id, at(8), at(9, 30)), (POUR.id, at(10), at(10, 35)))
    events = [plan, *marks(GROUT.id, at(8), at(10), 2), *marks(POUR.id, at(10), at(10, 30), 4)]
    spent = hours_spent(JOB, STEPS, events)
    rooms = {"kitchen": 120, "powder-room": 30}
    assert spent.by_person == {"you": rooms, "helper": rooms}
    assert spent.total == 300
    assert spent.by_kind == {"grout": (180, 240), "pour": (70, 60)}


def test_hours_without_a_plan_are_nobodys_but_counted() -> None:
    spent = hours_spent(JOB, STEPS, marks(GROUT.id, at(8), at(10)))
    assert spent.by_person == {NOT_SAID: {"kitchen": 120}}
