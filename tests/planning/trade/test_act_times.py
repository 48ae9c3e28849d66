"""Inner acts and batches of a pour or float: their order and their times, in the room's air, and as the buckets come.

Flow, pot life and lifts are common practice, no source; what cold does to them is ASTM C1074 with 5000 K, calculated.
"""

from dataclasses import replace
from datetime import time
from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.job.hours import instant
from planning.job.job import Job
from planning.job.place import Air, RoomAir
from planning.job.plan import PlannedBatch, PlannedStep
from planning.job.plan_json import from_json, to_json
from planning.quantities.floats import batch_min, float_order, largest_batch
from planning.schedule.make_plan import make_plan
from planning.trade.act_times import acts_from, coming_batch
from planning.trade.air import site_air
from planning.trade.expand import expand
from tests.planning.trade.small_jobs import INCH, do, job_of, room_of, wet_room

T = 30_000_000


def planned(job: Job, kind: str) -> PlannedStep:
    """The first step of that kind in the plan of a job."""
    plan = make_plan(job, (), instant(job.zone, job.start, time(6)))
    assert plan.broken == ()
    again = from_json(to_json(plan), job.zone.key)
    assert [step.batches for step in again.steps] == [step.batches for step in plan.steps]
    return next(step for step in plan.steps if step.kind == kind)


@cache
def hall_pour() -> PlannedStep:
    """Seven bags on 120 sq ft, three people, two mixers."""
    return planned(job_of(room_of(12, 10, do("level-and-tile-floor", {"depth": INCH / 4})), helpers=2), "pour")


def test_a_plan_tells_the_order_of_the_buckets_their_mixers_and_by_when_each_is_in_place() -> None:
    """Turns of 3.5 min on two mixers; 20 min of pot life."""
    pour = hall_pour()
    told = [(b.n, b.mixer, b.begins - pour.start, b.lands - pour.start) for b in pour.batches]
    assert told == [
        (1, 1, 0, 4),
        (2, 2, 0, 4),
        (3, 1, 4, 7),
        (4, 2, 4, 7),
        (5, 1, 7, 11),
        (6, 2, 7, 11),
        (7, 1, 11, 14),
    ]
    assert all(b.use_by is not None and b.use_by - b.begins == 20 for b in pour.batches)
    assert len(pour.people) == 3


def test_bucket_five_of_seven_comes_when_its_own_mixer_is_free() -> None:
    pour = hall_pour()
    start = pour.start
    first = coming_batch(pour.batches, [])
    assert first is not None
    assert (first.n, first.count, first.mixer, first.at) == (1, 7, 1, start)
    late = [start + 2, start + 2, start + 9, start + 6]
    fifth = coming_batch(pour.batches, late)
    assert fifth is not None
    assert (fifth.n, fifth.mixer, fifth.at) == (5, 1, start + 9 + 3), "mixer 1 began its third bag 9 min in"
    assert fifth.use_by == fifth.at + 20
    assert coming_batch(pour.batches, [start] * 7) is None


@given(st.lists(st.integers(0, 40), max_size=12), st.integers(1, 3), st.integers(1, 12))
def test_the_coming_batch_is_never_before_the_last_of_its_mixer_landed(
    gaps: list[int], mixers: int, count: int
) -> None:
    batches = [
        PlannedBatch(n + 1, n % mixers + 1, 1, T + 4 * (n // mixers), T + 4 * (n // mixers) + 4) for n in range(count)
    ]
    waters = [T + sum(gaps[: n + 1]) for n in range(min(len(gaps), count))]
    coming = coming_batch(batches, waters)
    assert (coming is None) == (len(waters) >= count)
    if coming is not None:
        assert coming.n == len(waters) + 1
        own = [at for n, at in enumerate(waters) if n % mixers + 1 == coming.mixer]
        assert not own or coming.at >= own[-1] + 4


def test_the_lifts_of_a_float_come_one_after_the_other_and_later_in_a_cold_room() -> None:
    """Rails 30, skim 18, trowel 20 min at 23 C; at 16 C each 1.51 times as long."""
    room = wet_room()
    cold = replace(room, air=RoomAir(Air(16.0, 0.5, 16.0), Air(16.0, 0.5, 16.0), read=True))
    warm, late = (planned(job_of(each, helpers=2), "float") for each in (room, cold))
    for step, factor in ((warm, 1.0), (late, 1.51)):
        opens = [act.opens - step.start for act in step.acts]
        assert opens == sorted(opens)
        assert opens[:4] == pytest.approx([30 * factor, 30 * factor, 48 * factor, 68 * factor], abs=4)
        assert all(act.shuts >= act.opens for act in step.acts)
        assert opens[3] <= step.finish - step.start, "nobody leaves before the trowel"
        for one, other in pairwise(step.batches):
            assert other.begins >= one.lands, "one batch at a time"
        assert step.batches[-1].lands <= step.finish


def test_acts_without_a_law_of_their_own_keep_their_label_minutes() -> None:
    job = job_of(wet_room(), helpers=2)
    step = next(each for each in expand(job).steps if each.kind == "float")
    told = acts_from(step.acts, site_air(job), T)
    assert [(act.opens - T) for act in told] == [act.opens_min for act in step.acts]


@pytest.mark.parametrize(
    ("set_min", "place_min", "part"), [(30, 20, 1.0), (30, 40, 0.5), (30, 100, 0.25), (30, 110, None), (3, 0, None)]
)
def test_a_batch_is_as_large_as_is_placed_before_it_sets(set_min: float, place_min: float, part: float | None) -> None:
    """3.5 min to mix, then its part of the placing: 3.5 + 0.5 x 40 = 23.5 of 30 min."""
    assert largest_batch(set_min, place_min) == part
    if part is not None:
        assert batch_min(part, place_min) <= set_min


def test_half_bags_make_twice_the_batches_in_the_same_time() -> None:
    halves = float_order(5, 0.5, 100.0)
    assert (len(halves), sum(each.bags for each in halves), halves[-1].lands_min) == (10, 5, 100)
    with pytest.raises(ValueError, match="more than 0"):
        batch_min(0, 10)
