import json
from collections.abc import Callable
from pathlib import Path

import pytest

from planning.job.plan_json import from_json
from tests.tui.bench import ROWS, ZONE, BenchSession, ChainPlanner, at, session
from tui.__main__ import main

COAT_1, COAT_2, SET = (row[0] for row in ROWS)

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def planner() -> ChainPlanner:
    return ChainPlanner()


@pytest.fixture
def run(
    tmp_path: Path, planner: ChainPlanner, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Run:
    """Runs a command on the made-up job at 7:20 (or `now`), and gives back exit code, stdout and stderr."""
    monkeypatch.setattr("tui.cli.opening.Session", BenchSession)
    monkeypatch.setattr("tui.cli.opening.HerePlanner", lambda: planner)
    (tmp_path / "job.toml").write_text("[job]\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    def run_it(command: str, *words: str, now: str = "2026-06-03 7:20") -> tuple[int, str, str]:
        code = main([command, "job", *words, "--now", now])
        captured = capsys.readouterr()
        return code, captured.out, captured.err

    return run_it


def test_plan_says_the_day_what_is_due_and_how_good_the_plan_is(run: Run) -> None:
    code, out, err = run("plan")
    assert (code, err) == (0, "")
    assert "NEXT DUE  7:20  wet room, COAT 1, you" in out
    assert "START  END    START BY  ROOM      STEP      WHO  HOW IT STANDS" in out
    assert "7:20   8:30   8:35      wet room  COAT 1    you  READY" in out
    assert "WAIT  opens 11:10" in out
    assert "COAT 1: start by 8:35. 1 h 15 to spare, then the pour is lost." in out
    assert "No plan ends the job sooner (proved)." in out


def test_the_json_of_plan_reads_back_as_the_same_plan(run: Run) -> None:
    _, out, _ = run("plan", "--format", "json")
    assert from_json(out, ZONE.key).step(COAT_2).start == at(11, 10)


def test_a_plan_that_does_not_fit_is_exit_code_1_with_the_reasons_on_stderr(run: Run, planner: ChainPlanner) -> None:
    planner.stuck = True
    assert run("plan") == (1, "", "no plan: inspector comes before the coat is dry\n")
    code, out, _ = run("check")
    assert code == 1
    assert "inspector comes before the coat is dry" in out


def test_a_command_that_only_shows_at_another_time_leaves_no_file_behind(run: Run, tmp_path: Path) -> None:
    run("plan")
    run("pull")
    run("clocks")
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


def test_a_report_is_noted_with_its_time_and_reason_and_shows_in_the_record(run: Run) -> None:
    code, out, _ = run("note", "started", "coat-1", "--at", "7:10", "--why", "early")
    assert (code, out) == (0, "Noted: COAT 1 started 7:10. There is no plan yet: mudday plan job\n")
    record = json.loads(run("record", "--format", "json")[1])["events"]
    started = next(event for event in record if event["kind"] == "started")
    assert started["body"] == {"step": COAT_1, "why": "early", "noted_at": "2026-06-03T13:20:00+00:00"}
    assert "COAT 1 started 7:10" in run("record")[1]


def test_late_take_undo_and_redo_from_the_command_line(run: Run) -> None:
    run("note", "started", "coat 1")
    code, out, _ = run("note", "late", "coat-1", "40")
    assert code == 0
    assert "A choice waits: mudday choices job" in out
    assert "COAT 2, wet room, from 11:10 to 11:50" in out
    code, out, err = run("plan")
    assert "COAT 2, wet room, from 11:10 to 11:50" in out
    assert "A choice waits" in err
    assert "2  Stay till 4:00. Costs: 30 min tonight." in run("choices")[1]
    assert "Taken: Stay till 4:00." in run("take", "2")[1]
    assert "A choice waits" not in run("plan")[2]
    assert "Undone: plan taken 7:20: Stay till 4:00." in run("undo")[1]
    assert "Back again: plan taken 7:20: Stay till 4:00." in run("redo")[1]
    record = run("record")[1]
    assert "took back: plan taken 7:20: Stay till 4:00" in record
    assert "had back: plan taken 7:20: Stay till 4:00" in record


def test_the_same_mark_twice_is_refused_and_the_way_to_change_it_is_said(run: Run) -> None:
    run("note", "started", "coat-1")
    code, _, err = run("note", "started", "coat-1")
    assert code == 2
    assert "is marked started already, Wed 3 Jun 7:20; mudday note JOB corrected" in err
    assert run("note", "corrected", "coat-1", "7:00")[0] == 0


def test_no_journal_is_left_beside_the_record(run: Run, tmp_path: Path) -> None:
    run("note", "started", "coat-1")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["job.record", "job.toml"]


@pytest.mark.parametrize("late", [["40"], ["40 min"], ["0 h 40"], ["40", "min"]])
def test_minutes_are_read_as_people_write_them(run: Run, late: list[str]) -> None:
    run("note", "late", "coat-1", *late)
    record = json.loads(run("record", "--format", "json")[1])["events"]
    assert record[-1]["body"]["value"] == 40
    assert record[-1]["body"]["until"] == at(8, 0)


def test_what_reports_write_is_what_the_planner_reads(run: Run) -> None:
    run("note", "gone", "helper", "14:00")
    run("note", "stay_until", "16:10")
    run("note", "stay_until", "you", "4:30 pm")
    run("note", "reading", "wet-room", "66 F 58 % floor 65 F")
    run("note", "van_has", "membrane-liquid", "2")
    run("note", "held", "set-tile", "13:00")
    run("note", "held", "set-tile")
    run("note", "note", "door sticks")
    run("note", "ticked", "coat-1", "membrane-liquid")
    bodies = [(e["kind"], e["body"]) for e in json.loads(run("record", "--format", "json")[1])["events"]]
    told = [(kind, {k: v for k, v in body.items() if k != "with"}) for kind, body in bodies]
    assert ("gone", {"who": "helper", "until": at(14)}) in told
    assert ("stay_until", {"until": at(16, 10)}) in told
    assert ("stay_until", {"who": "you", "until": at(16, 30)}) in told
    reading = next(body for kind, body in told if kind == "reading")
    assert reading["room"] == "wet-room"
    assert reading["value"]["humidity"] == pytest.approx(0.58)
    assert ("van_has", {"class": "membrane-liquid", "value": 2.0}) in told
    assert ("held", {"step": SET, "until": at(13)}) in told
    assert ("held", {"step": SET}) in told
    assert ("note", {"value": "door sticks"}) in told
    assert ("ticked", {"step": COAT_1, "class": "membrane-liquid", "value": "on"}) in told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["startd", "coat-1"], "did you mean started"),
        (["started", "coat-9"], "there is no step 'coat-9'; did you mean wet-room/coats/coat-"),
        (["started"], "started of which step?"),
        (["late", "coat-1"], "the value is missing"),
        (["late", "coat-1", "soon"], "write"),
        (["started", "coat-1", "now"], "'now' is left over"),
        (["reading", "wet-room", "warm"], "write"),
        (["corrected", "coat-1", "7:00"], "was not marked"),
        (["plan_accepted"], "mudday take"),
        (["gone", "nobody"], "there is no person"),
        (["van_has", "membrane-liquid", "many"], "is not a number"),
    ],
)
def test_a_report_that_fits_nothing_is_one_line_with_exit_code_2_and_leaves_no_record(
    run: Run, words: list[str], said: str, tmp_path: Path
) -> None:
    code, out, err = run("note", *words)
    assert (code, out) == (2, "")
    assert said in err
    assert err.count("\n") == 1
    assert not (tmp_path / "job.record").exists()


def test_a_report_does_not_wait_for_a_first_plan(run: Run, planner: ChainPlanner) -> None:
    for words in (("started", "coat-1"), ("note", "x"), ("gone", "helper"), ("finished", "coat-1")):
        assert run("note", *words)[0] == 0
    assert planner.asked == 0


def test_a_report_that_no_plan_depends_on_makes_no_new_one(run: Run, planner: ChainPlanner, tmp_path: Path) -> None:
    session(tmp_path).close()
    asked = planner.asked
    assert run("note", "note", "door sticks")[1].endswith("Nothing else moved.\n")
    assert planner.asked == asked


def test_a_report_after_which_nothing_fits_is_kept_and_can_be_undone(
    run: Run, planner: ChainPlanner, tmp_path: Path
) -> None:
    session(tmp_path).close()
    run("note", "started", "coat-1")
    planner.stuck = True
    code, out, err = run("note", "late", "coat-1", "300")
    assert code == 1
    assert "Noted: COAT 1 300 min late" in out
    assert "no plan: inspector" in err
    planner.stuck = False
    assert run("undo")[0] == 0


def test_there_is_nothing_to_undo_or_redo_on_a_new_job(run: Run) -> None:
    assert run("undo")[0] == 2
    assert run("redo")[0] == 2
    assert "no choice 9; there are 2; mudday choices job lists them" in run("take", "9")[2]


def test_clocks_show_what_runs_the_worst_first(run: Run) -> None:
    run("note", "started", "coat-1")
    run("note", "finished", "coat-1", "--at", "8:30", now="2026-06-03 8:30")
    code, out, _ = run("clocks", now="2026-06-03 11:00")
    assert code == 0
    assert "SOON     wet room, coat 2: opens 11:10, in 10 min" in out
    table = json.loads(run("clocks", "--format", "json", now="2026-06-03 11:00")[1])["clocks"]
    assert table[0] == {"step": COAT_2, "what": "start", "opens": "2026-06-03T11:10-06:00", "shuts": None,
                        "state": "soon"}  # fmt: skip


def test_handover_pages_come_as_text_and_as_json(run: Run) -> None:
    run("note", "started", "coat-1")
    run("note", "finished", "coat-1", now="2026-06-03 8:30")
    assert "Wet room: coat 1 (7:20 to 8:30)." in run("snapshot", now="2026-06-03 16:00")[1]
    sections = json.loads(run("snapshot", "--format", "json", now="2026-06-03 16:00")[1])["sections"]
    assert "done" in sections
    assert "STAY OFF" in run("stay-off", "wet room", now="2026-06-03 9:00")[1]
    assert (
        json.loads(run("stay-off", "--format", "json", now="2026-06-03 9:00")[1])["stay_off"][0]["room"] == "wet-room"
    )
    assert "Wet room" in run("release", now="2026-06-03 9:00")[1]
    assert json.loads(run("release", "--format", "json", now="2026-06-03 9:00")[1])["releases"]


def test_the_pull_list_comes_as_text_and_as_json(run: Run) -> None:
    assert "WET ROOM" in run("pull")[1]
    days = json.loads(run("pull", "--format", "json")[1])["days"]
    assert days[0]["rooms"][0]["steps"][0]["id"] == COAT_1
    assert "Nothing to carry." in run("pull", "--day", "2026-07-01")[1]
    assert "HELPER" in run("slip")[1]
    assert run("batch")[1] == "No pour or float on this day.\n"


def test_check_judges_a_plan_read_back(run: Run, tmp_path: Path) -> None:
    (tmp_path / "plan.json").write_text("{}", encoding="utf-8")
    code, _, err = run("check", "--plan", "plan.json")
    assert code == 2
    assert '"version" must be 1' in err
    assert run("check", "--plan", "missing.json")[0] == 2
    other = run("plan", "--format", "json")[1].replace('"guest house"', '"other job"')
    (tmp_path / "plan.json").write_text(other, encoding="utf-8")
    assert "is a plan of the job 'other job'" in run("check", "--plan", "plan.json")[2]
