"""Volumes of pours from height points, judged by adding up the cells one by one."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planning.quantities.pour import depths_to, even_pour, grid_pour, lifts, load_kg_m2, load_kpa, too_heavy, too_thin
from planning.quantities.si import INCH_M, PCF_KG_M3, PSF_KG_M2

depths = st.floats(0, 0.1)
grids = st.integers(2, 6).flatmap(
    lambda columns: st.lists(st.lists(depths, min_size=columns, max_size=columns), min_size=2, max_size=6)
)


@given(grid=grids, along=st.floats(0.1, 2), between=st.floats(0.1, 2))
def test_the_volume_is_the_sum_of_the_mean_of_each_cells_corners(
    grid: list[list[float]], along: float, between: float
) -> None:
    cells = sum(
        (upper[n] + upper[n + 1] + lower[n] + lower[n + 1]) / 4 * along * between
        for upper, lower in pairwise(grid)
        for n in range(len(upper) - 1)
    )
    pour = grid_pour(grid, (along, between))
    assert pour.volume_m3 == pytest.approx(cells, abs=1e-12)
    assert pour.least_m - 1e-12 <= pour.mean_m <= pour.most_m + 1e-12


@given(depth=depths, area=st.floats(0.1, 100))
def test_a_grid_of_one_depth_is_an_even_pour(depth: float, area: float) -> None:
    grid = grid_pour([[depth] * 3] * 4, (0.5, 0.5), area)
    assert grid.volume_m3 == pytest.approx(even_pour(area, depth).volume_m3)


def test_the_plain_mean_of_the_points_would_be_too_little() -> None:
    rows = [[0.25, 0.375, 0.5, 0.625], [0.125, 0.25, 0.5, 0.5], [0.125, 0.25, 0.375, 0.375]]
    flat = [depth for row in rows for depth in row]
    assert sum(flat) / len(flat) / grid_pour(rows, (1, 1)).mean_m == pytest.approx(1 - 0.0145, abs=5e-4)


def test_depths_come_from_readings_and_a_level() -> None:
    assert depths_to(0.05, [[0.04, 0.03]]) == ((pytest.approx(0.01), pytest.approx(0.02)),)


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ([[0.1, 0.2]], "at least 2 rows"),
        ([[0.1], [0.2]], "at least 2 rows"),
        ([], "at least 2 rows"),
        ([[0.1, 0.2], [0.1]], "row 2 has 1 depths"),
        ([[0.1, 0.2], [0.1, -0.01]], "raise the target or grind"),
        ([[0.1, 0.2], [0.1, float("nan")]], "a depth is 0 or more"),
    ],
)
def test_a_grid_that_cannot_be_is_refused_with_what_to_do(rows: list[list[float]], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        grid_pour(rows, (1, 1))


def test_an_inch_and_a_half_of_leveler_asks_for_an_engineer_and_half_an_inch_does_not() -> None:
    thick, thin = (load_kg_m2(inches * INCH_M, 125 * PCF_KG_M3) for inches in (1.5, 0.5))
    assert too_heavy(thick)
    assert not too_heavy(thin)
    assert not too_heavy(10 * PSF_KG_M2), "the design load itself is allowed"
    assert load_kpa(1.5 * INCH_M, 125 * PCF_KG_M3) == pytest.approx(0.748, abs=0.001), "15.6 psf is 0.748 kPa"


def test_a_deep_spot_takes_lifts_and_a_high_spot_is_told() -> None:
    pour = grid_pour([[0.002, 0.05], [0.03, 0.04]], (1, 1))
    assert lifts(pour, 0.025) == 2
    assert lifts(pour, 0.05) == 1
    assert too_thin(pour, 0.003)
    assert not too_thin(pour, 0.002)
