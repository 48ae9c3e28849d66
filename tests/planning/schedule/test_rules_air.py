"""Rule 12: the air for wet work."""

from dataclasses import replace

import pytest

from planning.job.place import Air, RoomAir
from tests.by_hand import ByHand, at, named, noted
from tests.small_job import COAT_1, COAT_2, FLOOD, TILE, small


def in_air(air: Air, room: str = "wet-room", night: Air | None = None) -> ByHand:
    """The small job with that room's air."""
    rooms = tuple(
        replace(each, air=RoomAir(air, night or air, read=True)) if each.id == room else each
        for each in small().job.rooms
    )
    return small().with_job(rooms=rooms)


@pytest.mark.parametrize(
    ("air", "held"),
    [
        (Air(23, 0.5, 23), set()),
        (Air(8, 0.5, 8), {COAT_1, COAT_2, TILE}),
        (Air(36, 0.3, 36), {COAT_1, COAT_2, TILE}),
        (Air(23, 0.9, 23), {COAT_1, COAT_2}),
        (Air(23, 0.6, 16), {COAT_1, COAT_2}),
    ],
)
def test_wet_work_holds_outside_the_limits_and_only_films_mind_the_damp(air: Air, held: set[str]) -> None:
    assert {steps[0] for steps in named(in_air(air), 12)} == held


def test_dry_work_minds_no_air() -> None:
    assert FLOOD not in {steps[0] for steps in named(in_air(Air(2, 0.9, 2)), 12)}


def test_only_the_air_at_its_start_counts() -> None:
    assert named(in_air(Air(20, 0.5, 20), night=Air(5, 0.5, 5)), 12) == []


def test_a_reading_replaces_the_forecast() -> None:
    cold = noted("reading", at(1, "6:00"), room="wet-room", value={"air_c": 6.0, "surface_c": 5.0})
    assert (COAT_1,) in named(replace(small(), events=(cold,)), 12)
