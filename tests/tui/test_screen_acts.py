"""The keys that report: each through the real app with a frozen clock and a planner of a few lines."""

from dataclasses import replace
from pathlib import Path

from tests.tui.screen_bench import Story, clock, grid, kinds, opened, press, settle, still_app, story_app


async def test_space_starts_the_step_that_the_line_names_and_then_finishes_it(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        assert "SPACE start COAT 1, wet room" in grid(app)
        await press(app, pilot, frozen, "space")
        assert "COAT 1, wet room started 7:20." in grid(app)
        assert "SPACE finish COAT 1, wet room" in grid(app)
        frozen.advance(70 * 60)
        await press(app, pilot, frozen, "space")
        assert kinds(app) == ["plan_accepted", "started", "finished"]
        assert "COAT 1, wet room done 8:30." in grid(app)


async def test_space_held_for_five_seconds_does_one_thing(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        for _ in range(100):
            frozen.advance(0.05)
            await pilot.press("space")
        await settle(app, pilot)
        assert kinds(app) == ["plan_accepted", "started"]


async def test_space_twice_in_a_second_finishes_nothing(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space space", apart_s=1.0)
        assert "finished" not in kinds(app)


async def test_a_finish_just_after_the_start_asks_once(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space space", apart_s=40.0)
        assert "Started 40 sec ago. SPACE = finish, U = it never started." in grid(app)
        assert "finished" not in kinds(app)
        await press(app, pilot, frozen, "space")
        assert kinds(app)[-1] == "finished"


async def test_a_step_that_is_not_open_asks_before_it_starts(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "2 space")
        assert "opens 11:10" in grid(app)
        assert kinds(app) == []
        await press(app, pilot, frozen, "space")
        assert kinds(app)[-1] == "started"


async def test_started_twenty_minutes_ago_is_four_keys(tmp_path: Path) -> None:
    frozen = clock(7, 40, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space b 2")
        assert "20 min ago = 7:20" in grid(app)
        await press(app, pilot, frozen, "enter")
        step = app.wall.step("wet-room/coats/coat-1")
        assert step is not None
        assert step.start % (24 * 60) % 60 == 20


async def test_forty_minutes_late_and_the_new_plan_taken_is_four_keys(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space")
        await press(app, pilot, frozen, "l 4")
        assert "40 min later = 9:10" in grid(app)
        await press(app, pilot, frozen, "enter")
        assert app.page == "late"
        assert "PICK ONE" in grid(app)
        assert "All later" in grid(app)
        await press(app, pilot, frozen, "enter")
        assert kinds(app)[-1] == "plan_accepted"
        assert app.page == "morning"
        assert "Taken. U brings the old plan back whole." in grid(app)


async def test_escape_on_late_keeps_the_old_plan_and_says_what_it_breaks(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space")
        before = app.wall.plan
        assert before is not None
        await press(app, pilot, frozen, "l 4 enter escape")
        after = app.wall.plan
        assert after is not None
        assert [(s.id, s.start) for s in after.steps] == [(s.id, s.start) for s in before.steps]
        assert "Old plan kept: coat 2 would start before coat 1 is dry" in grid(app)


async def test_walking_away_from_late_leaves_the_choice_waiting(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space l 4 enter r")
        assert app.page == "rooms"
        assert "A choice waits" in grid(app)
        await press(app, pilot, frozen, "l")
        assert app.page == "late"


async def test_the_enter_that_takes_a_plan_is_dead_for_a_second_after_late_comes_up(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space l 4 enter")
        frozen.advance(0.9)
        await pilot.press("enter")
        await settle(app, pilot)
        assert app.page == "late"


async def test_undo_brings_back_the_plan_of_before_and_have_it_back_the_other(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        first = grid(app).splitlines()[4:16]
        await press(app, pilot, frozen, "space u")
        assert "Undone: COAT 1 started 7:20. H = have it back" in grid(app)
        assert grid(app).splitlines()[4:16] == first
        await press(app, pilot, frozen, "h")
        assert "SPACE finish COAT 1" in grid(app)


async def test_tacky_holds_the_step_for_half_an_hour(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "t")
        assert kinds(app)[-1] == "tacky"


async def test_big_and_small_letters_do_the_same(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "R")
        assert app.page == "rooms"
        await press(app, pilot, frozen, "m T")
        assert kinds(app)[-1] == "tacky"


async def test_a_wrong_key_says_so_in_one_line_and_does_nothing(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "x")
        assert "X does nothing here. F1 shows the keys." in grid(app)
        assert kinds(app) == []


async def test_a_note_is_written_as_typed_and_never_read_as_markup(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "n")
        await pilot.press(*"[red]w", "left_square_bracket")
        assert "[red]w[_" in grid(app)
        await press(app, pilot, frozen, "enter")
        session = app.wall.session
        assert session is not None
        assert session.events[-1].body["value"] == "[red]w["


async def test_a_helper_that_dies_is_started_again_and_the_screen_says_so(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    client = Story()
    client.lost = 1
    app = story_app(tmp_path, frozen, client)
    async with opened(app):
        assert "The planner stopped and is started again." in grid(app)
        assert app.wall.plan is not None


async def test_a_planner_that_fails_is_said_in_the_third_line_till_it_plans_again(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    client = Story()
    client.wrong = "ImportError: made up"
    app = story_app(tmp_path, frozen, client)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "r m")
        assert grid(app).splitlines()[2] == "NO NEW PLAN. The planner failed: ImportError: made up"
        client.wrong = ""
        app.plan_again()
        await settle(app, pilot)
        assert grid(app).splitlines()[2] == ""
        assert "COAT 1" in grid(app)


async def test_no_plan_fits_opens_stuck_and_the_old_plan_stays(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    client = Story()
    app = story_app(tmp_path, frozen, client)
    async with opened(app) as pilot:
        client.planner.stuck = True
        await press(app, pilot, frozen, "space")
        assert app.page == "stuck"
        assert "inspector comes before the coat is dry" in grid(app)
        await press(app, pilot, frozen, "escape")
        assert app.page == "morning"
        assert "NO PLAN FITS" in grid(app).splitlines()[2]


async def test_a_report_that_is_not_saved_is_said_so_and_changes_nothing(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        session = app.wall.session
        assert session is not None

        def full(*_: object, **__: object) -> object:
            from planning.records.not_saved import NotSaved

            session._book.not_saved = "the disk takes no more for job.record; make room, then do it again"
            raise NotSaved(session._book.not_saved)

        session._book.append = full  # type: ignore[method-assign, assignment]
        await press(app, pilot, frozen, "space")
        shown = grid(app).splitlines()
        assert shown[0].endswith("NOT SAVED")
        assert shown[2].startswith("NOT SAVED. the disk takes no more")
        assert kinds(app) == []


async def test_the_second_quit_leaves_though_something_is_not_saved(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        assert app.wall.session is not None
        app.wall.session._book.not_saved = "disk full"
        await press(app, pilot, frozen, "q")
        assert "Q again leaves anyway." in grid(app)
        await press(app, pilot, frozen, "q")
    assert app.return_code == 0


async def test_while_a_pour_runs_other_keys_are_pressed_twice_and_then_do_one_thing(tmp_path: Path) -> None:
    frozen = clock(7, 20, 3)
    app = story_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "space")
        plan = app.wall.plan
        assert plan is not None
        assert app.wall.session is not None
        poured = replace(plan, steps=tuple(replace(s, kind="pour") if s.state == "hands" else s for s in plan.steps))
        app.wall.session.plan = poured
        await press(app, pilot, frozen, "t", apart_s=1.0)
        assert "Wet hands: T once more does it." in grid(app)
        assert "tacky" not in kinds(app)
        await press(app, pilot, frozen, "t", apart_s=1.0)
        assert kinds(app).count("tacky") == 1
        app.wall.session.plan = poured
        await press(app, pilot, frozen, "r", apart_s=1.0)
        await press(app, pilot, frozen, "r", apart_s=9.0)
        assert app.page == "morning"


async def test_space_before_the_first_plan_says_that_it_is_being_made_and_the_line_goes_with_the_plan(
    tmp_path: Path,
) -> None:
    frozen = clock(7, 20, 3)
    client = Story()
    app = story_app(tmp_path, frozen, client)
    begin = app._begin
    app._begin = lambda: None  # type: ignore[method-assign]
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.replan is not None
        await app.replan.read()
        assert app.wall.plan is None
        await pilot.press("space")
        assert "Still making the first plan." in grid(app)
        begin()
        await settle(app, pilot)
        assert "Still making" not in grid(app)
        assert "SPACE start COAT 1" in grid(app)


async def test_a_delay_that_moves_nothing_else_says_so(tmp_path: Path) -> None:
    frozen = clock()
    app = still_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "l 1 0 enter")
        assert app.page == "morning"
        assert "Nothing else moves. U takes it back." in grid(app)
