"""What runs short on which day: van, ticks, counts, shortages noted, real use; and the drive that mends it."""

from dataclasses import replace
from datetime import date

from planning.job.agreed import as_agreed
from planning.job.events import Event
from planning.job.job import Job
from planning.job.plan import Piece, Plan
from planning.job.step import Amount
from planning.schedule.make_plan import make_plan
from planning.supply.pull_json import pull_dict
from planning.supply.pull_list import Item, pull_list
from planning.supply.shortages import Shortage, shortage_errands, shortages
from planning.trade.expand import expand
from planning.trade.materials import material_classes
from planning.trade.noted import as_noted
from tests.planning.supply.a_day import JOB, POUR, SET, STEPS, ZONE, a_plan, at, event, planned
from tests.planning.trade.small_jobs import do, job_of, room_of

LATER = replace(POUR, id="mudroom/level/pour", room="mudroom")
TWO_POURS = (POUR, LATER)


def two_pours() -> Plan:
    return a_plan(planned(POUR, at(14), at(15)), planned(LATER, at(8, day=4), at(9, day=4)))


def short_of(job: Job, *events: Event) -> tuple[Shortage, ...]:
    return shortages(pull_list(two_pours(), job, TWO_POURS, events))


def test_the_day_and_the_step_that_miss_bags_are_named_in_order_of_time() -> None:
    found = short_of(replace(JOB, van={"leveler-rapid": 3}))
    assert [(each.day, each.step, each.packages) for each in found] == [(date(2026, 6, 4), LATER.id, 2)]
    assert "2 bags missing for pour" in found[0].words(ZONE, at(7))


def test_what_nobody_counted_is_a_thing_to_buy_and_no_shortage() -> None:
    listed = pull_list(two_pours(), replace(JOB, van={}), TWO_POURS)
    assert shortages(listed) == ()
    assert sum(each.packages for each in shortages(listed, told_only=False)) == 6
    assert all(not each.told for each in shortages(listed, told_only=False))


def test_a_ticked_line_is_in_the_van_and_not_short() -> None:
    tick = event(1, "ticked", at(7), step=POUR.id, **{"class": "leveler-rapid", "value": "on"})
    assert POUR.id in {each.step for each in short_of(JOB)}
    assert POUR.id not in {each.step for each in short_of(JOB, tick)}


def test_a_noted_shortage_is_believed_before_what_we_counted() -> None:
    full = replace(JOB, van={"leveler-rapid": 30})
    assert short_of(full) == ()
    missing = event(1, "short", at(8), **{"class": "leveler-rapid", "value": 2})
    found = short_of(full, missing)
    assert [(each.step, each.packages) for each in found] == [(POUR.id, 2), (LATER.id, 3)]


def test_what_comes_after_a_noted_shortage_mends_it() -> None:
    missing = event(1, "short", at(8), **{"class": "leveler-rapid", "value": 2})
    one_came = event(2, "delivered", at(9), **{"class": "leveler-rapid", "value": 1})
    counted = event(2, "van_has", at(9), **{"class": "leveler-rapid", "value": 9})
    assert short_of(JOB, missing, one_came)[0].packages == 1
    assert short_of(JOB, missing, counted) == ()


def set_in_two(*events: Event) -> list[Item]:
    amount = 4 * material_classes(JOB)["thin-set"].package.gives.typical / (1 + material_classes(JOB)["thin-set"].waste)
    step = replace(SET, amounts=(Amount("thin-set", amount, "m3"),))
    pieces = [planned(step, at(8, day=3 + n), at(9, day=3 + n), piece=Piece(step.id, n + 1, 0.5)) for n in (0, 1)]
    listed = pull_list(a_plan(*pieces), JOB, [step], events)
    return [item for day in listed.days for each in day.steps for item in each.items]


def test_more_used_than_planned_is_planned_for_the_pieces_to_come() -> None:
    assert [item.need for item in set_in_two()] == [2, 2]
    done = [event(1, "started", at(8), step=f"{SET.id}#1"), event(2, "finished", at(9), step=f"{SET.id}#1")]
    used = event(3, "used", at(9), step=f"{SET.id}#1", **{"class": "thin-set", "value": 3})
    last = set_in_two(*done, used)[-1]
    assert (last.need, last.more, last.stock, last.short) == (3, 1, 1, 2)


def test_the_drive_brings_what_is_missing_before_the_step_that_misses_it_and_the_helper_drives() -> None:
    offers = shortage_errands(JOB, two_pours(), TWO_POURS, (), at(7))
    assert [offer.who for offer in offers] == ["helper", "you"]
    assert dict(offers[0].brings) == {"leveler-rapid": 4}
    taken = as_agreed(JOB, [Event("e1", offers[0].draft.kind, event(1, "note", at(7)).at, offers[0].draft.body, 1)])
    assert taken.errands[-1].before == "powder-room/level/pour"
    assert taken.errands[-1].brings == {"leveler-rapid": 4}


def test_a_van_too_small_takes_what_the_first_step_needs_only() -> None:
    small = replace(JOB, gear=replace(JOB.gear, payload_kg=50.0))
    offer = shortage_errands(small, two_pours(), TWO_POURS, (), at(7))[0]
    assert dict(offer.brings) == {"leveler-rapid": 1}


def test_no_drive_is_offered_where_nothing_runs_short() -> None:
    assert shortage_errands(replace(JOB, van={"leveler-rapid": 9}), two_pours(), TWO_POURS, (), at(7)) == ()


def test_taking_the_drive_ends_the_shortage_and_the_plan_stays_clean() -> None:
    job = replace(job_of(room_of(6, 5, do("plain-tile-floor")), helper=True), van={"thin-set": 1})
    now = at(6, day=1)
    plan = make_plan(job, (), now, improve=False)
    steps = expand(job).steps
    offer = shortage_errands(job, plan, steps, (), now)[0]
    events = [Event("e1", offer.draft.kind, event(1, "note", now).at, offer.draft.body, 1)]
    after = make_plan(job, events, now, improve=False)
    as_it_is, steps = as_noted(job, steps, events)
    assert after.broken == ()
    assert shortages(pull_list(after, as_it_is, steps, events)) == ()
    drive = after.step(str(offer.draft.body["id"]))
    users = [step for step in after.steps if step.id.partition("#")[0] == offer.mends[0].step.partition("#")[0]]
    assert drive.people == (offer.who,)
    assert all(drive.finish <= step.start for step in users)


def test_the_json_names_what_runs_short() -> None:
    table = pull_dict(pull_list(a_plan(planned(POUR, at(14), at(15))), JOB, STEPS), ZONE)
    assert table["runs_short"][0]["class"] == "leveler-rapid"
    assert table["runs_short"][0]["packages"] == 1
