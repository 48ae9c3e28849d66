"""Rules 6, 7, 8 and 11: wet trades, green floors, ways in, and the household's nights."""

from dataclasses import replace
from datetime import date

from planning.job.job import House
from planning.job.place import Room
from planning.job.step import KeepOff, Link
from tests.by_hand import ByHand, Laid, at, named, noted, numbers
from tests.small_job import BACK, BATH, COAT_1, CUT, FLOOD, GROUT, MUDROOM, OFF, POUR, PRIME, READ, SET, SHOWER, TILE

from tests.small_job import small, step, wait  # isort: skip


def test_two_wet_trades_in_one_part_are_named_even_from_outside_it() -> None:
    hand = small()
    seal = step("bath/level/seal", "seal", 20, works_on=(BATH,))
    both = replace(hand, steps=[*hand.steps, seal], acts={**hand.acts, seal.id: Laid(at(1, "9:00"), ("you",))})
    assert named(both, 6) == [(seal.id, PRIME)]
    apart = both.laid(seal.id, start=at(1, "9:15"))
    assert named(apart, 6) == [], "prime ends 9:15"
    dry = replace(both, steps=[*hand.steps, replace(seal, kind="finish", crew=("finish",))])
    assert named(dry, 6) == [], "a dry trade may share"


def test_a_floor_kept_dry_keeps_wet_trades_off() -> None:
    hand = small()
    seal = step("bath/level/seal", "seal", 20, works_on=(BATH,))
    wet = replace(hand, steps=[*hand.steps, seal], acts={**hand.acts, seal.id: Laid(at(1, "14:10"), ("you",))})
    assert named(wet, 6) == [(seal.id, POUR)], "the pour keeps it dry till 14:45"
    assert named(wet.laid(seal.id, start=at(1, "14:45")), 6) == []


def test_nobody_stands_on_a_floor_that_is_off() -> None:
    assert (POUR, PRIME) in named(small().moved(POUR, -10), 7)
    assert named(small().with_step(POUR, stands_on=()).moved(POUR, -10), 7) == [], "from outside he may"


def test_nothing_heavy_stands_on_a_floor_that_cannot_bear_it() -> None:
    assert named(small().moved(BACK, -10), 7) == [(BACK, POUR)]
    light = small().with_step(BACK, kind="prep", crew=("prep",))
    assert named(light.moved(BACK, -10), 7) == []


def test_a_step_is_not_kept_off_by_its_own_floor_nor_by_earlier_pieces_of_itself() -> None:
    assert f"{SET}#2" not in {step for steps in named(small(), 7) for step in steps}
    other = replace(small(), steps=[*small().steps, step("mudroom/floor/line", "prep", 20, stands=(MUDROOM,))])
    laid = replace(other, acts={**other.acts, "mudroom/floor/line": Laid(at(3, "13:50"), ("you",))})
    assert ("mudroom/floor/line", f"{SET}#1") in named(laid, 7)


def test_a_step_that_ends_a_stay_off_may_stand_on_it() -> None:
    hand = small().with_step(READ, stands_on=(SHOWER,))
    assert named(hand, 7) == []
    assert (TILE, FLOOD) in named(hand.moved(TILE, -24 * 60 + 6 * 60), 7)


def behind(hand: ByHand, *ways: str) -> ByHand:
    """The bath entered from other rooms."""
    rooms = tuple(replace(room, in_from=ways) if room.id == "bath" else room for room in hand.job.rooms)
    return hand.with_job(rooms=rooms)


def with_caulk(hand: ByHand, start: int) -> ByHand:
    """A short step in the bath at that time."""
    caulk = step("bath/level/caulk", "caulk", 20, stands=(BATH,), works_on=(BATH,), after=(Link(BACK),))
    return replace(hand, steps=[*hand.steps, caulk], acts={**hand.acts, caulk.id: Laid(start, ("you",))})


def test_nobody_reaches_a_room_through_a_green_floor() -> None:
    shut = with_caulk(small(), at(3, "14:00"))
    assert named(shut, 8) == [("bath/level/caulk", f"{SET}#1")]
    assert named(behind(shut, "mudroom", "outside"), 8) == [], "there is another way"
    assert named(behind(shut, "mudroom", "wet-room"), 8) == []


def test_every_way_may_be_shut() -> None:
    hand = with_caulk(small(), at(3, "14:00")).with_step(
        READ, keeps_off=(KeepOff("walk", ("wet-room.floor",), wait(4)),)
    )
    assert [set(steps) for steps in named(behind(hand, "mudroom", "wet-room"), 8)] == [
        {"bath/level/caulk", f"{SET}#1", READ}
    ]


def test_nobody_is_trapped_behind_a_floor_that_goes_off_while_he_works() -> None:
    hand = with_caulk(small(), at(3, "7:10"))
    assert ("bath/level/caulk", f"{SET}#1") in named(hand, 8), "set begins 7:20, he is in there till 7:30"


def test_a_floor_that_nobody_can_reach_is_named() -> None:
    assert (OFF,) in named(behind(small(), "bath"), 8)


def test_a_visitor_needs_a_way_in() -> None:
    hand = small()
    shut = replace(hand.job.room("wet-room"), in_from=("mudroom",))
    parts = tuple(replace(part, in_from=("mudroom",)) if part.id == "floor" else part for part in shut.parts)
    rooms = tuple(replace(shut, parts=parts) if room.id == "wet-room" else room for room in hand.job.rooms)
    found = named(hand.with_job(rooms=rooms), 8)
    assert (f"{SET}#1",) in found, "the mudroom is off while the inspector comes"


def test_a_floor_finished_before_the_plan_still_bars() -> None:
    hand = small()
    done = (noted("started", at(1, "7:20"), step=COAT_1), noted("finished", at(1, "8:30"), step=COAT_1))
    other = step("wet-room.shower/shower/look", "prep", 20, stands=(SHOWER,))
    later = replace(
        hand, events=done, made_at=at(1, "8:30"), steps=[*hand.steps, other],
        acts={**{act: laid for act, laid in hand.acts.items() if act not in (COAT_1, "store")},
              other.id: Laid(at(1, "10:15"), ("helper",))},
    ).with_job(errands=()).with_step(other.id, crew=("carry",))  # fmt: skip
    assert (other.id, COAT_1) in named(later, 7)


def nights(hand: ByHand, *days: int) -> ByHand:
    """The promised nights of June."""
    return hand.with_job(house=House(toilet_dates=frozenset(date(2026, 6, day) for day in days)))


def test_a_night_with_the_toilet_out_is_named() -> None:
    assert numbers(nights(small(), 2)) == set()
    assert named(nights(small(), 1), 11) == [(OFF, BACK)]


def test_a_toilet_that_no_step_gives_back_stays_out() -> None:
    assert named(nights(small(), 2).with_step(BACK, house={}), 11)


def test_a_toilet_behind_a_green_floor_does_not_serve() -> None:
    assert named(nights(small(), 3), 11) == [(f"{SET}#1",)], "the only way in is off till 0:50"
    assert named(nights(behind(small(), "mudroom", "outside"), 3), 11) == []


def test_a_toilet_whose_own_floor_is_off_does_not_serve() -> None:
    hand = nights(small(), 3).with_step(CUT, stands_on=()).with_step(SET, keeps_off=())
    assert named(hand, 11) == []
    assert named(hand.with_step(GROUT, keeps_off=(KeepOff("walk", (BATH,), wait(12)),)), 11) == []
    assert named(hand.with_step(SET, keeps_off=(KeepOff("walk", (BATH,), wait(12)),)), 11) == [(f"{SET}#1",)]


def test_another_toilet_of_the_job_serves_too() -> None:
    hand = nights(small(), 1, 3)
    other = Room("powder-room", "powder room", 1.5, 1.5, ("outside",), toilet=True)
    assert named(hand.with_job(rooms=(*hand.job.rooms, other)), 11) == []


def test_a_promise_for_every_weekday_holds_for_each_night_of_the_plan() -> None:
    hand = small().with_job(house=House(toilet_weekdays=frozenset((0, 2))))
    assert [steps[0] for steps in named(hand, 11)] == [OFF, f"{SET}#1"]


def test_a_night_that_is_over_is_not_named() -> None:
    hand = nights(small(), 1)
    assert named(replace(hand, made_at=at(2, "7:00")), 11) == []


def test_a_job_without_a_toilet_keeps_the_promise_by_leaving_the_others_alone() -> None:
    hand = nights(small(), 1)
    rooms = tuple(replace(room, toilet=False) for room in hand.job.rooms)
    assert named(hand.with_job(rooms=rooms), 11) == []
