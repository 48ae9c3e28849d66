"""Evening by its keys: the notes, what is kept when one is saved, the list before driving off and its ticks."""

import json
from pathlib import Path
from typing import Any

from planning.handover.told import told_notes
from tests.tui.screen_bench import Story, clock, grid, opened, press, story_app

FILLED: dict[str, Any] = {
    "note": "GUEST HOUSE: WED 3 JUN\n\nDONE TODAY  coat 1\n",
    "long": "GUEST HOUSE: WED 3 JUN\n\nAIR  66 F\n",
    "contractor": "GUEST HOUSE: WED 3 JUN\n\nPEOPLE AND HOURS  8 h\n",
    "pages": {"owner": "<!DOCTYPE html><p>owner</p>", "contractor": "<!DOCTYPE html><p>contractor</p>"},
    "told": {
        reader: {"what": "snapshot", "for": reader, "day": "2026-06-03", "mark": "m", "text": ["a", "b"], "dates": {}}
        for reader in ("owner", "contractor")
    },
    "questions": [{"kind": "proof", "words": "Wet room, coat 1: film gauge reading not noted.", "step": "", "at": 0}],
    "leave": [
        {"key": "fans/wet-room", "words": "Fans off, doors and windows shut: wet room", "done": False},
        {"key": "wash", "words": "Mixer, buckets and trowels washed", "done": False},
    ],
    "day": "2026-06-03",
    "sheets": {"wet-room": "STAY OFF\n"},
    "sheets_page": "<!DOCTYPE html><p>STAY OFF</p>",
}
CALENDAR = {"text": "BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", "told": {"what": "calendar", "for": "me", "entries": {}}}


def story() -> Story:
    client = Story()
    client.filled = {"evening": json.loads(json.dumps(FILLED)), "calendar": CALENDAR}
    return client


async def test_v_shows_one_note_after_the_other_and_the_questions_stand_above_all(tmp_path: Path) -> None:
    frozen = clock(15, 55, 3)
    app = story_app(tmp_path, frozen, story())
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "e")
        for heading, line in (("THE NOTE FOR THE OWNER", "coat 1"), ("THE NOTE FOR THE OWNER, LONG", "66 F"),
                              ("THE NOTE FOR THE CONTRACTOR", "PEOPLE AND HOURS")):  # fmt: skip
            shown = grid(app)
            assert "1 QUESTION before the note is true" in shown
            assert "film gauge reading not noted" in shown
            assert heading in shown
            assert line in shown
            await press(app, pilot, frozen, "v")
        assert "THE NOTE FOR THE OWNER  " in grid(app)


async def test_enter_saves_the_note_as_text_and_page_and_keeps_that_it_was_handed_over(tmp_path: Path) -> None:
    frozen = clock(15, 55, 3)
    app = story_app(tmp_path, frozen, story())
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "e enter v v enter")
        session = app.wall.session
        assert session is not None
        assert [(told.audience, told.text) for told in told_notes(session.events)] == [
            ("owner", "a\nb\n"), ("contractor", "a\nb\n"),
        ]  # fmt: skip
    assert (tmp_path / "job.2026-06-03.owner.txt").read_text(encoding="utf-8") == FILLED["note"]
    assert (tmp_path / "job.2026-06-03.contractor.html").read_text(encoding="utf-8") == FILLED["pages"]["contractor"]


async def test_space_ticks_the_list_before_driving_off_and_again_takes_the_tick_back(tmp_path: Path) -> None:
    frozen = clock(15, 55, 3)
    app = story_app(tmp_path, frozen, story())
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "e")
        assert "BEFORE YOU DRIVE OFF: 2 to see to. K" in grid(app)
        await press(app, pilot, frozen, "k space")
        assert "1 of 2 to see to" in grid(app)
        assert "√  1  Fans off" in grid(app)
        await press(app, pilot, frozen, "up space")
        session = app.wall.session
        assert session is not None
        ticks = [event.body for event in session.events if event.kind == "ticked"]
        assert [(body["leave"], body["day"], body["value"]) for body in ticks] == [
            ("fans/wet-room", "2026-06-03", "on"), ("fans/wet-room", "2026-06-03", "off"),
        ]  # fmt: skip
        await press(app, pilot, frozen, "k")
        assert "THE NOTE FOR THE OWNER" in grid(app)


async def test_sheets_and_calendar_are_written_beside_the_job(tmp_path: Path) -> None:
    frozen = clock(15, 55, 3)
    app = story_app(tmp_path, frozen, story())
    async with opened(app) as pilot:
        await press(app, pilot, frozen, "e f i")
        session = app.wall.session
        assert session is not None
        assert [event.body["what"] for event in session.events if event.kind == "told"] == ["calendar"]
    assert (tmp_path / "job.stay-off.html").read_text(encoding="utf-8") == FILLED["sheets_page"]
    assert (tmp_path / "job.ics").read_bytes().startswith(b"BEGIN:VCALENDAR\r\n")
