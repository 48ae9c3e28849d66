"""What people type for a new job: hours, people and gear in words of theirs."""

from datetime import date

import pytest

from tui.screens.new_job_words import USUAL, gear_words, person_tables, read_gear, read_hours, read_who, who_words


@pytest.mark.parametrize(
    ("said", "table"),
    [
        ("mon to sat, 7 to 4, eat 12 for 45 min",
         {"days": "mon-sat", "from": "7:00", "to": "16:00", "eat": "12:00 45 min"}),
        ("Tuesday to Thursday", {"days": "tue-thu", "from": "7:00", "to": "15:30", "eat": "12:00 30 min"}),
        ("8:30 to 17:00", {"days": "mon-fri", "from": "8:30", "to": "17:00", "eat": "12:00 30 min"}),
        ("7 to 3, eat 11:30", {"days": "mon-fri", "from": "7:00", "to": "15:00", "eat": "11:30 30 min"}),
        ("7 to 1, no lunch", {"days": "mon-fri", "from": "7:00", "to": "13:00"}),
        ("1 pm to 9 pm, eat 5", {"days": "mon-fri", "from": "13:00", "to": "21:00", "eat": "17:00 30 min"}),
        ("13:00 to 21:00", {"days": "mon-fri", "from": "13:00", "to": "21:00"}),
        ("6 am to 2:30 pm", {"days": "mon-fri", "from": "6:00", "to": "14:30", "eat": "12:00 30 min"}),
        ("sat", {"days": "sat", "from": "7:00", "to": "15:30", "eat": "12:00 30 min"}),
    ],
)  # fmt: skip
def test_hours_are_read_as_people_say_them(said: str, table: dict[str, str]) -> None:
    read = read_hours(said)
    assert read is not None
    assert read.table() == table


def test_what_is_shown_reads_back_as_itself() -> None:
    assert read_hours(USUAL.words()) == USUAL
    late = read_hours("1 pm to 9 pm, eat 5")
    assert late is not None
    assert read_hours(late.words()) == late


@pytest.mark.parametrize("said", ["", "always", "9 to 9:10", "mon to tue to wed", "eat"])
def test_hours_that_are_not_clear_are_not_taken(said: str) -> None:
    assert read_hours(said) is None


def test_a_job_begins_on_the_next_day_that_is_worked() -> None:
    assert USUAL.next_day(date(2026, 6, 6)) == date(2026, 6, 8)
    assert USUAL.next_day(date(2026, 6, 5)) == date(2026, 6, 5)


@pytest.mark.parametrize(
    ("said", "names"),
    [
        ("0", ["you"]),
        ("1", ["you", "helper"]),
        ("2 helpers", ["you", "helper 1", "helper 2"]),
        ("you + 1 helper", ["you", "helper"]),
        ("you, Sam and helper", ["you", "Sam", "helper"]),
    ],
)
def test_people_are_read_by_count_or_by_name(said: str, names: list[str]) -> None:
    assert read_who(said) == names


def test_a_helper_helps_and_everybody_else_does_everything() -> None:
    tables = {str(each["name"]): each["can"] for each in person_tables(["you", "Sam", "helper"])}
    assert tables["you"] == tables["Sam"] == ["all"]
    assert "pour" not in tables["helper"]  # type: ignore[operator]
    assert who_words(["you", "Sam", "helper"]) == "you + Sam + 1 helper"


@pytest.mark.parametrize(
    ("said", "gear"), [("1 1", (1, 1)), ("2 mixers, 1 saw", (2, 1)), ("1 saw 0 mixers", (0, 1)), ("2", None)]
)
def test_mixers_and_saws_are_two_numbers(said: str, gear: tuple[int, int] | None) -> None:
    assert read_gear(said) == gear
    if gear is not None:
        assert read_gear(gear_words(*gear)) == gear
