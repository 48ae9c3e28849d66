"""Titles: short enough for the screens with their pieces counted, one row each, and as good a name as the key."""

from dataclasses import replace

import pytest

from planning.job.scope import StepChange
from planning.trade.expand import expand, find_steps
from planning.trade.lint import lint
from planning.trade.methods import Method, common_methods
from planning.trade.references import slug
from tests.planning.trade.small_jobs import do, job_of, room_of

METHODS = common_methods()


@pytest.mark.parametrize("key", sorted(METHODS))
def test_every_title_fits_eighteen_characters_with_its_piece_number(key: str) -> None:
    shown = [f"{row.title} 4 of 4" if row.divisible else row.title for row in METHODS[key].row]
    assert [each for each in shown if len(each) > 18] == []


@pytest.mark.parametrize("key", sorted(METHODS))
def test_every_row_is_found_by_its_title_as_by_its_key(key: str) -> None:
    for row in METHODS[key].row:
        others = {slug(each) for other in METHODS[key].row if other.key != row.key for each in (other.key, other.title)}
        assert slug(row.title) not in others, row.title


def test_the_linter_finds_titles_too_long_twice_or_named_as_another_row() -> None:
    def changed(title: str) -> list[str]:
        raw = METHODS["plain-tile-floor"].model_dump()
        raw["row"] = [{**row, "title": title} if row["key"] == "underlay" else row for row in raw["row"]]
        return [each for each in lint(Method.model_validate(raw)) if "title" in each or "shown as" in each]

    assert changed("board") == []
    assert any("19 characters" in each for each in changed("cement board"))
    assert any("two rows have the title" in each for each in changed("grout"))
    assert any("the key of another row" in each for each in changed("set"))


def test_a_step_is_named_by_title_in_references_skips_and_changes() -> None:
    room = room_of(8, 5, do("level-and-tile-floor"), name="bath")
    steps = expand(job_of(room)).steps
    key = find_steps(steps, "bath", "flat")
    assert len(key) == 1
    for said in ("check flat", "check-flat", "Check flat", "level-and-tile-floor/check flat", "bath/check-flat"):
        assert find_steps(steps, "bath", said) == key
    by_title = do("level-and-tile-floor", skip=("check-flat",), change=(StepChange("height-points", labor_min=7),))
    by_key = do("level-and-tile-floor", skip=("flat",), change=(StepChange("heights", labor_min=7),))
    first, second = (expand(job_of(replace(room, do=(scope,)))) for scope in (by_title, by_key))
    assert first.problems == second.problems == ()
    assert first.steps == second.steps
