"""Changes to a job file: what changes, what stays to the letter, what is refused and never half saved."""

import random
import tomllib
from pathlib import Path
from typing import Any

import pytest

from planning.records import job_edit
from planning.records.job_edit import NotEditedError
from planning.records.job_file import read_job_text
from tests.planning.records.cabin import CABIN, SHORTEST, methods

NOTED = """\
# the cabin, as agreed on the phone
[job]                        # one job
zone = "America/Chicago"     # where it is
start = 2027-03-01

# people
[[person]]
name = "you"                 # me
can = ["all"]

# rooms, as one walks in
[[room]]
id = "hall"
size = "9 x 4 ft"            # measured twice
in_from = ["outside"]

  # same tile as the kitchen
  [[room.do]]
  method = "tile"            # over board
  joint = "1/8 in"

[[room]]
id = "bath"
size = "5 x 5 ft"
in_from = ["hall"]
  [[room.do]]
  method = "tile"

# who comes
[[visit]]
who = "inspector"
room = "bath"
at = "2027-03-04 9:00"
"""


def changed_lines(old: str, new: str) -> tuple[list[str], list[str]]:
    """Lines only the old text has, and only the new one."""
    before, after = old.split("\n"), new.split("\n")
    return [line for line in before if line not in after], [line for line in after if line not in before]


def test_a_value_changes_and_its_remark_stays() -> None:
    new = job_edit.set_value(NOTED, ("room", 0, "size"), "9' x 4'6\"")
    assert changed_lines(NOTED, new) == (
        ['size = "9 x 4 ft"            # measured twice'],
        ['size = "9\' x 4\'6\\""            # measured twice'],
    )


def test_a_new_key_comes_into_its_own_table() -> None:
    new = job_edit.set_value(NOTED, ("room", 0, "do", 0, "grout"), "grout-epoxy")
    assert changed_lines(NOTED, new) == ([], ['  grout = "grout-epoxy"'])
    job, _ = read_job_text(new, "x.toml", methods)
    assert job is not None
    assert job.rooms[0].do[0].measures["grout"] == "grout-epoxy"


def test_a_missing_table_is_made() -> None:
    new = job_edit.set_value(NOTED, ("gear", "mixers"), 2)
    assert tomllib.loads(new)["gear"] == {"mixers": 2}
    new = job_edit.set_value(new, ("room", 1, "air", "day"), "68 F 50 %")
    assert tomllib.loads(new)["room"][1]["air"] == {"day": "68 F 50 %"}
    assert changed_lines(NOTED, new)[0] == []


def test_a_table_of_values_is_written_in_one_line() -> None:
    heights = {"every": "3 ft", "depth": ["1/4 3/8 in", "1/8 1/4 in"]}
    new = job_edit.set_value(NOTED, ("room", 0, "do", 0, "heights"), heights)
    assert tomllib.loads(new)["room"][0]["do"][0]["heights"] == heights
    assert len(changed_lines(NOTED, new)[1]) == 1


def test_a_key_is_taken_out_and_nothing_else() -> None:
    new = job_edit.take_out(NOTED, ("room", 0, "do", 0, "joint"))
    assert changed_lines(NOTED, new) == (['  joint = "1/8 in"'], [])


NEW_ROOM: dict[str, Any] = {
    "id": "powder",
    "size": "5 x 4 ft",
    "in_from": ["hall"],
    "toilet": True,
    "air": {"day": "68 F 50 %"},
    "part": [{"id": "front", "size": "2 x 4 ft"}, {"id": "back", "in_from": ["front"]}],
    "do": [{"method": "tile", "on": {"floor": "back"}, "joint": "1/8 in"}],
}


def test_a_room_is_added_after_the_last_room_and_before_the_remark_of_what_follows() -> None:
    new = job_edit.add_table(NOTED, "room", NEW_ROOM)
    assert changed_lines(NOTED, new)[0] == []
    assert new.index('id = "bath"') < new.index('id = "powder"') < new.index("# who comes")
    job, problems = read_job_text(new, "x.toml", methods)
    assert job is not None, problems
    powder = job.room("powder")
    assert (powder.toilet, powder.in_from, powder.do[0].on) == (True, ("hall",), {"floor": "back"})


def test_the_first_table_of_a_kind_is_added_at_the_end() -> None:
    new = job_edit.add_table(NOTED, "errand", {"what": "dump", "takes": "1 h", "who": "you"})
    assert new.startswith(NOTED.rstrip("\n"))
    assert tomllib.loads(new)["errand"] == [{"what": "dump", "takes": "1 h", "who": "you"}]


def test_work_is_added_to_a_room_in_the_middle() -> None:
    new = job_edit.add_do(NOTED, "hall", {"method": "tile", "joint": "1/4 in"})
    assert [do["joint"] for do in tomllib.loads(new)["room"][0]["do"]] == ["1/8 in", "1/4 in"]
    assert new.index('joint = "1/4 in"') < new.index('id = "bath"')
    assert changed_lines(NOTED, new)[0] == []


def test_a_room_is_dropped_and_the_remark_of_what_follows_stays() -> None:
    new = job_edit.drop_room(NOTED, "bath")
    assert "# who comes\n[[visit]]" in new
    assert [room["id"] for room in tomllib.loads(new)["room"]] == ["hall"]
    _, problems = read_job_text(new, "x.toml", methods)
    assert [problem.what for problem in problems] == ['there is no room "bath"']


def test_a_room_added_and_dropped_again_leaves_the_same_text() -> None:
    assert job_edit.drop_room(job_edit.add_table(NOTED, "room", NEW_ROOM), "powder") == NOTED
    assert job_edit.drop_room(job_edit.add_table(CABIN, "room", NEW_ROOM), "powder") == CABIN


def test_a_new_job_file_is_written_from_plain_values() -> None:
    text = job_edit.job_text(
        {
            "job": {"name": "my job", "zone": "America/Chicago", "start": "2027-03-01"},
            "hours": {"days": "mon-fri", "eat": "12:00 30 min"},
            "person": [{"name": "you", "can": ["all"]}],
            "room": [{**NEW_ROOM, "in_from": ["outside"]}],
        }
    )
    job, problems = read_job_text(text, "x.toml", methods)
    assert job is not None, problems
    assert (job.name, job.rooms[0].id) == ("my job", "powder")


def test_what_cannot_be_changed_is_refused_in_words() -> None:
    for change in (
        lambda: job_edit.set_value("= 1", ("job", "zone"), "UTC"),
        lambda: job_edit.set_value(NOTED, ("room", 7, "size"), "x"),
        lambda: job_edit.set_value(NOTED, ("job", "zone", "x"), "x"),
        lambda: job_edit.take_out(NOTED, ("job", "aim")),
        lambda: job_edit.drop_room(NOTED, "attic"),
        lambda: job_edit.add_do(NOTED, "attic", {"method": "tile"}),
        lambda: job_edit.drop_table(NOTED, ("visit", 3)),
        lambda: job_edit.drop_table("visit = [{ a = 1 }]", ("visit", 0)),
    ):
        with pytest.raises(NotEditedError) as caught:
            change()
        assert caught.value.how


def test_a_change_that_makes_a_mistake_is_reported_and_not_saved(tmp_path: Path) -> None:
    path = tmp_path / "cabin.toml"
    path.write_text(NOTED)
    problems = job_edit.edit_job(path, lambda text: job_edit.set_value(text, ("room", 0, "size"), "nine"), methods)
    assert [problem.line for problem in problems] == [14]
    assert path.read_text() == NOTED


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_and_the_mark_at_the_start_of_a_file_stay(tmp_path: Path, ends: str, mark: str) -> None:
    path = tmp_path / "cabin.toml"
    path.write_bytes((mark + NOTED.replace("\n", ends)).encode())
    assert job_edit.edit_job(path, lambda text: job_edit.set_value(text, ("job", "aim"), "visits"), methods) == []
    data = path.read_bytes().decode()
    assert data.startswith(mark)
    assert data.count("\n") == data.count(ends) == NOTED.count("\n") + 1
    assert list(tmp_path.iterdir()) == [path]


def test_random_changes_leave_every_other_line_as_it_was() -> None:
    rng = random.Random(7)
    text = CABIN
    for n in range(60):
        room = rng.randrange(2)
        kind = rng.randrange(4)
        if kind == 0:
            text = job_edit.set_value(text, ("room", room, "size"), f"{rng.randint(3, 9)} x 9 m")
        elif kind == 1:
            text = job_edit.set_value(text, ("room", room, "do", 0, "joint"), f"1/{rng.choice((4, 8, 16))} in")
        elif kind == 2:
            before = text
            text = job_edit.add_do(text, "hall", {"method": "tile", "after": [f"x{n}"]})
            assert changed_lines(before, text)[0] == []
        else:
            before = text
            text = job_edit.drop_room(job_edit.add_table(text, "room", {**NEW_ROOM, "id": f"r{n}"}), f"r{n}")
            assert text == before
    assert [line for line in CABIN.split("\n") if line not in text.split("\n")] == [
        line for line in CABIN.split("\n") if line.startswith("size = ")
    ]
    assert SHORTEST.split("\n")[0] in text
