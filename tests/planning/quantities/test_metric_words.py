"""Lengths inside sentences, said in the units of the job."""

import pytest

from planning.quantities.metric_words import in_units


@pytest.mark.parametrize(
    ("said", "metric"),
    [
        ("fill 2 in, mark the level", "fill 50 mm, mark the level"),
        ("10 ft straightedge", "3 m straightedge"),
        ("map of highs and lows: 1/8 in in 10 ft", "map of highs and lows: 3 mm in 3 m"),
        ("soft joints every 8 to 12 ft", "soft joints every 2.4 to 3.7 m"),
        ("liner 3 in above the curb", "liner 75 mm above the curb"),
        ("1-1/4 in at the drain", "30 mm at the drain"),
        ("1/4 x 3/8 in notch", "6 x 10 mm notch"),
        ("95 % mortar in 3 coats, look in", "95 % mortar in 3 coats, look in"),
        ("joists looked over: L/720 for stone", "joists looked over: L/720 for stone"),
    ],
)
def test_a_length_in_a_sentence_is_said_as_the_job_says_lengths(said: str, metric: str) -> None:
    assert in_units(said, "metric") == metric
    assert in_units(said, "imperial") == said
