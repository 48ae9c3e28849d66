"""A record that was cut to nothing, or is gone, is not taken for a new one while the files beside it know better."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record
from planning.records.record_witness import witness_of
from planning.records.rescue import rescue
from planning.records.saved_plan import write_saved
from planning.records.transfer import export, import_
from tests.planning.records.test_saved_plan import a_plan

SEVEN = datetime(2026, 6, 1, 13, tzinfo=UTC)
Hurt = Callable[[Path], None]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "house.toml"
    path.write_text("x")
    with Record.open(path, FrozenClock(SEVEN)) as record:
        for n in range(9):
            record.append("note", {"value": n})
        write_saved(path, a_plan(), "inputs", {}, len(record.rows()))
    return path


def emptied(record: Path) -> None:
    record.write_bytes(b"")


def spoiled(record: Path) -> None:
    record.write_bytes(record.read_bytes().replace(b'"value":4', b'"value":5'))


def values(job: Path) -> list[object]:
    with Record.open(job, FrozenClock(SEVEN)) as record:
        assert record.trouble is None
        return [event.body.get("value") for event in record.events() if event.kind == "note"]


@pytest.mark.parametrize("hurt", [emptied, Path.unlink], ids=["cut to nothing", "gone"])
@pytest.mark.parametrize("read_only", [False, True])
def test_a_saved_plan_that_counted_events_tells_of_a_lost_record(job: Path, hurt: Hurt, read_only: bool) -> None:
    hurt(job.with_suffix(".record"))
    before = sorted((p.name, p.read_bytes()) for p in job.parent.iterdir())
    with Record.open(job, FrozenClock(SEVEN), read_only=read_only) as record:
        assert record.trouble is not None
        assert "but house.plan.json tells of 10 events" in record.trouble
        assert "\n" not in record.trouble
        assert record.events() == ()
        with pytest.raises(NotSaved):
            record.append("note", {})
    assert sorted((p.name, p.read_bytes()) for p in job.parent.iterdir()) == before


@pytest.mark.parametrize("hurt", [emptied, Path.unlink], ids=["cut to nothing", "gone"])
def test_with_an_export_beside_it_the_rescue_brings_everything_back(job: Path, hurt: Hurt) -> None:
    export(job)
    hurt(job.with_suffix(".record"))
    done = rescue(job, FrozenClock(SEVEN))
    assert (done.events, done.lost) == (10, 0)
    assert values(job)[:9] == list(range(9))


@pytest.mark.parametrize("hurt", [emptied, Path.unlink, spoiled], ids=["cut to nothing", "gone", "damaged"])
def test_the_export_that_knows_more_is_not_written_over(job: Path, hurt: Hurt, tmp_path: Path) -> None:
    source = export(job)
    before = source.read_bytes()
    hurt(job.with_suffix(".record"))
    with pytest.raises(NotSaved, match=r"house\.mudday\.txt is left as it is"):
        export(job)
    assert source.read_bytes() == before
    assert export(job, tmp_path / "what-is-left.txt").exists()


def test_without_an_export_the_rescue_begins_anew(job: Path) -> None:
    job.with_suffix(".record").unlink()
    done = rescue(job, FrozenClock(SEVEN))
    assert (done.kept, done.events) == (None, 0)
    assert len(values(job)) == 1


def test_what_a_damaged_record_lost_comes_from_the_export_in_its_own_place(job: Path) -> None:
    export(job)
    spoiled(job.with_suffix(".record"))
    done = rescue(job, FrozenClock(SEVEN))
    assert (done.events, done.lost) == (10, 0)
    assert values(job)[:9] == list(range(9))


def test_an_import_into_the_folder_of_a_lost_record_is_taken(job: Path) -> None:
    source = export(job)
    job.with_suffix(".record").unlink()
    assert import_(source, job.parent).added == 10
    assert values(job) == list(range(9))


def test_a_record_cut_to_nothing_while_it_is_open_is_noticed_before_anything_is_noted(job: Path) -> None:
    with Record.open(job, FrozenClock(SEVEN)) as record:
        emptied(record.path)
        with pytest.raises(NotSaved):
            record.append("note", {})
        assert record.trouble is not None
        assert record.path.read_bytes() == b""


def test_a_job_on_which_nothing_was_noted_has_no_witness(tmp_path: Path) -> None:
    job = tmp_path / "new.toml"
    job.write_text("x")
    write_saved(job, a_plan(), "inputs")
    export(job)
    assert witness_of(job.with_suffix(".record")) is None
    with Record.open(job, FrozenClock(SEVEN)) as record:
        assert record.trouble is None
        record.append("note", {})


@pytest.mark.parametrize("text", ["", "no export at all", "mudday export 1\n"])
def test_a_witness_that_cannot_be_read_is_none(tmp_path: Path, text: str) -> None:
    job = tmp_path / "new.toml"
    for end in (".plan.json", ".mudday.txt"):
        job.with_suffix(end).write_text(text)
    assert witness_of(job.with_suffix(".record")) is None


def test_an_export_of_another_job_is_no_witness(job: Path, tmp_path: Path) -> None:
    other = tmp_path / "barn.toml"
    other.write_text("y")
    export(job, tmp_path / "barn.mudday.txt")
    assert witness_of(other.with_suffix(".record")) is None
