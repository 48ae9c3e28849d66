"""What is handed over from the command line: what is kept as told, what only looks, what is ticked, each format."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.planning.handover.test_page import read
from tests.tui.bench import BenchSession, ChainPlanner
from tui.__main__ import main

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsysbinary: pytest.CaptureFixture[bytes]) -> Run:
    """Runs a command on the made-up job at 16:00 (or `now`), and gives back exit code, stdout and stderr."""
    monkeypatch.setattr("tui.cli.opening.Session", BenchSession)
    monkeypatch.setattr("tui.cli.opening.HerePlanner", ChainPlanner)
    (tmp_path / "job.toml").write_text("[job]\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    def run_it(command: str, *words: str, now: str = "2026-06-03 16:00") -> tuple[int, str, str]:
        code = main([command, "job", *words, "--now", now])
        out, err = capsysbinary.readouterr()
        return code, out.decode("utf-8"), err.decode("utf-8")

    return run_it


def kinds(run: Run) -> list[tuple[str, str]]:
    events = json.loads(run("record", "--format", "json")[1])["events"]
    return [(event["kind"], str(event["body"].get("for", ""))) for event in events]


def test_a_note_is_kept_as_told_once_with_a_spare_copy_and_looking_keeps_nothing(run: Run, tmp_path: Path) -> None:
    assert run("snapshot", "--look")[0] == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["job.toml"]
    for words in ((), ("--format", "html"), ("--format", "md"), ("--for", "contractor")):
        assert run("snapshot", *words)[0] == 0
    assert [each for each in kinds(run) if each[0] == "told"] == [("told", "owner"), ("told", "contractor")]
    assert (tmp_path / "job.mudday.txt").exists()
    assert run("told")[1].split() == [
        "1",
        "Wed",
        "3",
        "Jun",
        "4:00",
        "owner",
        "2",
        "Wed",
        "3",
        "Jun",
        "4:00",
        "contractor",
    ]
    assert run("told", "1")[1] == run("snapshot", "--look")[1]
    assert run("told", "3")[0] == 2


def test_the_evening_of_another_day_is_only_looked_at_and_as_it_was_then(run: Run) -> None:
    run("note", "started", "coat-1", now="2026-06-03 7:20")
    run("note", "finished", "coat-1", now="2026-06-03 8:30")
    before = run("snapshot", "--day", "2026-06-02")[1]
    assert "TUE 2 JUN" in before
    assert "DONE TODAY" not in before
    assert "DONE TODAY" in run("snapshot", "--day", "2026-06-03")[1]
    assert ("told", "owner") not in kinds(run)


def test_open_questions_go_to_the_setter_with_what_to_note_and_stand_first_in_the_note(run: Run) -> None:
    run("note", "started", "coat-1", now="2026-06-03 7:20")
    _, out, err = run("snapshot")
    assert "OPEN QUESTION  Wet room, coat 1: begun 7:20, not marked done." in err
    assert "mudday note job finished wet-room/coats/coat-1" in err
    assert out.split("\n\n")[1].startswith("NOT SURE YET")
    assert (
        json.loads(run("snapshot", "--format", "json")[1])["questions"][0]["answer"] == "finished wet-room/coats/coat-1"
    )


def test_lines_before_driving_off_are_ticked_and_the_tick_taken_back(run: Run) -> None:
    run("note", "started", "coat-1", now="2026-06-03 7:20")
    run("note", "finished", "coat-1", now="2026-06-03 8:30")
    lines = json.loads(run("drive-off", "--format", "json")[1])
    wash = next(n for n, line in enumerate(lines, start=1) if line["key"] == "wash")
    assert f"√ {wash:>2}  Mixer" in run("drive-off", str(wash))[1]
    assert f"  {wash:>2}  Mixer" in run("drive-off", str(wash), "--off")[1]
    code, _, err = run("drive-off", "99")
    assert code == 2
    assert "there is no line 99" in err


def test_a_calendar_is_kept_as_told_when_it_says_something_new(run: Run) -> None:
    for _ in range(2):
        assert run("calendar", now="2026-06-03 7:00")[1].startswith("BEGIN:VCALENDAR")
    run("calendar", "--for", "owner", now="2026-06-03 7:00")
    run("calendar", "--look", now="2026-06-03 8:00")
    assert [each for each in kinds(run) if each[0] == "told"] == [("told", "me"), ("told", "owner")]


@pytest.mark.parametrize("command", ["snapshot", "stay-off", "release", "packet"])
def test_each_page_is_a_page_and_the_text_is_none(run: Run, command: str) -> None:
    run("note", "started", "coat-1", now="2026-06-03 7:20")
    assert read(run(command, "--format", "html")[1]).tags[0] == "html"
    assert "<" not in run(command)[1]


def test_hours_and_pace_are_shown_and_taking_nothing_changes_nothing(run: Run, tmp_path: Path) -> None:
    run("note", "started", "coat-1", now="2026-06-03 7:20")
    run("note", "finished", "coat-1", now="2026-06-03 8:50")
    assert "1 h 30" in run("hours")[1]
    assert "coat" in run("learn")[1]
    assert "too few to say" in run("learn")[1]
    assert "Nothing to take" in run("learn", "--take")[1]
    assert (tmp_path / "job.toml").read_text(encoding="utf-8") == "[job]\n"
