import argparse
import subprocess
import sys
import time
import tomllib
from datetime import date
from pathlib import Path

import pytest

from planning.job.problem import Problem
from tests.tui.bench import JOB, ZONE, at
from tui.__main__ import main
from tui.cli import names
from tui.cli.demo import copy_demo, demo_jobs, moved_to
from tui.cli.note_kinds import FORMS
from tui.cli.parser import COMMANDS, command_parser
from tui.cli.times import read_time
from tui.cli.wrong import WrongUse
from tui.version import VERSION

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("7:20", at(7, 20)),
        ("13:45", at(13, 45)),
        ("1:45 pm", at(13, 45)),
        ("12:05 am", at(0, 5)),
        ("2026-06-04 7:20", at(7, 20, 4)),
        ("2026-06-04T07:20", at(7, 20, 4)),
        ("2026-06-03T07:20-04:00", at(5, 20)),
        ("2026-06-03T13:20:30Z", at(7, 20)),
        ("2026-06-05", at(0, 0, 5)),
    ],
)  # fmt: skip
def test_times_are_read_on_the_sites_clock_and_day(text: str, moment: int) -> None:
    assert read_time(text, ZONE, at(7)) == moment


@pytest.mark.parametrize("text", ["", "noon", "25:00", "7:61", "13:00 pm", "2026-13-01", "2026-06-03 99", "7.20"])
def test_what_is_no_time_is_named_with_the_way_to_write_it(text: str) -> None:
    with pytest.raises(WrongUse, match=r"write it as"):
        read_time(text, ZONE, at(7))


def test_a_name_fits_whole_or_by_a_unique_ending_or_beginning_and_a_miss_offers_the_nearest() -> None:
    ways = {"a/coats/coat-1": {"coat-1", "a/coat 1"}, "a/coats/coat-2": {"coat-2"}, "b/level/pour": {"pour", "b/pour"}}
    assert names.pick("Coat 1", ways, "step") == "a/coats/coat-1"
    assert names.pick("a/coat-1", ways, "step") == "a/coats/coat-1"
    assert names.pick("pou", ways, "step") == "b/level/pour"
    with pytest.raises(WrongUse, match="coat-1, a/coats/coat-2; write more of it"):
        names.pick("coat", ways, "step")
    with pytest.raises(WrongUse, match="did you mean b/level/pour"):
        names.pick("puor", ways, "step")


def test_rooms_and_people_are_found_by_name() -> None:
    assert names.room_named("wet room", JOB) == "wet-room"
    assert names.person_named("HELPER", JOB) == "helper"
    with pytest.raises(WrongUse, match="did you mean helper"):
        names.person_named("helpr", JOB)


def test_every_command_has_a_parser_and_every_example_of_a_note_can_be_typed() -> None:
    import shlex

    for name in COMMANDS:
        assert command_parser(name).format_help()
    for form in FORMS.values():
        args = command_parser("note").parse_intermixed_args(["job.toml", *shlex.split(form.example)])
        assert isinstance(args, argparse.Namespace)
        assert args.kind in FORMS


def test_the_version_is_the_package_s_and_comes_at_once(capsys: pytest.CaptureFixture[str]) -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"mudday {project['version']}\n"
    assert project["version"] == VERSION


def test_the_version_costs_little_more_than_python_itself_and_imports_nothing_of_ours() -> None:
    def seconds(*words: str) -> float:
        found = []
        for _ in range(5):
            begun = time.perf_counter()
            subprocess.run([sys.executable, *words], cwd=ROOT, check=True, capture_output=True)
            found.append(time.perf_counter() - begun)
        return min(found)

    assert seconds("-m", "tui", "--version") - seconds("-c", "pass") < 0.08
    code = "import sys; from tui.__main__ import main; main(['--version']); print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True).stdout
    assert "planning" not in loaded
    assert "argparse" not in loaded


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["plan"], "JOB"),
        (["plan", "no-such-job"], "there is no job file no-such-job"),
        (["plan", "."], "is a folder"),
        (["check", "no-such-job"], "there is no job file"),
        (["no-such-command", "x", "y"], "unrecognized arguments"),
        (["plan", "x.toml", "--format", "yaml"], "invalid choice"),
    ],
)
def test_bad_words_are_one_clear_line_and_exit_code_2(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert said in captured.err
    assert captured.err.count("\n") == 1


def test_what_goes_wrong_inside_is_one_line_and_never_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(_args: argparse.Namespace) -> int:
        raise RuntimeError("two\nlines")

    monkeypatch.setattr("tui.cli.demo.run_list", broken)
    assert main(["demo-jobs"]) == 2
    assert capsys.readouterr().err == (
        "mudday: this went wrong inside (RuntimeError: two lines); what was noted stays noted\n"
    )


def test_a_reader_that_leaves_early_is_no_error() -> None:
    code = "import sys; from tui.__main__ import main; sys.exit(main(['note', 'x', 'help']))"
    with subprocess.Popen(
        [sys.executable, "-c", code], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as run:
        assert run.stdout is not None
        run.stdout.close()
        assert run.stderr is not None
        assert run.stderr.read() == b""
    assert run.returncode == 0


def test_demo_jobs_are_listed_with_what_they_are(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo-jobs"]) == 0
    said = capsys.readouterr().out
    assert all(name in said for name in demo_jobs())


def test_a_demo_job_is_copied_once_and_begins_within_a_week(tmp_path: Path) -> None:
    from tests.tui.bench import clock

    path, copied = copy_demo("", tmp_path, clock(day=10))
    assert copied
    start = date.fromisoformat(str(tomllib.loads(path.read_text(encoding="utf-8"))["job"]["start"]))
    assert 0 <= (start - date(2026, 6, 10)).days < 7
    path.write_text("mine", encoding="utf-8")
    assert copy_demo("", tmp_path, clock(day=10)) == (path, False)
    assert path.read_text(encoding="utf-8") == "mine"
    with pytest.raises(WrongUse, match="no demo job"):
        copy_demo("zzz", tmp_path, clock())


def test_dates_of_a_demo_move_together_by_whole_weeks() -> None:
    text = "start = 2026-06-01\nby = '2026-06-04 9:00'\n# not 12345-06-07\n"
    assert moved_to(text, date(2026, 6, 1)) == text
    assert "start = 2026-06-15\nby = '2026-06-18 9:00'" in moved_to(text, date(2026, 6, 10))
    assert "start = 2025-06-02" in moved_to(text, date(2025, 6, 1))
    assert moved_to("no start", date(2026, 6, 1)) == "no start"


def test_a_problem_of_a_file_reads_as_one_line() -> None:
    assert str(Problem("a.toml", 3, "size is missing", 'write size = "5 x 5 ft"')).count("\n") == 0
