from datetime import date

from planning.supply.count_words import count_words
from planning.supply.pages import batch_card, batch_steps, helper_slip, pull_page, wrapped
from planning.supply.pull_list import PullDay, pull_list
from tests.planning.supply.a_day import JOB, STEPS, a_plan, at


def today() -> PullDay:
    day = pull_list(a_plan(), JOB, STEPS).on(date(2026, 6, 3))
    assert day is not None
    return day


def test_the_page_says_what_is_short_and_that_the_pour_waits_for_it() -> None:
    page = pull_page(today(), JOB, at(7))
    assert "SHORT 1 bag" in page
    assert "POUR will not start until 3 bags are here." in page
    assert "2 bags + 1 spare" in page
    assert "measured" in page
    assert all(len(line) <= 100 for line in page.splitlines())


def test_the_slip_names_only_the_steps_of_that_person() -> None:
    slip = helper_slip("helper", today(), a_plan(), JOB, at(7))
    assert "POUR, powder room, with you" in slip
    assert "SET TILE" not in slip
    assert "STAY OFF powder room from 2:35" in slip
    assert "gauge rake" in slip


def test_the_slip_of_a_day_without_work_says_so() -> None:
    assert "Nothing for you" in helper_slip("helper", None, a_plan(), JOB, at(7, day=20))


def test_the_batch_card_stops_before_the_first_bag_when_the_spare_is_missing() -> None:
    pulled, step = batch_steps(STEPS, today())[0]
    card = batch_card(pulled, step, JOB)
    assert "Do not open bag 1 before 3 bags are here." in card
    assert "5.5 qt in each of 3 buckets" in card


def test_words_wrap_whole() -> None:
    lines = wrapped("a bb ccc dddd", 6, "  ")
    assert lines == ["  a bb", "  ccc", "  dddd"]
    assert wrapped("", 6, "  ") == []


def test_counts_are_said_as_people_say_them() -> None:
    assert [count_words(n, w) for n, w in ((1, "bag"), (2, "bag"), (2, "box"), (0, "jug"))] == [
        "1 bag", "2 bags", "2 boxes", "0 jugs",
    ]  # fmt: skip
