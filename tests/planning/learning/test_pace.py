"""The pace found in generated months against the pace they were made with."""

from math import exp
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.learning.pace import LEAST_SEEN, Pace, pace_of

MONTHS = 300


def month(seed: int, true: float, count: int = 40, nonsense: float = 0.2) -> list[float]:
    """Ratios of a month: steps scatter by 15 % around the true pace; every fifth mark is forgotten or pressed twice."""
    pick = Random(f"{seed} {true}")
    bad = round(count * nonsense)
    fair = [true * exp(pick.gauss(0, 0.15)) for _ in range(count - bad)]
    wrong = [true * pick.choice((pick.uniform(2, 8), pick.uniform(0.02, 0.4))) for _ in range(bad)]
    return pick.sample(fair + wrong, count)


def misses(found: list[Pace | None], true: float) -> list[float]:
    """By how much each pace is off that is off by more than a tenth."""
    assert all(each is not None for each in found)
    off = [abs(each.ratio / true - 1) for each in found if each is not None]
    return [each for each in off if each > 0.1]


@pytest.mark.parametrize("true", [0.7, 1.0, 1.25, 1.6])
def test_forty_marks_with_a_fifth_of_them_nonsense_give_the_true_pace_within_a_tenth(true: float) -> None:
    """A tenth is 3.6 standard errors of 32 fair marks: about one month in a thousand may miss it, and by little."""
    missed = misses([pace_of(month(seed, true)) for seed in range(MONTHS)], true)
    assert len(missed) <= 1
    assert max(missed, default=0.0) < 0.13


@pytest.mark.parametrize("lean", [(2, 8), (0.02, 0.4)])
def test_nonsense_that_all_leans_one_way_does_not_pull_the_pace_along(lean: tuple[float, float]) -> None:
    found = []
    for seed in range(MONTHS):
        pick = Random(seed)
        ratios = [1.2 * exp(pick.gauss(0, 0.15)) for _ in range(32)] + [1.2 * pick.uniform(*lean) for _ in range(8)]
        found.append(pace_of(ratios))
    missed = misses(found, 1.2)
    assert len(missed) <= 1
    assert max(missed, default=0.0) < 0.13


def test_the_plain_mean_would_miss_what_this_finds() -> None:
    """The control: without care the same months are far off."""
    missed = sum(abs(sum(month(seed, 1.25)) / 40 / 1.25 - 1) > 0.1 for seed in range(MONTHS))
    assert missed > MONTHS * 0.8


def test_three_marks_say_nothing_and_so_do_all_counts_below_the_least() -> None:
    assert pace_of([1.5, 1.5, 1.5]) is None
    assert pace_of([1.5] * (LEAST_SEEN - 1)) is None
    assert pace_of([1.5] * LEAST_SEEN) is not None


def test_marks_that_agree_give_their_own_pace_and_are_all_kept() -> None:
    found = pace_of([1.3] * 12)
    assert found is not None
    assert (round(found.ratio, 9), found.seen, found.kept) == (1.3, 12, 12)


def test_the_span_it_gives_holds_the_true_pace_about_nine_times_in_ten() -> None:
    held = 0
    for seed in range(MONTHS):
        found = pace_of(month(seed, 1.25, nonsense=0))
        assert found is not None
        held += found.ratio / found.sure <= 1.25 <= found.ratio * found.sure
    assert 0.82 * MONTHS <= held <= 0.97 * MONTHS


@given(st.lists(st.floats(0.01, 100), min_size=LEAST_SEEN, max_size=60))
def test_a_pace_lies_among_its_marks_and_more_than_half_of_them_count(ratios: list[float]) -> None:
    found = pace_of(ratios)
    assert found is not None
    assert min(ratios) * 0.999 <= found.ratio <= max(ratios) * 1.001
    assert found.kept > found.seen // 2
    assert found.seen == len(ratios)
