"""Rule 13: a pour lands its last bag while the first still flows; a float places each batch and catches each lift.

Flow of leveler 15 min, pot life of rapid float 30 min, 3.5 min a bag with a helper and 5 alone: common practice, no
source. What heat takes and cold gives: ASTM C1074 with 5000 K against 23 C, calculated by hand beside each case.
"""

from dataclasses import replace

import pytest

from planning.job.job import OwnMaterial
from planning.job.place import Air, RoomAir
from planning.job.step import Amount, Band, InnerAct
from tests.by_hand import ByHand, at, noted, verdict
from tests.small_job import BATH, POUR, small, wait

BAG_M3 = 0.45 * 0.3048**3
WASTE = 1.1


def in_bath(degrees: float) -> ByHand:
    """The small job, its bath at so many degrees day and night."""
    air = Air(degrees, 0.5, degrees)
    rooms = tuple(
        replace(each, air=RoomAir(air, air, read=True)) if each.id == BATH else each for each in small().job.rooms
    )
    return small().with_job(rooms=rooms)


def poured(
    bags: int, degrees: float = 23.0, people: tuple[str, ...] = ("you", "helper"), mixers: int = 1
) -> ByHand:  # fmt: skip
    """The bath poured of so many bags of leveler."""
    amount = Amount("leveler", bags * BAG_M3 / WASTE, "m3")
    hand = in_bath(degrees).with_step(POUR, amounts=(amount,), gear={"mixers": mixers})
    return hand.laid(POUR, people=people)


def words(hand: ByHand) -> list[str]:
    """What rule 13 says."""
    return [each.words for each in verdict(hand) if each.rule == 13]


def test_four_bags_of_two_people_land_in_fourteen_minutes_and_five_do_not_in_fifteen() -> None:
    assert words(poured(4)) == []
    (said,) = words(poured(5))
    assert "5 bags take 18 min, but it flows 15 min then." in said
    assert "Dam it into 2 bays of 3, 2 bags, or bring 1 more person and 1 more mixer." in said


def test_heat_takes_flow_away_and_cold_gives_a_quarter_at_most() -> None:
    """15 min x 0.677 at 30 C is 10.2; at 15 C 1.598 would be 24, but no more than 18.75 is given."""
    assert "it flows 10 min then" in words(poured(4, 30.0))[0]
    assert words(poured(2, 30.0)) == []
    assert words(poured(5, 15.0)) == []
    assert "it flows 18 min then" in words(poured(6, 15.0))[0]


def test_one_person_alone_pours_three_bags_and_not_four() -> None:
    assert words(poured(3, people=("you",))) == []
    assert "4 bags take 20 min" in words(poured(4, people=("you",)))[0]


def test_a_pour_far_too_large_is_named_too_and_a_pump_is_what_it_takes() -> None:
    (said,) = words(poured(40))
    assert "40 bags take 140 min" in said
    assert "10 bays of 4 bags" in said
    assert "pump" in said


def test_a_pour_that_not_even_one_bag_fits_waits_for_a_cooler_room() -> None:
    """A label of 4 min at 33 C: 4 x 0.58 is 2 min, less than mixing takes."""
    four = Band(4, 4, 4)
    quick = poured(1, 33.0).with_job(materials={"leveler": OwnMaterial("leveler", windows={"work": (four, None)})})
    (said,) = words(quick)
    assert "1 bag takes 4 min, but it flows 2 min then. Wait for a cooler room." in said


def test_a_reading_of_a_hot_room_breaks_a_pour_that_fit_its_forecast() -> None:
    hot = noted("reading", at(1, "6:00"), room=BATH, value={"air_c": 31.0, "surface_c": 31.0})
    assert words(poured(4)) == []
    assert "it flows" in words(replace(poured(4), events=(hot,)))[0]


def test_a_pour_already_begun_is_not_argued_with() -> None:
    begun = noted("started", at(1, "10:15"), step=POUR)
    assert words(replace(poured(9), events=(begun,))) == []


RAILS = InnerAct("rails", "rails", 20, 20, opens=wait(20 / 60, "rails", BATH))
SKIM = InnerAct("skim", "skim lift", 38, 50, "rails", wait(18 / 60, "skim", BATH), wait(30 / 60, "skim", BATH))


def floated(bags: int, minutes: int, degrees: float = 23.0, acts: tuple[InnerAct, ...] = ()) -> ByHand:
    """The bath floated with so many bags of rapid float in so many minutes."""
    step = next(each for each in small().steps if each.id == POUR)
    amount = Amount("float-rapid", bags * BAG_M3 / WASTE, "m3")
    labour = replace(step.labour, typical=minutes)
    return in_bath(degrees).with_step(POUR, kind="float", amounts=(amount,), labour=labour, acts=acts)


@pytest.mark.parametrize(
    ("minutes_a_bag", "degrees", "named"),
    [
        (20, 23.0, False),
        (90, 23.0, False),  # a quarter bag: 3.5 + 22.5 = 26 of 30 min
        (110, 23.0, True),  # 3.5 + 27.5 = 31 min
        (90, 33.0, True),  # 30 min x 0.58 = 17 min
    ],
)
def test_a_float_of_which_not_even_a_quarter_bag_is_placed_before_it_sets_is_named(
    minutes_a_bag: int, degrees: float, named: bool
) -> None:
    said = words(floated(1, minutes_a_bag, degrees))
    assert bool(said) == named
    assert all("sets in" in each and "cooler room" in each for each in said)


def by_law(act: InnerAct) -> InnerAct:
    """The same act, its windows moved by the room's air as cement is."""
    moved = [None if each is None else replace(each, law="maturity") for each in (act.opens, act.shuts)]
    return replace(act, opens=moved[0], shuts=moved[1])  # type: ignore[arg-type]  # Wait or None


def test_a_lift_that_opens_only_when_the_one_under_it_is_lost_is_named() -> None:
    """Skim opens 18 min after the rails and is lost at 30. At 10 C 18 x 2.17 is 40, the end only 30 x 1.25 = 37."""
    chain = (by_law(RAILS), by_law(SKIM))
    assert words(floated(2, 60, 20.0, chain)) == []
    (said,) = words(floated(2, 60, 10.0, chain))
    assert "skim lift can begin 40 min after rails, but is lost 37 min after it" in said
    assert "Warm the room" in said


def test_a_lift_that_is_lost_before_its_first_batch_is_mixed_is_named() -> None:
    """A bond lift that stays wet 5 min: at 33 C 5 x 0.58 is 2 min, mixing takes 3.5."""
    bulk = InnerAct("bulk", "bulk lift", 20, 25, "rails", None, wait(5 / 60, "bulk", BATH))
    chain = (by_law(RAILS), by_law(bulk))
    assert words(floated(2, 60, 23.0, chain)) == []
    (said,) = words(floated(2, 60, 33.0, chain))
    assert "bulk lift" in said
    assert "cooler room" in said
