"""Rules 3, 4, 5 and 14: hours, meals, quiet hours, the end of the day, people and gear."""

from dataclasses import replace
from datetime import time

import pytest

from planning.job.job import ClockSpan
from planning.job.people import Gear
from planning.job.step import Band
from planning.schedule.judge import judge
from tests.by_hand import Laid, at, named, noted, numbers
from tests.small_job import (
    BACK,
    COAT_1,
    COAT_2,
    CUT,
    FLOOD,
    GROUT,
    MUDROOM,
    POUR,
    PRIME,
    READ,
    SET,
    STORE,
    TILE,
    small,
    step,
)


def test_work_before_set_up_is_over_is_outside_hours() -> None:
    assert named(small().moved(COAT_1, -10), 3) == [(COAT_1,)]


def test_work_on_a_day_off_is_outside_hours() -> None:
    assert (GROUT,) in named(small().laid(GROUT, start=at(6, "9:20")), 3), "a Saturday"


def test_work_that_may_not_stop_keeps_clear_of_the_meal() -> None:
    assert (FLOOD,) in named(small().laid(FLOOD, start=at(2, "11:55")), 3)
    assert named(small().laid(FLOOD, start=at(2, "11:40")), 3) == []


def test_work_that_may_stop_runs_across_the_whole_meal() -> None:
    hand = small()
    assert hand.plan().step(f"{SET}#2").finish == at(3, "12:50")
    without = hand.laid(f"{SET}#2", finish=at(3, "12:20"))
    assert (f"{SET}#2",) in named(without, 3), "it ends inside the meal"
    assert (f"{SET}#2",) in named(hand.laid(f"{SET}#2", start=at(3, "12:10"), finish=at(3, "14:40")), 3)


def test_work_that_takes_longer_than_its_labour_has_stopped_in_between() -> None:
    assert named(small().laid(COAT_1, finish=at(1, "8:35")), 3) == [(COAT_1,)]
    assert named(small().laid(TILE, finish=at(4, "9:25")), 3) == [(TILE,)], "may pause, but there is no meal"


def test_work_given_less_time_than_its_labour_is_named() -> None:
    assert named(small().laid(COAT_1, finish=at(1, "8:25")), 0) == [(COAT_1,)]


def test_only_divisible_work_is_cut_into_pieces() -> None:
    hand = small().with_step(SET, divisible=False)
    assert named(hand, 3) == [(f"{SET}#1",), (f"{SET}#2",)]


def test_pieces_make_up_the_whole_step() -> None:
    assert named(small().laid(f"{SET}#2", share=0.4), 0)
    assert any(f"{SET}#2" in steps for steps in named(small().without(f"{SET}#1"), 0))


def test_pieces_follow_one_another() -> None:
    swapped = small().laid(f"{SET}#1", start=at(3, "13:50"), finish=at(3, "16:20"))
    assert (f"{SET}#2", f"{SET}#1") in named(swapped, 9)


def test_work_is_finished_before_clean_up() -> None:
    late = small().laid(READ, start=at(3, "14:55"))
    assert named(late, 14) == [(READ,)]
    assert named(late.with_job(hours=replace(late.job.hours, clean_up_min=15)), 14) == []


def test_who_stays_late_may_work_late() -> None:
    late = small().laid(READ, start=at(3, "14:55"))
    stayed = replace(late, events=(noted("stay_until", at(1, "6:00"), who="you", until=at(3, "15:40")),))
    assert named(stayed, 14) == []


def test_nobody_works_after_his_half_day() -> None:
    hand = small().with_step(SET, crew=("grout",)).laid(f"{SET}#2", people=("helper",))
    assert (f"{SET}#2",) in named(hand, 14), "the helper leaves at 12:00 on Wednesday"


def test_nobody_works_on_his_day_off() -> None:
    assert named(small().laid(GROUT, people=("helper",)), 4) == [(GROUT,)], "a Thursday"


def test_nobody_works_while_noted_as_gone() -> None:
    gone = noted("gone", at(1, "6:00"), who="helper", until=at(1, "9:00"))
    assert named(replace(small(), events=(gone,)), 4) == [(STORE,), (PRIME,)]
    back = noted("came", at(1, "6:10"), who="helper")
    assert named(replace(small(), events=(gone, back)), 4) == []


def test_nobody_is_in_two_places() -> None:
    assert (PRIME, STORE) in named(small().moved(PRIME, -10), 4)
    assert (PRIME, "bath/level/toilet-off") in named(small().moved(PRIME, -5).laid(PRIME, people=("you",)), 4)
    assert named(small().laid(COAT_2, people=("helper",)), 4) == [(COAT_2,)], "he cannot coat"


def test_each_skill_has_a_person_of_its_own() -> None:
    assert named(small().laid(POUR, people=("you",)), 4) == [(POUR,)]
    assert named(small().laid(POUR, people=("helper", "you")), 4) == [], "in any order"
    assert named(small().with_step(POUR, crew=("pour", "plumb")), 4) == [(POUR,)]
    assert named(small().laid(COAT_1, people=("somebody",)), 4) == [(COAT_1,)]
    assert named(small().laid(STORE, people=("you",)), 4)[-1] == (STORE,)


def test_one_mixer_mixes_for_one_step() -> None:
    hand = small().with_step(PRIME, gear={"mixers": 1})
    assert numbers(hand) == set()
    assert named(small().with_step(POUR, gear={"mixers": 2}), 5) == [(POUR,)]
    both = small().with_step(COAT_2, gear={"mixers": 1}).moved(COAT_2, -10)
    assert (COAT_2, POUR) in named(both, 5)
    assert (COAT_2, POUR) not in named(both.with_job(gear=Gear({"mixers": 2, "saws": 1})), 5)
    assert named(small().with_job(gear=Gear({"mixers": 1})), 5) == [(CUT,)], "no saw"


@pytest.mark.parametrize(
    ("clock", "held"), [((time(10, 30), time(11)), {POUR, CUT}), ((time(10, 45), time(11)), set())]
)
def test_no_gear_runs_in_quiet_hours_or_without_power(clock: tuple[time, time], held: set[str]) -> None:
    hand, span = small(), (ClockSpan(*clock),)
    quiet, dark = replace(hand.job.house, quiet=span), replace(hand.job.house, no_power=span)
    assert {steps[0] for steps in named(hand.with_job(house=quiet), 3)} == held
    assert {steps[0] for steps in named(hand.with_job(house=dark), 9)} == held


def test_no_wet_work_without_water() -> None:
    house = replace(small().job.house, no_water=(ClockSpan(time(11), time(11, 30)),))
    found = {steps[0] for steps in named(small().with_job(house=house), 9)}
    assert found == {COAT_2, f"{SET}#2"}


def test_a_span_over_midnight_reaches_into_the_morning() -> None:
    house = replace(small().job.house, no_water=(ClockSpan(time(22), time(7, 30)),))
    found = {steps[0] for steps in named(small().with_job(house=house), 9)}
    assert found == {COAT_1, f"{SET}#1", TILE}


def test_two_things_that_have_both_begun_are_not_named_though_they_clash() -> None:
    noted_both = tuple(noted("started", at(1, "7:20"), step=act) for act in (COAT_1, "bath/level/toilet-off"))
    hand = replace(small().laid("bath/level/toilet-off", start=at(1, "7:20")), events=noted_both, made_at=at(1, "7:25"))
    assert named(hand, 4) == []


def test_a_step_not_begun_is_named_when_it_clashes_with_a_running_one() -> None:
    late = noted("late", at(1, "8:00"), step=COAT_1, until=at(1, "8:50"))
    hand = replace(
        small().laid(COAT_1, finish=at(1, "8:50")),
        events=(noted("started", at(1, "7:20"), step=COAT_1), noted("started", at(1, "7:20"), step=STORE), late),
        made_at=at(1, "8:05"),
    ).with_job(errands=())
    hand = replace(hand, acts={act: laid for act, laid in hand.acts.items() if act != STORE})
    assert ("bath/level/toilet-off", COAT_1) in named(hand, 4)


def test_labour_is_rounded_up_to_the_axis() -> None:
    hand = small().with_step(COAT_1, labour=Band(60, 66, 80))
    assert numbers(hand) == set()
    shorter = hand.with_step(COAT_1, labour=Band(60, 65, 80))
    assert named(shorter.laid(COAT_1, finish=at(1, "8:30")), 3) == [(COAT_1,)], "65 min is 65 min on the axis"


def test_planned_starts_lie_on_the_axis() -> None:
    assert (BACK,) in named(small().moved(BACK, 3), 0)


def test_an_extra_step_is_missed_when_it_is_not_in_the_plan() -> None:
    hand = small()
    extra = step("mudroom/floor/caulk", "caulk", 20, stands=(MUDROOM,))
    assert named(replace(hand, steps=[*hand.steps, extra]), 0) == [("mudroom/floor/caulk",)]


def test_a_step_that_the_job_does_not_ask_for_is_named() -> None:
    hand = small()
    fewer = [each for each in hand.steps if each.id != GROUT]
    assert (GROUT,) in [broken.steps for broken in judge(hand.plan(), hand.job, fewer)]


def test_a_whole_new_act_needs_a_share_of_the_labour() -> None:
    hand = small()
    third = {**hand.acts, f"{SET}#3": Laid(at(3, "14:00"), ("you",), 0.2)}
    assert any(f"{SET}#3" in steps for steps in named(replace(hand, acts=third), 0))
