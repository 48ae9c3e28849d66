"""The pages before there is a job, as text at three sizes; write the goldens anew with MUDDAY_GOLDEN=write."""

import os
from pathlib import Path

import pytest

from tests.tui.pages_shown import SIZES
from tests.tui.screen_bench import clock, grid, opened, press
from tui.app import MuddayApp

GOLDEN = Path(__file__).parent / "golden"
PAGES = {"start": "", "new": "1", "new-gear": "1 enter enter enter"}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", sorted(PAGES))
async def test_the_page_without_a_job_looks_as_it_did(
    name: str, size: tuple[int, int], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TZ", "America/Denver")
    frozen = clock()
    app = MuddayApp(None, frozen)
    app.pages["start"].folder = Path("jobs")  # type: ignore[attr-defined]
    async with opened(app, size) as pilot:
        await press(app, pilot, frozen, PAGES[name])
        text = grid(app)
    lines = text.splitlines()
    assert len(lines) == size[1]
    assert max(map(len, lines)) <= size[0]
    assert "F1 all keys" in lines[-1]
    golden = GOLDEN / f"{name}-{size[0]}x{size[1]}.txt"
    if os.environ.get("MUDDAY_GOLDEN") == "write":
        golden.write_text(text + "\n", encoding="utf-8")
    assert text + "\n" == golden.read_text(encoding="utf-8")
