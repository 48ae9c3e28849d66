import subprocess
import sys
from pathlib import Path

import pytest

from planning.job.events import effective
from planning.job.plan_json import to_json
from planning.records.not_saved import NotSaved
from planning.records.record import Record
from tests.tui.bench import ROWS, BenchSession, ChainPlanner, at, clock, session

COAT_1, COAT_2, SET = (row[0] for row in ROWS)


def kinds(made: BenchSession) -> list[str]:
    return [event.kind for event in made.events if event.kind != "job_file"]


def test_a_plan_is_made_once_and_found_again_at_the_next_start(tmp_path: Path) -> None:
    first = session(tmp_path)
    assert first.plan is not None
    frame = BenchSession.first_frame(tmp_path / "job.toml")
    assert frame is not None
    assert to_json(frame.plan) == to_json(first.plan)
    planner = ChainPlanner()
    again = session(tmp_path, planner=planner)
    assert planner.asked == 0
    assert again.plan is not None


def test_the_first_report_accepts_the_plan_on_the_wall_and_the_second_does_not(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 22))
    made.start(COAT_1)
    made.finish(COAT_1, at(8, 30))
    assert kinds(made) == ["plan_accepted", "started", "finished"]
    assert made.accepted is not None
    assert made.accepted.steps[COAT_1][0] == at(7, 20)


def test_a_note_does_not_accept_the_plan(tmp_path: Path) -> None:
    made = session(tmp_path)
    made.note("note", {"step": COAT_1, "value": "corner chipped"})
    assert kinds(made) == ["note"]


def test_states_follow_what_was_noted(tmp_path: Path) -> None:
    frozen = clock(7, 22)
    made = session(tmp_path, frozen)
    assert made.plan is not None
    made.start(COAT_1)
    assert made.plan.step(COAT_1).state == "hands"
    frozen.advance(70 * 60)
    made.finish(COAT_1)
    assert made.plan.step(COAT_1).state == "curing"
    assert made.plan.step(COAT_2).state == "wait"
    frozen.advance(3 * 3600)
    made.at_once = False
    made.note("note", {"value": "x"})
    assert made.plan.step(COAT_2).state == "ready"


def test_space_acts_on_what_runs_or_else_on_what_is_due_or_on_the_marked_step(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 20))
    target = made.space_target()
    assert target is not None
    assert target.id == COAT_1
    made.start(COAT_1)
    assert made.space_target().id == COAT_1  # type: ignore[union-attr]  # a plan is on the wall
    assert made.space_target(SET).id == SET  # type: ignore[union-attr]  # same


def test_late_counts_from_the_planned_start_and_when_begun_from_the_planned_finish(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 20))
    assert made.late(COAT_1, 40).body["until"] == at(8, 0)
    made.undo()
    made.start(COAT_1)
    assert made.late(COAT_1, 40).body["until"] == at(8, 30) + 40


def test_late_that_moves_another_step_waits_for_a_choice_and_the_old_plan_stays_on_the_wall(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 20))
    made.start(COAT_1)
    assert made.plan is not None
    before = [step.start for step in made.plan.steps]
    made.late(COAT_1, 40)
    assert [step.start for step in made.plan.steps] == before
    assert made.offered is not None
    assert made.offered.step(COAT_2).start == before[1] + 40
    assert not made.needs_plan()


def test_taking_a_choice_puts_its_plan_up_and_writes_what_it_takes(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 20))
    made.start(COAT_1)
    made.late(COAT_1, 40)
    event = made.take(2)
    assert event.body["choice"] == "Stay till 4:00"
    assert kinds(made)[-2:] == ["stay_until", "plan_accepted"]
    assert made.offered is None
    assert made.accepted is not None
    assert made.plan is not None
    assert made.accepted.steps[COAT_2][0] == made.plan.step(COAT_2).start
    assert not made.needs_plan()


def test_one_undo_after_a_choice_brings_the_old_plan_back_also_in_another_window(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 20))
    made.start(COAT_1)
    made.late(COAT_1, 40)
    assert made.plan is not None
    before = [(step.id, step.start) for step in made.plan.steps]
    made.take(2)
    made.close()
    again = session(tmp_path, clock(7, 21))
    assert again.undo() == "plan taken 7:20: Stay till 4:00"
    assert again.plan is not None
    assert [(step.id, step.start) for step in again.plan.steps] == before


def test_a_choice_that_is_not_there_is_said_in_one_line(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no choice 7; there are 2"):
        session(tmp_path).take(7)


def test_undo_brings_back_the_same_plan_twenty_acts_back_and_redo_the_newest(tmp_path: Path) -> None:
    frozen = clock(7, 20)
    made = session(tmp_path, frozen)
    made.note("note", {"value": "first"})
    shown = [to_json(made.plan)]  # type: ignore[arg-type]  # a plan is on the wall
    made.start(COAT_1)
    shown.append(to_json(made.plan))  # type: ignore[arg-type]  # same
    made.late(COAT_1, 40)
    made.take(2)
    shown.append(to_json(made.plan))  # type: ignore[arg-type]  # same
    assert made.undo() == "plan taken 7:20: Stay till 4:00"
    assert kinds(made)[-2:] == ["undone", "undone"]
    assert made.undo() == "COAT 1 40 min late"
    assert to_json(made.plan) == shown[1]  # type: ignore[arg-type]  # same
    assert made.undo() == "COAT 1 started 7:20"
    assert to_json(made.plan) == shown[0]  # type: ignore[arg-type]  # same
    assert made.accepted is None
    assert made.redo() == "COAT 1 started 7:20"
    assert made.redo() == "COAT 1 40 min late"
    assert made.redo() == "plan taken 7:20: Stay till 4:00"
    assert made.redo() is None
    assert to_json(made.plan) == shown[2]  # type: ignore[arg-type]  # same
    assert {event.kind for event in effective(made.events)} >= {"started", "late", "stay_until", "plan_accepted"}


def test_undo_after_redo_takes_the_same_thing_back_again(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 20))
    made.start(COAT_1)
    for _ in range(3):
        assert made.undo() == "COAT 1 started 7:20"
        assert "started" not in {event.kind for event in effective(made.events)}
        assert made.redo() == "COAT 1 started 7:20"
        assert "started" in {event.kind for event in effective(made.events)}


def test_a_report_after_an_undo_ends_what_can_be_had_back(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 20))
    made.start(COAT_1)
    made.undo()
    made.note("note", {"value": "phone"})
    assert made.redo() is None


def test_undo_stops_at_the_start_of_the_job_day(tmp_path: Path) -> None:
    frozen = clock(14, 0)
    made = session(tmp_path, frozen)
    made.start(COAT_1)
    frozen.advance(20 * 3600)
    assert made.undo() is None
    assert made.undo(any_day=True) == "COAT 1 started 2:00"


def test_really_at_changes_the_last_mark_and_keeps_the_old_one(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 40))
    made.start(COAT_1)
    made.really_at(COAT_1, at(7, 20))
    assert made.plan is not None
    assert made.plan.step(COAT_1).start == at(7, 20)
    started = next(event for event in made.events if event.kind == "started")
    assert started.minute == at(7, 40)
    assert made.undo() == "COAT 1 time put right to 7:20"
    with pytest.raises(KeyError, match="not marked"):
        made.really_at(SET, at(7, 0))


def test_tacky_on_a_curing_coat_holds_the_coat_that_waits_for_it_half_an_hour_and_again(tmp_path: Path) -> None:
    frozen = clock(7, 20)
    made = session(tmp_path, frozen)
    made.start(COAT_1)
    frozen.advance(70 * 60)
    made.finish(COAT_1)
    frozen.advance(160 * 60)
    event = made.tacky(COAT_1)
    assert event.body["step"] == COAT_2
    assert event.body["until"] == at(11, 40)
    frozen.advance(29 * 60)
    assert made.tacky(COAT_2).body["until"] == at(12, 10)


def test_keeping_the_old_plan_ends_the_question_until_something_new_is_noted(tmp_path: Path) -> None:
    pytest.importorskip("planning.schedule.judge")
    made = session(tmp_path, clock(7, 20))
    made.start(COAT_1)
    made.late(COAT_1, 40)
    old = to_json(made.plan)  # type: ignore[arg-type]  # a plan is on the wall
    made.keep_old()
    assert made.offered is None
    assert to_json(made.plan) == old  # type: ignore[arg-type]  # same
    assert not made.needs_plan()
    assert not session(tmp_path, clock(7, 20)).needs_plan()


def test_when_nothing_fits_the_wall_stays_and_trouble_says_why(tmp_path: Path) -> None:
    planner = ChainPlanner()
    made = session(tmp_path, planner=planner)
    planner.stuck = True
    assert made.replan(at(8)) is None
    assert made.trouble == "inspector comes before the coat is dry"
    assert made.plan is not None


def test_a_report_that_is_not_on_disk_is_not_shown_as_done(tmp_path: Path) -> None:
    made = session(tmp_path)
    viewer = BenchSession(made.job_path, clock(), ChainPlanner(), read_only=True)
    viewer.load()
    viewer.replan()
    with pytest.raises(NotSaved):
        viewer.start(COAT_1)
    assert viewer.not_saved is not None
    assert viewer.plan is not None
    assert viewer.plan.step(COAT_1).state != "hands"


def test_a_report_tried_again_after_a_failed_save_counts_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = session(tmp_path, clock(7, 20))
    made.start(COAT_1)
    real = Record.append
    ids: list[str | None] = []

    def lost_answer(self: Record, kind: str, body: object, at: object = None, event_id: str | None = None) -> object:
        ids.append(event_id)
        done = real(self, kind, body, at, event_id)  # type: ignore[arg-type]  # handed through
        if len(ids) == 1:
            raise NotSaved("the cable went at the very end", event_id)
        return done

    monkeypatch.setattr(Record, "append", lost_answer)
    with pytest.raises(NotSaved):
        made.finish(COAT_1)
    made.finish(COAT_1)
    assert ids[0] == ids[1]
    assert kinds(made).count("finished") == 1
    assert made.not_saved is None


def test_two_windows_hear_of_each_other(tmp_path: Path) -> None:
    one, other = session(tmp_path, clock(7, 20)), session(tmp_path, clock(7, 20))
    one.start(COAT_1)
    assert other.changed_elsewhere()
    other.load()
    assert other.plan is not None
    assert other.plan.step(COAT_1).state == "hands"
    assert not other.changed_elsewhere()
    other.job_path.write_text("[job]\n# edited\n", encoding="utf-8")
    assert one.changed_elsewhere()


def test_a_plan_of_older_inputs_is_not_put_up(tmp_path: Path) -> None:
    made = session(tmp_path, clock(7, 20))
    made.at_once = False
    inputs = made.inputs_hash()
    slow = made.compute()
    made.start(COAT_1)
    assert not made.show(slow, inputs)
    assert made.needs_plan()
    assert made.show(made.compute(), made.inputs_hash())
    assert not made.needs_plan()


def test_a_new_plan_is_due_when_a_day_begins_and_when_a_latest_start_passes_but_not_on_a_tick(tmp_path: Path) -> None:
    frozen = clock(7, 20)
    made = session(tmp_path, frozen)
    frozen.advance(60)
    assert not made.needs_plan()
    frozen.advance(80 * 60)
    assert made.needs_plan()
    made.replan()
    assert not made.needs_plan()
    frozen.advance(24 * 3600)
    assert made.needs_plan()


def test_a_planner_that_fails_after_a_report_leaves_the_report_noted_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = session(tmp_path, clock(7, 20))

    def fails(*_args: object) -> None:
        raise RuntimeError("out of memory")

    monkeypatch.setattr(made.planner, "plan", fails)
    made.start(COAT_1)
    assert "started" in kinds(made)
    assert made.trouble is not None
    assert "out of memory" in made.trouble
    assert made.plan is not None
    assert made.plan.step(COAT_1).state == "hands"


def test_the_first_frame_needs_no_solver_no_units_and_no_numpy(tmp_path: Path) -> None:
    made = session(tmp_path)
    code = (
        "import sys; from pathlib import Path; from tui.session import Session; "
        f"assert Session.first_frame(Path({str(made.job_path)!r})) is not None; print(*sys.modules)"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", code], cwd=root, check=True, capture_output=True, text=True)
    loaded = set(done.stdout.split())
    assert not loaded & {"ortools", "pint", "numpy", "pydantic", "textual", "planning.trade.expand"}


def test_a_floor_done_later_than_the_plan_on_the_wall_cures_its_time_though_a_choice_waits(tmp_path: Path) -> None:
    frozen = clock(7, 20)
    made = session(tmp_path, frozen)
    first = made.plan
    assert first is not None
    walk = first.step(COAT_1).foot_ready
    assert walk is not None
    made.start(COAT_1)
    frozen.advance(130 * 60)
    made.finish(COAT_1)
    assert made.offered is not None, "an hour late: the setter must choose, and the old plan is on the wall"
    for _ in range(3):
        made.use_clock(frozen)
        assert made.plan is not None
        assert made.plan.step(COAT_1).foot_ready == walk + 60, "however often it is looked at"
        assert made.plan.step(COAT_1).state == "curing"
        frozen.advance(40 * 60)
    assert made.now() >= walk
    made.use_clock(frozen)
    assert made.plan.step(COAT_1).state == "done"
    made.close()


def test_a_lost_record_is_not_forgotten_because_a_plan_was_made_without_it(tmp_path: Path) -> None:
    made = session(tmp_path)
    made.start(COAT_1)
    made.close()
    (tmp_path / "job.record").unlink()
    for _ in range(2):
        again = session(tmp_path)
        again.replan()
        assert again.not_saved is not None
        assert "is gone, but job.plan.json tells of 3 events" in again.not_saved
        with pytest.raises(NotSaved):
            again.start(COAT_2)
        again.close()
    assert not (tmp_path / "job.record").exists()
