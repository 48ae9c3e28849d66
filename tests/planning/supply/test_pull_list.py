from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.job.plan import Piece
from planning.job.step import Amount
from planning.quantities.show import show_mass
from planning.supply.pull_json import pull_dict
from planning.supply.pull_list import PullDay, PullStep, day_of, pull_list
from planning.trade.materials import material_classes
from tests.planning.supply.a_day import CUFT_M3, JOB, POUR, SET, STEPS, ZONE, a_plan, as_done, at, event, planned

WED, THU = date(2026, 6, 3), date(2026, 6, 4)


def pulled(day: PullDay | None, step_id: str) -> PullStep:
    assert day is not None
    return next(step for step in day.steps if step.id == step_id)


@pytest.mark.parametrize(("cubic_feet", "bags"), [(0.52, 2), (1.875, 5), (2.92, 8), (0.01, 1)])
def test_a_pour_takes_whole_bags_with_waste_and_one_spare(cubic_feet: float, bags: int) -> None:
    # 10 % waste, 0.45 cu ft a bag: 45 sqft at 1/2 in is 5 bags, 140 sqft at 1/4 in is 8 (calculated by hand).
    pour = replace(POUR, amounts=(Amount("leveler", cubic_feet * CUFT_M3, "m3"),))
    listed = pull_list(a_plan(planned(pour, at(14), at(15))), JOB, [pour])
    item = pulled(listed.on(WED), POUR.id).items[0]
    assert (item.need, item.spare, item.take) == (bags, 1, bags + 1)


@given(st.lists(st.floats(0.05, 1.0), min_size=1, max_size=4), st.floats(0.001, 0.4))
def test_a_step_in_pieces_takes_no_more_packages_than_the_whole_step(weights: list[float], amount: float) -> None:
    shares = [weight / sum(weights) for weight in weights]
    step = replace(SET, amounts=(Amount("thin-set", amount, "m3"),))
    pieces = [
        planned(step, at(8, day=n + 3), at(9, day=n + 3), piece=Piece(step.id, n + 1, share))
        for n, share in enumerate(shares)
    ]
    listed = pull_list(a_plan(*pieces), JOB, [step])
    taken = sum(item.need for day in listed.days for each in day.steps for item in each.items)
    assert taken == material_classes(JOB)["thin-set"].packages(amount)


def test_the_van_is_used_up_in_order_of_time_and_the_day_it_runs_short_is_named() -> None:
    known = material_classes(JOB)["thin-set"]
    amount = 2.5 * known.package.gives.typical / (1 + known.waste)
    step = replace(SET, amounts=(Amount("thin-set", amount, "m3"),))
    later = replace(step, id="mudroom/floor/set", room="mudroom")
    plan = a_plan(planned(step, at(8), at(9)), planned(later, at(8, day=4), at(9, day=4)))
    listed = pull_list(plan, JOB, [step, later])
    assert [day.day for day in listed.days if day.short] == [THU]
    assert pulled(listed.on(THU), later.id).items[0].short == 3 + 3 - 4


def test_a_count_of_the_van_outweighs_what_was_reckoned() -> None:
    plan = a_plan(planned(POUR, at(14), at(15)))
    short = pulled(pull_list(plan, JOB, STEPS).on(WED), POUR.id).items[0]
    assert (short.stock, short.short) == (2, 1)
    counted = [event(1, "van_has", at(7), **{"class": "leveler-rapid", "value": 3})]
    assert pulled(pull_list(plan, JOB, STEPS, counted).on(WED), POUR.id).items[0].short == 0


def test_an_errand_brings_its_packages_when_it_is_planned_to_be_back() -> None:
    errand = replace(planned(POUR, at(10), at(11), ("helper",)), id="store", kind="prep")
    assert not pull_list(a_plan(errand, planned(POUR, at(14), at(15))), JOB, STEPS).days[0].short
    too_late = replace(errand, start=at(14, 30), finish=at(15, 30))
    assert pull_list(a_plan(too_late, planned(POUR, at(14), at(15))), JOB, STEPS).days[0].short


def test_what_a_truck_brings_before_the_step_is_neither_carried_nor_short() -> None:
    before = planned(SET, at(9), at(12))
    after = planned(SET, at(11, day=4), at(14, day=4))
    early = pulled(pull_list(a_plan(before), JOB, STEPS).on(WED), SET.id).items[1]
    late = pulled(pull_list(a_plan(after), JOB, STEPS).on(THU), SET.id).items[1]
    assert early.short == early.take > 0
    assert (late.short, late.comes) == (0, at(10, day=4))


def test_steps_that_are_done_are_not_carried_again_but_what_they_used_is_gone() -> None:
    second = replace(POUR, id="mudroom/level/pour", room="mudroom")
    plan = a_plan(planned(POUR, at(8), at(9)), planned(second, at(14), at(15)))
    noted = [event(1, "started", at(8), step=POUR.id), event(2, "finished", at(9), step=POUR.id)]
    day = pull_list(as_done(plan, POUR.id), JOB, [POUR, second], noted).on(WED)
    assert day is not None
    assert [step.id for step in day.steps] == [second.id]
    assert day.steps[0].items[0].stock == 0
    noted.append(event(3, "used", at(9), step=POUR.id, **{"class": "leveler-rapid", "value": 1}))
    again = pull_list(plan, JOB, [POUR, second], noted).on(WED)
    assert again is not None
    assert again.steps[0].items[0].stock == 1


def test_the_load_is_the_sum_of_the_packages_and_too_much_is_said() -> None:
    day = pull_list(a_plan(planned(POUR, at(14), at(15))), JOB, STEPS).on(WED)
    assert day is not None
    assert show_mass(day.weight_kg) == "150 lb"
    assert not day.too_heavy
    assert replace(day, payload_kg=60.0).too_heavy
    assert any("bag" in caution for caution in day.cautions)


def test_a_tick_is_kept_until_it_is_taken_off() -> None:
    plan = a_plan(planned(POUR, at(14), at(15)))
    on = event(1, "ticked", at(7), step=POUR.id, **{"class": "leveler-rapid", "value": "on"})
    off = event(2, "ticked", at(8), step=POUR.id, **{"class": "leveler-rapid", "value": "off"})
    assert pulled(pull_list(plan, JOB, STEPS, [on]).on(WED), POUR.id).items[0].ticked
    assert not pulled(pull_list(plan, JOB, STEPS, [on, off]).on(WED), POUR.id).items[0].ticked


def test_the_json_goes_by_day_room_and_step() -> None:
    table = pull_dict(pull_list(a_plan(), JOB, STEPS), ZONE)
    first = table["days"][0]
    assert [room["room"] for room in first["rooms"]] == ["kitchen", "powder-room"]
    assert first["rooms"][1]["steps"][0]["items"][0]["class"] == "leveler-rapid"
    assert first["rooms"][1]["steps"][0]["start"] == "2026-06-03T14:35-06:00"


def test_the_day_to_show_is_today_or_else_the_next_with_work() -> None:
    assert day_of(a_plan(), at(7)) == WED
    assert day_of(a_plan(), at(7, day=8)) is None
    assert day_of(a_plan(planned(POUR, at(8, day=5), at(9, day=5))), at(7)) == date(2026, 6, 5)


def test_a_class_nobody_knows_is_counted_in_whole_units() -> None:
    step = replace(POUR, amounts=(Amount("river-pebbles", 2.2, "each"),))
    item = pulled(pull_list(a_plan(planned(step, at(8), at(9))), JOB, [step]).on(WED), POUR.id).items[0]
    assert (item.need, item.spare, item.short) == (3, 0, 3)
