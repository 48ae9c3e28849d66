"""A job handed from one laptop to another through the real command."""

from pathlib import Path

import pytest

from planning.records.clock import SystemClock
from planning.records.record import Record
from tui.__main__ import main

JOB = '[job]\nname = "porch"\nzone = "America/Denver"\nstart = 2026-06-01\n[[room]]\nid = "porch"\nsize = "5 x 4 ft"\n'
JOB += 'in_from = ["outside"]\n'


@pytest.fixture(name="job")
def _job(tmp_path: Path) -> Path:
    path = tmp_path / "porch.toml"
    path.write_text(JOB, encoding="utf-8")
    with Record.open(path, SystemClock()) as record:
        record.append("note", {"why": "gate code is on the fridge"})
    return path


def test_an_export_read_in_elsewhere_has_the_same_job_and_the_same_events(job: Path, tmp_path: Path) -> None:
    assert main(["export", str(job)]) == 0
    other = tmp_path / "van"
    other.mkdir()
    assert main(["import", str(tmp_path / "porch.mudday.txt"), "--to", str(other)]) == 0
    with Record.open(other / "porch.toml", SystemClock()) as there, Record.open(job, SystemClock()) as here:
        assert there.events() == here.events()
    assert (other / "porch.toml").read_bytes() == job.read_bytes()


def test_a_damaged_export_is_refused_with_its_line(
    job: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", str(job)]) == 0
    text = tmp_path / "porch.mudday.txt"
    text.write_text(text.read_text(encoding="utf-8").replace("fridge", "bridge"), encoding="utf-8")
    assert main(["import", str(text), "--to", str(tmp_path / "elsewhere")]) == 2
    assert "porch.mudday.txt:" in capsys.readouterr().err


def test_a_whole_record_needs_no_rescue(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rescue", str(job)]) == 2
    assert "not damaged" in capsys.readouterr().err
