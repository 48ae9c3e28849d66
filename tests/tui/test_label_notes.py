"""A label noted in one job: it moves the plan, is kept for the next job, and an undo takes it out of both."""

import os
import shutil
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planning.job.problem import UnreadableError
from planning.records.clock import FrozenClock
from planning.records.own_labels import labels_said, read_labels
from planning.trade.materials import material_classes
from tui.cli.planner import HerePlanner
from tui.session import Session

DEMO = Path(__file__).parents[2] / "demo_jobs" / "two-room-rush.toml"


@contextmanager
def session_of(folder: Path, name: str = "job.toml") -> Iterator[Session]:
    path = folder / name
    if not path.exists():
        shutil.copy(DEMO, path)
    with closing(Session(path, FrozenClock(datetime(2026, 6, 1, 13, tzinfo=UTC)), HerePlanner(), at_once=False)) as it:
        it.load()
        yield it


def walk_of(session: Session) -> int:
    assert session.job is not None
    found = material_classes(session.job)["thin-set"].window("walk")
    assert found is not None
    assert found.minimum is not None
    return found.minimum.typical


def waits_of(session: Session) -> set[int]:
    return {
        link.wait.label.typical
        for step in session.steps
        for link in step.after
        if link.wait is not None and link.wait.material == "thin-set" and link.wait.window == "grout"
    }


def test_a_noted_label_counts_at_once_and_is_kept_for_the_next_job(tmp_path: Path) -> None:
    with session_of(tmp_path) as here:
        before = here.inputs_hash()
        here.note("label", {"class": "thin-set", "value": "foot 30 h, grout 31 h"})
        assert (walk_of(here), waits_of(here)) == (30 * 60, {31 * 60})
        assert here.inputs_hash() != before
        assert here.label_trouble is None
    with session_of(tmp_path, "next.toml") as following:
        assert (walk_of(following), waits_of(following)) == (30 * 60, {31 * 60})
        assert following.events == () or all(event.kind != "label" for event in following.events)


def test_an_undo_takes_it_out_of_this_job_and_of_what_is_kept_and_a_redo_brings_it_back(tmp_path: Path) -> None:
    with session_of(tmp_path) as here:
        ours, said, inputs = walk_of(here), labels_said(), here.inputs_hash()
        here.note("label", {"class": "thin-set", "value": "walk 30 h"})
        here.undo()
        assert (walk_of(here), labels_said(), here.inputs_hash()) == (ours, said, inputs)
        here.redo()
        assert walk_of(here) == 30 * 60
        assert "thin-set" in read_labels().labels


def test_an_undo_in_a_later_session_takes_it_back_too(tmp_path: Path) -> None:
    with session_of(tmp_path) as here:
        ours = walk_of(here)
        here.note("label", {"class": "thin-set", "value": "walk 30 h"})
    with session_of(tmp_path) as again:
        again.undo()
        assert walk_of(again) == ours


def test_an_undo_leaves_a_number_that_another_job_kept_since(tmp_path: Path) -> None:
    with session_of(tmp_path) as here:
        here.note("label", {"class": "thin-set", "value": "walk 30 h"})
        with session_of(tmp_path, "other.toml") as other:
            other.note("label", {"class": "thin-set", "value": "walk 26 h"})
        here.undo()
    assert read_labels().labels["thin-set"].windows["walk"][0].typical == 26 * 60


def test_a_label_that_cannot_be_read_is_not_noted(tmp_path: Path) -> None:
    with session_of(tmp_path) as here:
        count = len(here.events)
        with pytest.raises(UnreadableError):
            here.note("label", {"class": "thin-set", "value": "wlk 30 h"})
        assert len(here.events) == count


def test_a_label_that_cannot_be_kept_still_counts_here_and_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "no-folder").write_text("a file", encoding="utf-8")
    monkeypatch.setitem(os.environ, "MUDDAY_LABELS", str(tmp_path / "no-folder" / "labels.toml"))
    with session_of(tmp_path) as here:
        here.note("label", {"class": "thin-set", "value": "walk 30 h"})
        assert walk_of(here) == 30 * 60
        assert here.label_trouble is not None
        assert "not kept for the next" in here.label_trouble


def test_a_mistake_in_the_kept_labels_is_a_problem_of_the_job_with_its_file_and_line(tmp_path: Path) -> None:
    kept = Path(os.environ["MUDDAY_LABELS"])
    kept.parent.mkdir(parents=True)
    kept.write_text('[[material]]\nclass = "thin-set"\nwalk = "30"\n', encoding="utf-8")
    with session_of(tmp_path) as here:
        assert [(Path(each.file), each.line) for each in here.problems] == [(kept, 3)]
