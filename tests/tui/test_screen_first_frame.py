"""The first picture comes from the saved plan alone, and the screen's process never loads what only planning needs."""

import subprocess
import sys
from pathlib import Path

from tests.tui.screen_bench import Still, clock, grid, opened, press, still_app

ROOT = Path(__file__).parents[2]
HEAVY = ("ortools", "pandas", "numpy", "pint", "pydantic", "dateutil.rrule", "matplotlib")

PROGRAM = """
import asyncio, sys
from pathlib import Path
from tui.app import MuddayApp

async def main():
    app = MuddayApp(Path(sys.argv[1]))
    seen = []
    begin = app._begin
    app._begin = lambda: None if sys.argv[2] == "first" else begin()
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        if sys.argv[2] != "first":
            for _ in range(600):
                await asyncio.sleep(0.05)
                if app.wall.session is not None:
                    break
            assert app.wall.session is not None and app.wall.session.job is not None
            for key in "rcpedawj":
                await pilot.press(key)
        print(chr(10).join(s.text for s in app.screen._compositor.render_strips()))
    print("LOADED", *sorted(m for m in sys.modules))

asyncio.run(main())
"""


def run_program(job: Path, how: str) -> tuple[str, set[str]]:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(job), how], cwd=ROOT, capture_output=True, text=True, check=True,
        timeout=100,
    )  # fmt: skip
    shown, _, loaded = done.stdout.partition("LOADED ")
    return shown, set(loaded.split())


def heavy(loaded: set[str]) -> list[str]:
    return [name for name in HEAVY if any(m == name or m.startswith(name + ".") for m in loaded)]


def test_the_first_frame_shows_the_saved_plan_and_loads_nothing_heavy(tmp_path: Path) -> None:
    still_app(tmp_path, clock())
    shown, loaded = run_program(tmp_path / "guest-house.toml", "first")
    assert "PROTECT" in shown
    assert "plan of 7:05" in shown
    assert heavy(loaded) == []


def test_with_the_job_read_by_the_real_helper_the_screen_still_loads_nothing_heavy(tmp_path: Path) -> None:
    still_app(tmp_path, clock())
    _, loaded = run_program(tmp_path / "guest-house.toml", "read")
    assert heavy(loaded) == []


async def test_without_a_saved_plan_the_screen_says_that_it_plans(tmp_path: Path) -> None:
    app = still_app(tmp_path, clock(), Still())
    (tmp_path / "guest-house.plan.json").unlink()
    app.wall.first = None
    async with app.run_test(size=(80, 24)) as pilot:
        app._begin = lambda: None  # type: ignore[method-assign]
        await pilot.pause()
        assert "guest" in grid(app).splitlines()[0]


async def test_after_ten_the_program_opens_on_the_page_that_was_left(tmp_path: Path) -> None:
    frozen = clock(10, 30)
    app = still_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "r space")
    from tui.app import MuddayApp

    again = MuddayApp(tmp_path / "guest-house.toml", frozen, Still())
    assert again.page == "rooms"
