"""`mudday time`: the computer's clock is set between two commands; what is said, asked and kept."""

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planning.records.clock import FrozenClock
from tests.tui.bench import BenchSession, ChainPlanner, at
from tui.__main__ import main

COAT_1 = "wet-room/coats/coat-1"
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def frozen() -> FrozenClock:
    """The clock of a computer that was booted once."""
    return FrozenClock(datetime.fromtimestamp(at(7, 20) * 60, UTC), boot=1000.0, boot_id="b1")


@pytest.fixture
def run(
    tmp_path: Path, frozen: FrozenClock, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Run:
    job = tmp_path / "job.toml"
    job.write_text("[job]\n")
    monkeypatch.setattr("tui.cli.opening.Session", BenchSession)
    monkeypatch.setattr("tui.cli.opening.HerePlanner", ChainPlanner)
    monkeypatch.setattr("tui.cli.opening.SystemClock", lambda: frozen)

    def run_it(command: str, *words: str) -> tuple[int, str, str]:
        code = main([command, str(job), *words])
        return code, *capsys.readouterr()

    return run_it


def test_a_clock_that_is_right_is_in_no_doubt(run: Run) -> None:
    assert run("time") == (0, "It is Wed 3 Jun 7:20.\n", "")
    code, _, said = run("time", "clock")
    assert code == 2
    assert "no doubt" in said


def test_a_clock_set_between_two_commands_is_asked_about_and_releases_nothing(run: Run, frozen: FrozenClock) -> None:
    assert run("plan")[0] == 0
    assert run("note", "finished", "coat-1", "--at", "7:20")[0] == 0
    frozen.jump_wall(4 * 3600)
    code, out, said = run("time")
    assert code == 0
    assert "It is Wed 3 Jun 7:20 by the time counted on." in out
    assert "The computer's clock says Wed 3 Jun 11:20. Which time is right?" in out
    assert "mudday time" in out
    assert "went 4 h ahead at once" in said
    steps = {step["id"]: step for step in json.loads(run("plan", "--format", "json")[1])["steps"]}
    assert steps[COAT_1]["state"] == "curing"
    assert json.loads(run("time", "--format", "json")[1])["ahead_min"] == 240


@pytest.mark.parametrize(("answer", "state", "now"), [("clock", "curing", "11:20"), ("counted", "curing", "7:20"),
                                                      ("stays", "done", "11:20")])  # fmt: skip
def test_an_answer_is_kept_and_ends_the_question(
    run: Run, frozen: FrozenClock, answer: str, state: str, now: str
) -> None:
    run("plan")
    run("note", "finished", "coat-1", "--at", "7:20")
    frozen.jump_wall(4 * 3600)
    code, out, _ = run("time", answer)
    assert (code, out) == (0, f"Noted. It is Wed 3 Jun {now}.\n")
    code, out, said = run("time")
    assert (code, out, said) == (0, f"It is Wed 3 Jun {now}.\n", "")
    steps = {step["id"]: step for step in json.loads(run("plan", "--format", "json")[1])["steps"]}
    assert steps[COAT_1]["state"] == state
    assert "clock said to be" in run("record")[1]


def test_what_is_noted_while_the_question_is_open_keeps_it_open_over_a_new_boot(
    run: Run, frozen: FrozenClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("plan")
    run("note", "finished", "coat-1", "--at", "7:20")
    frozen.jump_wall(4 * 3600)
    assert run("note", "note", "by the time counted")[0] == 0
    booted = FrozenClock(frozen.wall(), boot=9.0, boot_id="b2")
    monkeypatch.setattr("tui.cli.opening.SystemClock", lambda: booted)
    assert "Which time is right?" in run("time")[1]


def test_a_time_that_is_typed_is_taken_at_its_word(run: Run, frozen: FrozenClock) -> None:
    run("plan")
    run("note", "finished", "coat-1", "--at", "7:20")
    frozen.jump_wall(4 * 3600)
    code, out, said = run("time", "--now", "10:00")
    assert (code, out, said) == (0, "It is Wed 3 Jun 10:00.\n", "")
