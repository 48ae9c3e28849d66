"""What a job file leaves to be guessed is said."""

from pathlib import Path

from planning.records.job_file import read_job
from planning.records.job_notes import bare_sizes

HEAD = '[job]\nzone = "UTC"\nstart = 2026-06-01\nunits = "metric"\n'


def a_file(folder: Path, *sizes: str) -> Path:
    path = folder / "job.toml"
    rooms = [f'[[room]]\nid = "r{n}"\nsize = {size}\nin_from = ["outside"]\n' for n, size in enumerate(sizes)]
    path.write_text(HEAD + "".join(rooms), encoding="utf-8")
    return path


def test_a_size_without_a_unit_is_said_to_be_taken_as_feet_with_its_line(tmp_path: Path) -> None:
    path = a_file(tmp_path, '"3 x 2"', '"3 x 2 m"', "\"10' x 6'\"", '"25 sqft"')
    notes = bare_sizes(path)
    assert [note.line for note in notes] == [7]
    assert 'r0: size "3 x 2" has no unit, taken as feet' in notes[0].what
    job, problems = read_job(path)
    assert job is not None
    assert not problems
    assert abs(job.rooms[0].length_m - 3 * 0.3048) < 1e-9


def test_a_part_counts_too(tmp_path: Path) -> None:
    path = a_file(tmp_path, '"10 x 6 ft"')
    text = path.read_text(encoding="utf-8") + '  [[room.part]]\n  id = "north"\n  size = "5 x 6"\n'
    path.write_text(text, encoding="utf-8")
    assert [note.line for note in bare_sizes(path)] == [11]


def test_a_file_that_is_no_toml_has_no_notes(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("room = [", encoding="utf-8")
    assert bare_sizes(path) == ()
    assert bare_sizes(tmp_path / "none.toml") == ()
