"""How many keys the acts of a day take, counted as they are pressed, against what wet hands may be asked."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.tui.screen_bench import clock, grid, kinds, opened, press, still_app, story_app
from tui.app import MuddayApp


def shows(text: str) -> Callable[[MuddayApp], bool]:
    return lambda app: text in grid(app)


def noted(kind: str) -> Callable[[MuddayApp], bool]:
    return lambda app: kind in kinds(app)


ACTS: tuple[tuple[str, str, str, int, Callable[[MuddayApp], bool]], ...] = (
    ("see today", "still", "", 0, shows("HOW IT STANDS")),
    ("start a step", "story", "space", 1, noted("started")),
    ("finish a step", "story", "space | space", 1, noted("finished")),
    ("started 20 min ago", "story", "space b 2 enter", 4, noted("corrected")),
    ("40 min late, take the new plan", "story", "space | l 4 enter enter", 5,
     lambda app: kinds(app)[-1] == "plan_accepted" and app.page == "morning"),
    ("tacky, look again in 30 min", "story", "t", 2, noted("tacky")),
    ("the helper leaves now", "still", "w g enter", 5, noted("gone")),
    ("the helper leaves at two", "still", "w g 2 0 0 enter", 8, noted("gone")),
    ("the inspector comes at half past ten", "still", "w v 1 0 3 0 enter", 9, noted("visit_moved")),
    ("tick a line of the pull-list", "still", "p g | space", 1, noted("ticked")),
    ("tick a whole room", "still", "p g m | p k", 2, noted("ticked")),
    ("add a powder room floor", "still", "j i 1 1 5 x 5 enter enter", 12,
     lambda app: 'size = "5x5"' in app.wall.job_path.read_text(encoding="utf-8")),  # type: ignore[union-attr]
    ("the note of the evening", "still", "e enter", 2, noted("told")),
)  # fmt: skip
"""(act, on which job, keys; those after a bar are counted, how many it may take, how it is seen to be done)."""


@pytest.mark.parametrize(("act", "job", "keys", "most", "done"), ACTS, ids=[each[0] for each in ACTS])
async def test_an_act_of_the_day_takes_no_more_keys_than_it_may(
    act: str, job: str, keys: str, most: int, done: Callable[[MuddayApp], bool], tmp_path: Path
) -> None:
    frozen = clock(7, 20, 3) if job == "story" else clock()
    app = story_app(tmp_path, frozen) if job == "story" else still_app(tmp_path, frozen)
    before, bar, counted = keys.rpartition("|")
    assert len(counted.split()) <= most, act
    async with opened(app) as pilot:
        await press(app, pilot, frozen, before)
        if bar:
            frozen.advance(3 * 60)
        await press(app, pilot, frozen, counted)
        assert done(app), grid(app)


async def test_caps_lock_changes_nothing(tmp_path: Path) -> None:
    for folder, keys in (("small", "w g 2 0 0 enter"), ("big", "W G 2 0 0 enter")):
        (tmp_path / folder).mkdir()
        frozen = clock()
        app = still_app(tmp_path / folder, frozen)
        async with opened(app) as pilot:
            await press(app, pilot, frozen, keys)
            assert "gone" in kinds(app)


async def test_twenty_acts_taken_back_bring_the_first_picture_back(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        first = grid(app).splitlines()[3:-3]
        for _ in range(20):
            await press(app, pilot, frozen, "t", apart_s=1.0)
        assert kinds(app).count("tacky") == 20
        for _ in range(20):
            await press(app, pilot, frozen, "u", apart_s=1.0)
        assert "tacky" not in kinds(app)
        assert grid(app).splitlines()[3:-3] == first
