"""Saving whole files: all or nothing, inside the folder, with the mode bits kept."""

import errno
import os
import stat
import tempfile
from pathlib import Path

import pytest

from planning.records import atomic
from planning.records.atomic import LEFT_OVER_S, write_text
from planning.records.not_saved import NotSaved
from tests.reliability.other_user import run_unprivileged


def test_text_is_written_byte_for_byte(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    write_text(path, "één\r\ntwo\n\n  three")
    assert path.read_bytes() == "één\r\ntwo\n\n  three".encode()
    assert os.listdir(tmp_path) == ["a.toml"]


def test_mode_bits_of_a_file_that_is_there_are_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text("old")
    path.chmod(0o640)
    write_text(path, "new")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert path.read_text() == "new"


def test_a_new_file_gets_the_usual_mode_bits(tmp_path: Path) -> None:
    write_text(tmp_path / "a", "x")
    (tmp_path / "b").write_text("x")
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == stat.S_IMODE((tmp_path / "b").stat().st_mode)


def test_a_link_out_of_the_folder_is_refused_and_its_target_untouched(tmp_path: Path) -> None:
    outside = tmp_path / "outside.txt"
    outside.write_text("mine")
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "a.txt").symlink_to(outside)
    with pytest.raises(NotSaved, match="link to another folder"):
        write_text(folder / "a.txt", "yours")
    assert outside.read_text() == "mine"
    assert (folder / "a.txt").is_symlink()


def test_a_link_inside_the_folder_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real.txt").write_text("old")
    (tmp_path / "name.txt").symlink_to(tmp_path / "real.txt")
    write_text(tmp_path / "name.txt", "new")
    assert (tmp_path / "real.txt").read_text() == "new"
    assert (tmp_path / "name.txt").is_symlink()


@pytest.mark.parametrize("step", ["open", "write", "fsync", "replace"])
@pytest.mark.parametrize(("code", "word"), [(errno.ENOSPC, "make room"), (errno.EROFS, "read-only")])
def test_a_failure_at_any_step_leaves_the_old_text_and_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, code: int, word: str
) -> None:
    path = tmp_path / "a.toml"
    path.write_text("old")

    def fail(*_args: object, **_named: object) -> None:
        raise OSError(code, os.strerror(code))

    if step == "write":
        monkeypatch.setattr(atomic.os, "fdopen", fail)
    else:
        monkeypatch.setattr(atomic.os, step, fail)
    with pytest.raises(NotSaved, match=word):
        write_text(path, "new")
    monkeypatch.undo()
    assert path.read_text() == "old"
    assert os.listdir(tmp_path) == ["a.toml"]


def test_what_a_dead_writer_left_is_cleared_once_it_is_old_but_not_before(tmp_path: Path) -> None:
    stale, fresh, other = (tmp_path / name for name in (".a[1].toml.0badcafe.tmp", ".a[1].toml.0badcaff.tmp", ".b.tmp"))
    for each in (stale, fresh, other):
        each.write_text("x")
    for each in (stale, other):
        os.utime(each, (0, fresh.stat().st_mtime - LEFT_OVER_S - 5))
    write_text(tmp_path / "a[1].toml", "x")
    assert sorted(os.listdir(tmp_path)) == sorted([fresh.name, other.name, "a[1].toml"])


def test_half_a_character_is_refused_in_one_line(tmp_path: Path) -> None:
    with pytest.raises(NotSaved, match="character"):
        write_text(tmp_path / "a", "\udc80")
    assert os.listdir(tmp_path) == []


def test_a_read_only_folder_and_a_read_only_file_are_refused_in_one_line() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o777)
        (folder / "a.toml").write_text("old")
        (folder / "a.toml").chmod(0o444)
        assert "read-only" in run_unprivileged(lambda: _refusal(folder / "a.toml"))
        folder.chmod(0o555)
        assert "read-only" in run_unprivileged(lambda: _refusal(folder / "b.toml"))
        assert os.listdir(folder) == ["a.toml"]


def _refusal(path: Path) -> str:
    try:
        write_text(path, "new")
    except NotSaved as wrong:
        return wrong.reason
    return "was written"
