"""The sentences about how likely a plan holds."""

from dataclasses import replace
from datetime import date

import pytest

from planning.job.chance import Chance, DayChance
from planning.schedule.chance.says import day_line, finish_line, likely_lines, times_in_ten
from tests.by_hand import at
from tests.small_job import PRIME, small

FIRST = DayChance(date(2026, 6, 1), 0.62, 0.61, PRIME, 20, 0.83)


def said(day: DayChance, now: int = at(1, "6:58")) -> str:
    plan = small().plan()
    chance = Chance(2000, at(3, "9:00"), 0.4, at(4, "9:00"), at(5, "9:00"), (day,))
    return day_line(replace(plan, chance=chance), now)


def test_the_day_tells_its_weakest_step_and_what_would_lift_it() -> None:
    assert (
        said(FIRST) == "The day holds 6 times in 10. Weakest: PRIME, bath; 20 min more for it makes that 8 times in 10."
    )


def test_a_buffer_that_changes_little_is_not_told() -> None:
    assert said(replace(FIRST, lifted=0.65)) == "The day holds 6 times in 10. Weakest: PRIME, bath."


def test_labels_not_read_are_told_when_they_matter() -> None:
    assert said(replace(FIRST, any_label=0.3)).endswith(" If your labels differ from ours: 3 times in 10.")


def test_before_its_first_day_the_day_is_named() -> None:
    assert said(FIRST, at(1, "6:58") - 1440).startswith("Mon 1 Jun holds 6 times in 10.")
    assert said(FIRST, at(2, "6:58")) == ""


def test_the_finish_tells_the_day_by_which_eight_in_ten_are_done() -> None:
    plan = small().plan()
    chance = Chance(2000, at(3, "9:00"), 0.4, at(4, "9:00"), at(5, "9:00"))
    assert finish_line(replace(plan, chance=chance)) == (
        "Done by Wed 3 Jun: 4 times in 10. By Thu 4 Jun: 8 times in 10."
    )
    sure = replace(chance, finish_holds=0.97, finish_likely=at(3, "8:00"))
    assert finish_line(replace(plan, chance=sure)) == "Done by Wed 3 Jun: nearly always."
    assert likely_lines(plan, at(1, "6:58")) == []


@pytest.mark.parametrize(("share", "words"), [(1.0, "nearly always"), (0.96, "nearly always"), (0.9, "9 times in 10"),
                         (0.11, "1 time in 10"), (0.04, "hardly ever")])  # fmt: skip
def test_no_share_is_said_surer_than_the_draws_bear(share: float, words: str) -> None:
    assert times_in_ten(share) == words
