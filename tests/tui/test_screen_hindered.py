"""While the file has a mistake, or no plan fits, every page says so: none says that something is being made."""

from pathlib import Path

import pytest

from tests.tui.screen_bench import clock, settle, still_app
from tui.app import MuddayApp
from tui.widgets.lines import plain

MISTAKE = 'house.toml:3: size: "six" is not clear; write it as "10 x 6 ft"'
PAGES = (
    "morning",
    "rooms",
    "clocks",
    "days",
    "who",
    "air",
    "pull",
    "evening",
    "job",
    "labels",
    "found",
    "steps",
    "add",
)


def shown(app: MuddayApp, page: str) -> str:
    return "\n".join(plain(row) for row in app.pages[page].lines(80, 20))


@pytest.mark.parametrize("page", PAGES)
def test_a_page_that_cannot_be_filled_says_what_is_wrong_in_the_file(tmp_path: Path, page: str) -> None:
    app = MuddayApp(tmp_path / "house.toml", clock())
    assert MISTAKE not in shown(app, page)
    app.wall.file_trouble = (MISTAKE,)
    assert MISTAKE in shown(app, page)
    assert "being" not in shown(app, page)


def test_nothing_can_be_noted_while_the_file_has_a_mistake_and_that_is_what_is_said(tmp_path: Path) -> None:
    app = MuddayApp(tmp_path / "house.toml", clock())
    app.wall.file_trouble = (MISTAKE,)
    assert not app.report("gone", {"who": "you"}, "you left.")
    assert app.wall.said.startswith("The job file has a mistake.")


async def test_a_search_that_ends_with_no_way_out_does_not_call_the_setter_back(tmp_path: Path) -> None:
    app = still_app(tmp_path, clock())
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        app.wall.still_looking = True
        app.stuck(["hours: work Mon to Fri, 7:00 to 3:30"])
        assert app.page == "stuck"
        app.go("job")
        app.wall.still_looking = False
        app.stuck(["hours: work Mon to Fri, 7:00 to 3:30"])
        assert app.page == "job"
        app.wall.still_looking = True
        app.stuck(["hours: work Mon to Fri, 7:00 to 3:30"])
        assert app.page == "stuck", "the same clash after another report is told again"
