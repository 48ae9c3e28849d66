"""A mistake does not hide the ones behind it."""

from pathlib import Path

from planning.records.job_file import read_job

SIX_WRONG = """[job]
name = "six"
zone = "America/Denvr"
start = 2026-06-01
[hours]
frm = "7:00"
[[person]]
name = "you"
can = ["al"]
[[room]]
id = "a"
size = "5 x"
in_from = ["b"]
  [[room.do]]
  method = "plain-tile-flor"
"""


def test_six_mistakes_one_inside_another_are_named_in_one_go_with_their_lines(tmp_path: Path) -> None:
    path = tmp_path / "six.toml"
    path.write_text(SIX_WRONG, encoding="utf-8")
    job, problems = read_job(path)
    assert job is None
    assert [problem.line for problem in problems] == [3, 6, 9, 12, 13, 15]
    assert all(problem.how for problem in problems)


def test_a_misspelled_size_does_not_hide_what_the_room_does(tmp_path: Path) -> None:
    path = tmp_path / "six.toml"
    path.write_text(SIX_WRONG.replace('size = "5 x"', 'siz = "5 x 5 ft"'), encoding="utf-8")
    _, problems = read_job(path)
    assert [problem.line for problem in problems] == [3, 6, 9, 12, 13, 15]
