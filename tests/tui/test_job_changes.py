"""The job file changed for the screens: what it comes to is said first, and every other line stays as it was."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from planning.records.job_file import read_job
from planning.records.site_zone import zone_here
from tui.job_changes import change_job, menu
from tui.screens.new_job_words import USUAL, person_tables
from tui.screens.room_draft import RoomDraft, air_words

NOW = int(datetime(2026, 6, 1, 13, 0, tzinfo=UTC).timestamp() // 60)
METHODS = [method for group in menu(None) for method in group["methods"]]
NEW: dict[str, Any] = {
    "job": {"name": "my job", "zone": "America/Denver", "start": "2026-06-01", "aim": "finish"},
    "hours": USUAL.table(), "person": person_tables(["you", "helper"]), "gear": {"mixers": 1, "saws": 1},
}  # fmt: skip


def new_job(path: Path, draft: RoomDraft, write: bool = True) -> dict[str, Any]:
    edits = [{"do": "new", "tables": {**NEW, "room": [draft.table()]}}]
    return change_job(path, edits, draft.id(), NOW, write)


@pytest.mark.parametrize("method", METHODS, ids=[each["key"] for each in METHODS])
def test_a_room_of_any_method_needs_no_more_than_its_size(method: dict[str, Any], tmp_path: Path) -> None:
    draft = RoomDraft.fresh(method, [])
    draft.typed("size", "6 x 5 ft")
    tried = new_job(tmp_path / "job.toml", draft, write=False)
    assert tried["problems"] == []
    assert tried["steps"]
    assert tried["takes"]
    assert not (tmp_path / "job.toml").exists()


def test_the_first_room_writes_a_file_that_is_read_and_planned(tmp_path: Path) -> None:
    path = tmp_path / "my-job.toml"
    draft = RoomDraft.fresh(METHODS[0], [])
    draft.typed("size", "5x4'6\"")
    draft.typed("name", "powder room")
    draft.typed("air", "68 55 66")
    draft.turned("toilet", 1)
    draft.turned("speed", 1)
    tried = new_job(path, draft)
    assert tried["written"]
    assert tried["read_as"] == "5'-0\" x 4'-6\" = 22.5 sqft"
    assert tried["days"] >= 2
    job, problems = read_job(path)
    assert job is not None
    assert problems == []
    room = job.rooms[0]
    assert (room.id, room.toilet, room.in_from) == ("powder-room", True, ("outside",))
    assert room.area_m2 == pytest.approx(22.5 * 0.3048**2)
    assert [person.name for person in job.people] == ["you", "helper"]


def test_a_size_that_cannot_be_read_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    draft = RoomDraft.fresh(METHODS[0], [])
    draft.typed("size", "five by four")
    tried = new_job(tmp_path / "job.toml", draft)
    assert not tried["written"]
    assert "five by four" in tried["problems"][0]
    assert not (tmp_path / "job.toml").exists()


OLD = """\
# mine
[job]
name = "two"            # kept
zone = "America/Denver"
start = 2026-06-01
[[room]]
id = "hall"
size = "9 x 4 ft"
in_from = ["outside"]
  [[room.do]]
  method = "plain-tile-floor"
  joint = "1/8 in"      # narrow
[[room]]
id = "pantry"
size = "6 x 5 ft"
in_from = ["hall"]
  [[room.do]]
  method = "plain-tile-floor"
"""


@pytest.fixture
def old(tmp_path: Path) -> Path:
    path = tmp_path / "two.toml"
    path.write_text(OLD, encoding="utf-8")
    return path


def rooms(path: Path) -> list[dict[str, Any]]:
    from tui.job_text import rooms_of

    return rooms_of(path)


def test_a_changed_room_changes_its_own_lines_only(old: Path) -> None:
    draft = RoomDraft.of(rooms(old)[0], METHODS[1], ["hall", "pantry"])
    draft.typed("size", "10 x 4 ft")
    draft.typed("do joint", "1/4 in")
    assert change_job(old, draft.edits(0), "hall", NOW, True)["written"]
    text = old.read_text(encoding="utf-8")
    assert text == OLD.replace("9 x 4 ft", "10 x 4 ft").replace('"1/8 in" ', '"1/4 in" ')


def test_an_unchanged_room_is_no_edit(old: Path) -> None:
    assert RoomDraft.of(rooms(old)[0], METHODS[1], ["hall", "pantry"]).edits(0) == []


def test_a_copied_room_has_all_of_the_other_under_a_name_of_its_own(old: Path) -> None:
    draft = RoomDraft.copy(rooms(old)[0], METHODS[1], ["hall", "pantry"])
    assert change_job(old, draft.edits(), draft.id(), NOW, True)["written"]
    made = rooms(old)
    assert [room["id"] for room in made] == ["hall", "pantry", "hall-2"]
    assert made[2]["do"] == made[0]["do"]
    assert old.read_text(encoding="utf-8").startswith(OLD)


def test_a_room_that_another_is_reached_through_is_not_dropped(old: Path) -> None:
    tried = change_job(old, [{"do": "drop", "room": "hall"}], "", NOW, True)
    assert not tried["written"]
    assert "hall" in tried["problems"][0]
    assert old.read_text(encoding="utf-8") == OLD
    assert change_job(old, [{"do": "drop", "room": "pantry"}], "", NOW, True)["written"]
    assert [room["id"] for room in rooms(old)] == ["hall"]


def test_a_step_is_left_out_and_taken_back(old: Path) -> None:
    path = ["room", 1, "do", 0, "skip"]
    assert change_job(old, [{"do": "set", "path": path, "value": ["caulk"]}], "", NOW, True)["written"]
    assert rooms(old)[1]["do"][0]["skip"] == ["caulk"]
    assert change_job(old, [{"do": "out", "path": path}], "", NOW, True)["written"]
    assert "skip" not in rooms(old)[1]["do"][0]


def test_three_bare_numbers_are_air_in_the_units_of_the_job() -> None:
    assert air_words("68 55 66") == "68 F 55 % floor 66 F"
    assert air_words("20 55", "metric") == "20 C 55 % floor 20 C"
    assert air_words("68 F 55 % floor 66 F") == "68 F 55 % floor 66 F"


def test_the_zone_of_this_machine_is_one_that_a_job_file_may_hold(monkeypatch: pytest.MonkeyPatch) -> None:
    from zoneinfo import available_timezones

    noon = datetime(2026, 6, 1, 12, tzinfo=UTC)
    assert zone_here(noon) in available_timezones()
    monkeypatch.setenv("TZ", "America/Denver")
    assert zone_here(noon) == "America/Denver"
