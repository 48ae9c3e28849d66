"""One table of commands: no key means two things on a page, every key is pressed, help and README show the same."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.tui.pages_shown import SHOWN
from tests.tui.screen_bench import clock, grid, opened, press, settle, still_app
from tui.commands import COMMANDS, EVERYWHERE, GO, NO_LOCAL_KEY, PAGES, find, local_commands, markdown, rows

ROOT = Path(__file__).parents[2]
PLAIN = frozenset(
    ("space", "enter", "escape", "f1", "up", "down", "left", "right", *"abcdefghijklmnopqrstuvwxyz123456789")
)
LEAVES = frozenset(("quit",))
EACH_PAGE_OWN = frozenset(("space", "enter", "escape", "up", "down", "left", "right", "1", "9"))
"""Common keys that each page answers in its own way; the others do the same everywhere and are pressed on Morning."""


def test_every_key_is_a_plain_key() -> None:
    assert {each.key for each in COMMANDS} <= PLAIN


def test_no_page_gives_a_common_letter_a_meaning_of_its_own() -> None:
    for name, _, _ in PAGES:
        assert not [each.id for each in local_commands(name) if each.key in NO_LOCAL_KEY]


def test_no_key_means_two_things_on_a_page() -> None:
    for page in {each.page for each in COMMANDS}:
        keys = [each.key for each in COMMANDS if each.page == page]
        assert len(keys) == len(set(keys))
    common = [each.key for each in COMMANDS if each.page in (EVERYWHERE, GO)]
    assert len(common) == len(set(common))


def test_the_table_for_the_readme_has_a_row_for_every_command() -> None:
    printed = subprocess.run(
        [sys.executable, "-m", "tui.commands"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert printed.stdout == markdown()
    assert all(f"| {said} |" in printed.stdout for _, _, said in rows())


@pytest.mark.parametrize("page", [name for name, _, _ in PAGES] + ["step", "late", "stuck", "help", "add", "away"])
async def test_every_key_of_every_page_can_be_pressed(page: str, tmp_path: Path) -> None:
    frozen = clock()
    app = still_app(tmp_path, frozen)
    async with opened(app) as pilot:
        for command in COMMANDS:
            if command.id in LEAVES or (
                command.page != page and page != "morning" and command.key not in EACH_PAGE_OWN
            ):
                continue
            if command.page not in (page, EVERYWHERE, GO):
                continue
            app.page = page
            prepare = SHOWN[page].prepare
            if page in ("late", "stuck") and prepare is not None:
                prepare(app)
            frozen.advance(3)
            await pilot.press(command.key)
            await pilot.pause()
            if app.question is not None:
                await pilot.press("escape")
            assert find(command.key, page) is not None
        await settle(app, pilot)
        assert grid(app).splitlines()[0].startswith("guest house")


async def test_help_shows_every_key_that_works_here(tmp_path: Path) -> None:
    frozen = clock()
    app = still_app(tmp_path, frozen)
    async with opened(app, (200, 60)) as pilot:
        await press(app, pilot, frozen, "r f1")
        shown = grid(app)
        for each in COMMANDS:
            if (
                each.page in ("rooms", GO, EVERYWHERE)
                and each.id not in ("up", "down")
                and not each.id.startswith("pick")
            ):
                assert each.help[:40] in shown, each


async def test_the_palette_offers_every_command_that_works_here(tmp_path: Path) -> None:
    app = still_app(tmp_path, clock())
    async with opened(app):
        offered = {command.title for command in app.get_system_commands(app.screen)}
        here = [each for each in COMMANDS if each.page in ("morning", GO, EVERYWHERE)]
        assert {f"{each.cap}  {each.help}" for each in here} == offered
