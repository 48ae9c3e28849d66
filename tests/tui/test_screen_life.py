"""Sleep, a clock that is set, bells, own ways, the page without a job, another window: the life around the keys."""

from pathlib import Path

from tests.tui.bench import session as other_window
from tests.tui.screen_bench import Still, clock, grid, kinds, opened, press, settle, still_app, story_app
from tui.app import MuddayApp


async def test_after_the_lid_was_shut_one_bell_one_list_and_nothing_marked(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    bells: list[int] = []
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space")
        app.tick()
        app.bell = lambda: bells.append(1)  # type: ignore[method-assign]
        before = kinds(app)
        frozen.advance(2 * 3600)
        app.tick()
        await settle(app, pilot)
        assert app.page == "away"
        assert "While you were away" in grid(app)
        assert "COAT 1  should be done" in grid(app)
        assert len(bells) == 1
        assert kinds(app) == before
        await press(app, pilot, frozen, "space")
        assert kinds(app)[-1] == "finished"
        step = app.wall.step("wet-room/coats/coat-1")
        assert step is not None
        assert "COAT 1" not in grid(app).splitlines()[1]


async def test_a_clock_put_back_an_hour_unfinishes_nothing_and_says_so(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space")
        frozen.advance(600)
        await press(app, pilot, frozen, "space")
        app.tick()
        frozen.jump_wall(-3600)
        app.tick()
        await settle(app, pilot)
        assert "Clock moved 1 h back" in grid(app)
        step = app.wall.step("wet-room/coats/coat-1")
        assert step is not None
        assert step.state in ("done", "curing")


async def test_a_window_that_opens_rings_once_and_is_heard_with_escape(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    bells: list[int] = []
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space")
        frozen.advance(69 * 60)
        app.watch_clock.look()
        await press(app, pilot, frozen, "space")
        app.bell = lambda: bells.append(1)  # type: ignore[method-assign]
        for _ in range(161):
            frozen.advance(60)
            app.watch_clock.look()
            app.tick()
        await settle(app, pilot)
        assert len(bells) == 1
        await press(app, pilot, frozen, "escape")
        assert "heard" in kinds(app)
        assert "Heard." in grid(app)


async def test_own_ways_are_lived_by_at_once_and_kept_for_the_next_time(tmp_path: Path) -> None:
    frozen = clock()
    app = still_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "o 7 right 8 right right")
        assert app.theme == "mud-light"
        assert app.guard.quiet_s == 1.0
    again = MuddayApp(tmp_path / "guest-house.toml", frozen, Still())
    assert again.theme == "mud-light"
    assert again.guard.quiet_s == 1.0


async def test_without_a_job_the_files_of_the_folder_and_a_made_up_job_are_offered(tmp_path: Path) -> None:
    (tmp_path / "corner.toml").write_text('[job]\nname = "corner"\n', encoding="utf-8")
    (tmp_path / "other.toml").write_text("[tool]\n", encoding="utf-8")
    frozen = clock()
    app = MuddayApp(None, frozen)
    page = app.pages["start"]
    page.folder = tmp_path  # type: ignore[attr-defined]
    asked: list[Path] = []
    app.open_job = asked.append  # type: ignore[method-assign]
    async with opened(app) as pilot:
        assert "1  Open corner.toml" in grid(app)
        assert "other.toml" not in grid(app)
        assert "2  Start a job" in grid(app)
        await press(app, pilot, frozen, "3 1")
        assert [path.name for path in asked] == ["guest-house.toml", "corner.toml"]
        assert (tmp_path / "guest-house.toml").exists()


async def test_what_another_window_notes_shows_here_too(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        other = other_window(tmp_path, frozen)
        other.start("wet-room/coats/coat-1")
        other.close()
        app.tick()
        await settle(app, pilot)
        assert "HANDS" in grid(app)


async def test_a_program_that_goes_wrong_inside_leaves_with_one_and_no_traceback(tmp_path: Path) -> None:
    app = story_app(tmp_path, clock(7, 20, 3))

    def wrong() -> None:
        raise ZeroDivisionError("made up")

    try:
        async with opened(app) as pilot:
            app.call_later(wrong)
            await pilot.pause()
    except ZeroDivisionError:
        pass
    assert app.return_code == 1
    assert isinstance(app.went_wrong, ZeroDivisionError)
    assert not app._exit_renderables


async def test_the_far_view_comes_by_itself_when_nobody_touches_the_clocks_for_a_minute(tmp_path: Path) -> None:
    frozen = clock(10, 58, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space")
        frozen.advance(30 * 60)
        app.watch_clock.look()
        await press(app, pilot, frozen, "space c")
        assert "ROOM" in grid(app)
        for _ in range(61):
            frozen.advance(1)
            app.tick()
        await settle(app, pilot)
        assert "STATE" not in grid(app)
        await press(app, pilot, frozen, "escape")
        assert "STATE" in grid(app)
        assert app.page == "clocks"
