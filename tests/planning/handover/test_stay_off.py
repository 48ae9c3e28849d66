import pytest

from planning.handover.evening import evening
from planning.handover.stay_off import INSIDE, rooms_off, stay_off_sheet
from planning.handover.wording import WHAT_HAPPENED, WHY_OFF, owner_clock, quarter_up
from planning.job.hours import local
from planning.trade.air import opens_at, site_air
from tests.planning.supply.a_day import JOB, POUR, STEPS, WALK, ZONE, a_plan, at, event

DONE = [event(1, "started", at(14, 40), step=POUR.id), event(2, "finished", at(15, 20), step=POUR.id)]


def test_a_sheet_says_the_room_why_and_till_when_in_the_slow_case() -> None:
    offs = rooms_off(evening(a_plan(), JOB, STEPS, DONE, at(16)))
    sheet = stay_off_sheet("powder-room", offs["powder-room"], JOB)
    until = quarter_up(opens_at(WALK, site_air(JOB), at(15, 20), "high"))
    assert f"till  {owner_clock(local(ZONE, until))}   WED 3 JUN" in sheet
    assert "POWDER ROOM" in sheet
    assert "floor was poured" in sheet
    assert len({len(line) for line in sheet.splitlines()}) == 1


def test_rooms_whose_floors_are_free_have_no_sheet() -> None:
    assert "mudroom" not in rooms_off(evening(a_plan(), JOB, STEPS, DONE, at(16)))
    assert rooms_off(evening(a_plan(), JOB, STEPS, DONE, at(16, day=25))) == {}
    with pytest.raises(ValueError, match="nobody must stay off mudroom"):
        stay_off_sheet("mudroom", [], JOB)


def test_no_sentence_of_a_sheet_is_cut_at_the_frame() -> None:
    assert max(map(len, WHY_OFF.values())) <= INSIDE - 3
    assert max(map(len, WHAT_HAPPENED.values())) <= INSIDE - 31
