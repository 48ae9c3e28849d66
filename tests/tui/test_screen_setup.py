"""From no job at all to the first plan, and rooms copied, changed and dropped: every key pressed, none in an editor."""

from pathlib import Path
from typing import Any

from planning.job.events import standing
from planning.records.job_file import read_job
from tests.tui.screen_bench import Still, clock, grid, opened, press, settle, still_app
from tui.app import MuddayApp
from tui.job_changes import change_job, menu

MOST_KEYS = 60


class Starter(Still):
    """Answers for a job that is not there yet with the real helper's own functions."""

    async def menu(self) -> Any:
        return menu(None)

    async def change(self, edits: Any, about: str, now: int, write: bool) -> Any:
        return change_job(self.path, edits, about, now, write)


async def typed(app: MuddayApp, pilot: Any, text: str) -> int:
    for letter in text:
        await pilot.press({" ": "space", "'": "apostrophe", '"': "quotation_mark"}.get(letter, letter))
    await settle(app, pilot)
    return len(text)


async def test_a_powder_room_is_planned_from_nothing_in_few_keys_and_without_an_editor(
    tmp_path: Path, monkeypatch: Any
) -> None:
    monkeypatch.chdir(tmp_path)
    frozen = clock()
    app = MuddayApp(None, frozen)
    client = Starter()
    client.path = tmp_path / "powder-room.toml"
    monkeypatch.setattr("tui.plan_client.PlanClient", lambda path: client)
    async with opened(app) as pilot:
        assert "Start a job" in grid(app)
        keys = 1
        await press(app, pilot, frozen, "1")
        assert "question 1 of 6" in grid(app)
        keys += await typed(app, pilot, "powder room")
        for _ in range(2):
            await press(app, pilot, frozen, "enter", apart_s=0.1)
        keys += 2 + await typed(app, pilot, "0")
        for _ in range(4):
            await press(app, pilot, frozen, "enter", apart_s=0.1)
        keys += 4
        assert "WHAT IS IT" in grid(app)
        await press(app, pilot, frozen, "1 1", apart_s=0.1)
        keys += 2 + await typed(app, pilot, "5x4'6\"")
        await press(app, pilot, frozen, "enter", apart_s=0.1)
        assert "Read as: 5'-0\" x 4'-6\" = 22.5 sqft" in grid(app)
        assert "SPACE add room 1" in grid(app)
        await press(app, pilot, frozen, "enter", apart_s=0.1)
        keys += 2
        assert app.page == "morning"
        assert "Put your own bag numbers in: J, then G." in grid(app)
    assert keys <= MOST_KEYS
    job, problems = read_job(client.path)
    assert job is not None
    assert problems == []
    assert [person.name for person in job.people] == ["you"]
    assert job.rooms[0].do[0].method == "level-and-tile-floor"


async def test_an_answer_that_is_not_clear_is_kept_and_says_how_to_write_it(tmp_path: Path, monkeypatch: Any) -> None:
    monkeypatch.chdir(tmp_path)
    frozen = clock()
    app = MuddayApp(None, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "1 enter")
        await typed(app, pilot, "now and then")
        await press(app, pilot, frozen, "enter")
        assert '"now and then" is not clear. Write Mon to Fri' in grid(app)
        assert "now and then_" in grid(app)
        await press(app, pilot, frozen, "escape escape")
        assert "Start a job" in grid(app)
        await press(app, pilot, frozen, "m")
        assert "No job is open yet." in grid(app)
    assert list(tmp_path.iterdir()) == []


async def after(folder: Path, keys: str) -> tuple[MuddayApp, str]:
    frozen = clock()
    app = still_app(folder, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, keys)
        return app, grid(app)


def rooms(folder: Path) -> list[str]:
    job, problems = read_job(folder / "guest-house.toml")
    assert job is not None, problems
    return [room.id for room in job.rooms]


async def test_a_room_is_copied_in_two_keys_and_enter(tmp_path: Path) -> None:
    before = rooms_of_stored()
    _, shown = await after(tmp_path, "j k down down down down down down enter")
    assert "A new plan is being made." in shown
    assert len(rooms(tmp_path)) == len(before) + 1


def rooms_of_stored() -> list[str]:
    return [room.id for room in Still().job.rooms]


async def test_a_room_is_dropped_with_the_same_key_twice_and_not_with_one(tmp_path: Path) -> None:
    _, shown = await after(tmp_path, "j 4 x")
    assert "X again drops kitchen" in shown
    assert "kitchen" in rooms(tmp_path)


async def test_a_step_is_left_out_by_space(tmp_path: Path) -> None:
    app, shown = await after(tmp_path, "j 1 v 2 space")
    assert "LEFT OUT" in shown
    assert "skip" in (tmp_path / "guest-house.toml").read_text(encoding="utf-8")
    assert app.wall.session is not None


async def test_what_matters_most_is_changed_in_the_job_file_and_the_rest_stays(tmp_path: Path) -> None:
    await after(tmp_path, "o 1 right")
    text = (tmp_path / "guest-house.toml").read_text(encoding="utf-8")
    assert 'aim = "visits"' in text
    assert "# A guest house behind a main house" in text


async def test_own_ways_are_in_the_record_and_outlive_the_saved_plan(tmp_path: Path) -> None:
    frozen = clock()
    app = still_app(tmp_path, frozen)
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "o 7 right")
        assert app.wall.session is not None
        assert [e.kind for e in standing(app.wall.session.events)][-1] == "ways"
        await press(app, pilot, frozen, "u")
        assert "Nothing of today is left to undo." in grid(app)
    (tmp_path / "guest-house.plan.json").unlink()
    again = MuddayApp(tmp_path / "guest-house.toml", frozen, Still())
    async with opened(again) as pilot:
        assert again.guard.quiet_s == 1.0
