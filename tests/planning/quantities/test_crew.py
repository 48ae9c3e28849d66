"""Pours and their people: what fits, in what order, and what to do when it does not."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.quantities.bags import shared_out
from planning.quantities.crew import Site, mixers_needed, most_bags, pour_crew, say_bags, say_way_out, widest_strip_m
from planning.quantities.lifting import (
    FROM_FLOOR,
    FROM_KNUCKLE,
    Lift,
    frequency_multiplier,
    lifting_caution,
    van_load,
    weight_limit_kg,
)
from planning.quantities.si import INCH_M, POUND_KG
from planning.quantities.sight import letter_height_m

SETTER_AND_HELPER = Site(people=2, mixers=1)


def test_two_people_with_one_mixer_land_four_bags_in_fifteen_minutes_and_not_five() -> None:
    assert pour_crew(4, SETTER_AND_HELPER, 15).fits
    five = pour_crew(5, SETTER_AND_HELPER, 15)
    assert not five.fits
    assert five.mixers_needed == 2
    assert [say_way_out(way) for way in five.ways_out] == [
        "dam it into 2 bays of 3, 2 bags",
        "bring 1 more person and 1 more mixer",
    ]
    assert "take the slower class: it flows 20 min" in [
        say_way_out(way) for way in pour_crew(5, SETTER_AND_HELPER, 15, other_flow_min=20).ways_out
    ]


@pytest.mark.parametrize(("flow", "most"), [(15, 3), (20, 4)])
def test_alone_three_or_four_bags_are_the_limit(flow: float, most: int) -> None:
    alone = Site(people=1, mixers=1)
    assert pour_crew(most, alone, flow).fits
    assert not pour_crew(most + 1, alone, flow).fits


def test_a_pour_for_a_dozen_mixers_is_sent_a_pump_and_no_dozen_people() -> None:
    changes = [way.change for way in pour_crew(40, SETTER_AND_HELPER, 15).ways_out]
    assert changes == ["bay", "pump"]


@pytest.mark.parametrize(
    ("bags", "said"),
    [((1,), "1 bag"), ((2, 2), "2 bags"), ((4, 3, 3), "4, 3, 3 bags"), ((4, 4, 4, 3, 3), "3 to 4 bags")],
)
def test_the_bags_of_bays_are_said_short(bags: tuple[int, ...], said: str) -> None:
    assert say_bags(bags) == said


@given(bags=st.integers(0, 60), shares=st.integers(1, 20))
def test_bags_are_shared_out_whole_and_evenly(bags: int, shares: int) -> None:
    found = shared_out(bags, shares)
    assert sum(found) == bags
    assert len(found) == min(bags, shares)
    assert not found or max(found) - min(found) <= 1


def test_one_person_alone_is_sent_a_second_one_before_a_second_mixer() -> None:
    way = next(each for each in pour_crew(4, Site(1, 1), 15).ways_out if each.change == "hands")
    assert (way.people, way.mixers) == (1, 0)


def test_a_kitchen_of_eight_bags_needs_two_mixers_three_people_and_wants_a_runner() -> None:
    crew = pour_crew(8, Site(people=3, mixers=2), 15)
    assert crew.fits
    assert (crew.mixers_needed, crew.people_needed, crew.people_wanted, crew.buckets) == (2, 3, 4, 4)
    assert [(batch.mixer, batch.lands_min) for batch in crew.batches[:3]] == [(1, 3.5), (2, 3.5), (1, 7.0)]


@given(bags=st.integers(1, 30), people=st.integers(1, 6), mixers=st.integers(1, 4), flow=st.floats(5, 40))
def test_a_pour_that_fits_lands_its_last_bag_in_time_and_ways_out_do_too(
    bags: int, people: int, mixers: int, flow: float
) -> None:
    site = Site(people, mixers)
    crew = pour_crew(bags, site, flow, other_flow_min=2 * flow)
    assert len(crew.batches) == bags
    for mixer in range(1, mixers + 1):
        turns = [batch for batch in crew.batches if batch.mixer == mixer]
        assert all(a.lands_min <= b.begins_min for a, b in pairwise(turns)), "one batch at a time"
    assert crew.fits == (max(batch.lands_min for batch in crew.batches) <= flow + 1e-9)
    for way in crew.ways_out:
        if way.change == "bay":
            assert sum(way.bags) == bags
            assert all(pour_crew(part, site, flow).fits for part in way.bags)
        if way.change == "hands":
            assert pour_crew(bags, Site(people + way.people, mixers + way.mixers), flow).fits
        if way.change == "class":
            assert pour_crew(bags, site, way.flow_min).fits


@given(bags=st.integers(1, 30), flow=st.floats(4, 40))
def test_fewer_mixers_than_needed_never_land_all_bags(bags: int, flow: float) -> None:
    assert most_bags(mixers_needed(bags, flow) - 1, flow) < bags


def test_a_pour_without_people_or_mixers_is_refused() -> None:
    for site in (Site(0, 1), Site(2, 0)):
        with pytest.raises(ValueError, match="at least one person and one mixer"):
            pour_crew(3, site, 15)
    assert pour_crew(0, Site(0, 0), 15).fits, "nothing to pour needs nobody"


def test_a_strip_is_narrower_when_it_heals_faster() -> None:
    slow, fast = (widest_strip_m(3.0, 1, 0.0127, 0.0127, heal) for heal in (12, 10))
    assert fast < slow
    assert slow == pytest.approx(12 * 0.0127 / (3.5 * 0.0127 * 3.0))


def test_the_same_bag_is_lighter_from_a_stack_than_from_the_floor() -> None:
    assert weight_limit_kg(FROM_FLOOR) < weight_limit_kg(FROM_KNUCKLE)
    said = lifting_caution(50 * POUND_KG)
    assert said is not None
    assert said.startswith("1.9 times")
    assert lifting_caution(20 * POUND_KG) is None


@pytest.mark.parametrize(
    "lift",
    [
        Lift(26 * INCH_M, 0.5, 0.3),
        Lift(0.3, 71 * INCH_M, 0.3),
        Lift(0.3, 0.5, 0.3, twist_deg=136),
        Lift(0.3, 0.2, 0.3, per_min=13),
        Lift(0.3, 0.5, 0.3, per_min=16),
    ],
)
def test_outside_the_equations_range_nothing_is_recommended(lift: Lift) -> None:
    assert weight_limit_kg(lift) == 0.0
    assert lifting_caution(5.0, lift) is not None


def test_lifting_oftener_or_longer_leaves_less() -> None:
    for spell in ("1 h", "2 h", "8 h"):
        row = [frequency_multiplier(often, spell, 0.8) for often in range(1, 16)]
        assert row == sorted(row, reverse=True)
    assert (
        frequency_multiplier(1, "8 h", 0.8) < frequency_multiplier(1, "2 h", 0.8) < frequency_multiplier(1, "1 h", 0.8)
    )


def test_a_van_load_is_over_by_what_the_payload_does_not_hold() -> None:
    assert van_load([(22.7, 10), (31.8, 3)], 300).over_kg == pytest.approx(22.7 * 10 + 31.8 * 3 - 300)
    assert van_load([(22.7, 10)], 300).over_kg == 0.0
    assert van_load([(22.7, 1000)], None).over_kg == 0.0


def test_letters_grow_with_the_distance() -> None:
    assert letter_height_m(6.0) == pytest.approx(2 * letter_height_m(3.0))
