"""The record: events in the order of noting, never changed, and one clear line whenever nothing can be noted."""

import hashlib
import json
import sqlite3
import tempfile
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from planning.job.events import effective
from planning.records import record_file
from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record
from tests.reliability.other_user import run_unprivileged

SEVEN = datetime(2026, 6, 1, 13, 0, tzinfo=UTC)


@pytest.fixture
def clock() -> FrozenClock:
    return FrozenClock(SEVEN, boot=100.0, boot_id="b1")


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "three_rooms.toml"
    path.write_text('[job]\nname = "x"\n')
    return path


def test_opening_writes_nothing_and_the_first_event_names_the_job_file(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        assert record.events() == ()
        assert not record.path.exists()
        record.append("started", {"step": "a/b/c"})
        first, second = record.events()
    assert first.kind == "job_file"
    assert first.body == {"file": job.name, "sha256": hashlib.sha256(job.read_bytes()).hexdigest()}
    assert (second.kind, second.body, second.at, second.seq) == ("started", {"step": "a/b/c"}, SEVEN, 2)


def test_what_was_appended_is_there_after_reopening(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        noted = [record.append("note", {"value": f"é {n}", "list": [1, {"a": None}]}) for n in range(5)]
        assert record.events()[1:] == tuple(noted)
    with Record.open(job, clock) as record:
        assert record.events()[1:] == tuple(noted)
        assert record.trouble is None
    assert sorted(p.name for p in job.parent.iterdir()) == ["three_rooms.record", "three_rooms.toml"]


def test_the_safe_modes_are_on_and_the_file_says_what_it_is(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        record.append("note", {})
        assert record._link is not None
        assert record_file.modes(record._link) == ("truncate", 3)
    link = sqlite3.connect(record.path)
    assert link.execute("PRAGMA application_id").fetchone() == (record_file.APPLICATION_ID,)
    assert link.execute("PRAGMA user_version").fetchone() == (record_file.FORMAT,)
    link.close()


@pytest.mark.parametrize(
    "sql",
    [
        "DELETE FROM event WHERE seq = 1",
        "UPDATE event SET kind = 'late'",
        "INSERT OR REPLACE INTO event VALUES (1, 'x', 'x', 0, 'note', '{}', '', 0)",
        "INSERT INTO event VALUES (9, 'x', 'x', 0, 'note', '{}', '', 0)",
    ],
)
def test_the_file_itself_refuses_changes(job: Path, clock: FrozenClock, sql: str) -> None:
    with Record.open(job, clock) as record:
        record.append("note", {})
    link = sqlite3.connect(record.path)
    with pytest.raises(sqlite3.IntegrityError, match="events"):
        link.execute(sql)
    link.close()


def test_the_same_id_again_is_one_event(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        first = record.append("finished", {"step": "s"}, event_id="tap-1")
        clock.advance(3)
        assert record.append("finished", {"step": "s"}, event_id="tap-1") == first
        assert len(record.events()) == 2


def test_a_backdated_event_keeps_the_time_of_noting(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        event = record.append("started", {"step": "s"}, at=SEVEN - timedelta(minutes=20))
        assert event.at == SEVEN - timedelta(minutes=20)
        assert event.body == {"step": "s", "noted_at": SEVEN.isoformat()}
        near = record.append("started", {"step": "s"}, at=SEVEN - timedelta(seconds=59))
        assert "noted_at" not in near.body


def test_a_corrected_time_stands_and_the_old_mark_stays(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        wrong = record.append("started", {"step": "s"})
        right = SEVEN - timedelta(hours=1)
        record.append("corrected", {"event": wrong.id, "at": right.isoformat()})
        assert [e.at for e in effective(record.events()) if e.kind == "started"] == [right]
        assert [e.at for e in record.events() if e.kind == "started"] == [SEVEN]


def test_the_offset_is_the_sites_at_that_time(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock, zone=ZoneInfo("America/Denver")) as record:
        assert record.append("note", {}).utc_offset_min == -360
        assert record.append("note", {}, at=datetime(2026, 1, 5, 15, tzinfo=UTC)).utc_offset_min == -420
    with Record.open(job, clock) as record:
        at = datetime(2026, 6, 1, 8, tzinfo=timezone(timedelta(hours=-5)))
        event = record.append("note", {}, at=at)
        assert (event.at, event.utc_offset_min) == (at, -300)


@pytest.mark.parametrize(
    ("kind", "body", "word"),
    [
        ("strated", {}, "no event of kind"),
        ("undone", {}, "id of another event"),
        ("corrected", {"event": 5, "at": "2026-06-01T07:00-06:00"}, "id of another event"),
        ("corrected", {"event": "x", "at": "2026-06-01T07:00"}, "with an offset"),
        ("corrected", {"event": "x", "at": "7:00"}, "isoformat"),
        ("note", {"value": object()}, "JSON"),
        ("note", {"value": float("nan")}, "JSON"),
        ("note", {"value": "x" * 5_000_000}, "characters"),
    ],
)
def test_what_no_event_can_be_is_refused(
    job: Path, clock: FrozenClock, kind: str, body: dict[str, object], word: str
) -> None:
    with Record.open(job, clock) as record, pytest.raises(ValueError, match=word):
        record.append(kind, body)
    assert not record.path.exists()


def test_a_body_nested_without_end_is_refused(job: Path, clock: FrozenClock) -> None:
    deep: list[object] = []
    for _ in range(100_000):
        deep = [deep]
    with Record.open(job, clock) as record, pytest.raises(ValueError, match="JSON"):
        record.append("note", {"value": deep})


def test_a_wrong_byte_from_the_command_line_does_not_stop_a_note(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        assert record.append("note", {"value": "bad \udcff byte"}).body == {"value": "bad ? byte"}


def test_a_time_without_a_zone_is_refused(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record, pytest.raises(ValueError, match="no zone"):
        record.append("note", {}, at=datetime(2026, 6, 1))  # noqa: DTZ001 - the mistake under test


def test_another_window_sees_each_event_and_is_told_once(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as one, Record.open(job, clock) as two:
        assert not two.changed()
        one.append("note", {"value": "1"})
        assert two.changed()
        assert not two.changed()
        assert two.events() == one.events()
        two.append("note", {"value": "2"})
        assert one.changed()
        assert not two.changed()
        assert [e.body.get("value") for e in one.events()] == [None, "1", "2"]


def test_a_locked_record_says_so_and_the_next_try_works(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        record.append("note", {})
        assert record._link is not None
        record._link.execute("PRAGMA busy_timeout=20")
        other = sqlite3.connect(record.path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(NotSaved, match="another window") as caught:
            record.append("note", {"value": "again"})
        assert str(caught.value).startswith("NOT SAVED: ")
        other.execute("ROLLBACK")
        other.close()
        event = record.append("note", {"value": "again"}, event_id=caught.value.event_id)
        assert event.id == caught.value.event_id


def test_opened_for_viewing_nothing_is_made_and_nothing_noted(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock, read_only=True) as record:
        assert record.events() == ()
        assert record.trouble is None
        with pytest.raises(NotSaved, match="opened for viewing"):
            record.append("note", {})
    assert not record.path.exists()


def test_a_viewer_finishes_the_crash_of_a_dead_writer(job: Path, clock: FrozenClock, tmp_path: Path) -> None:
    with Record.open(job, clock) as record:
        record.append("note", {"value": "kept"})
    journal = _hot_copy(record.path, tmp_path / "crashed")
    assert journal.stat().st_size > 0
    with Record.open(tmp_path / "crashed" / job.name, clock, read_only=True) as viewer:
        assert [e.body.get("value") for e in viewer.events()] == [None, "kept"]
        assert viewer.trouble is None


def _hot_copy(path: Path, folder: Path) -> Path:
    """The record as a writer leaves it that dies with changed pages on disk and the journal not yet emptied."""
    folder.mkdir()
    link = sqlite3.connect(path, isolation_level=None)
    link.execute("PRAGMA cache_size=1")
    link.execute("PRAGMA cache_spill=1")
    link.execute("BEGIN IMMEDIATE")
    link.execute("DROP TRIGGER event_next")
    for n in range(3, 200):
        link.execute("INSERT INTO event VALUES (?, ?, 'x', 0, 'note', '{}', '', 0)", (n, "x" * 200 + str(n)))
    journal = path.with_name(path.name + "-journal")
    for each in (path, journal):
        (folder / each.name).write_bytes(each.read_bytes())
    link.execute("ROLLBACK")
    link.close()
    return folder / journal.name


def test_a_job_file_edited_under_the_record_is_noticed_once_it_is_noted(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        assert not record.job_file_changed()
        record.append("note", {})
        assert not record.job_file_changed()
        job.write_text("[job]\nname = 'y'\n")
        assert record.job_file_changed()
        noted = record.note_job_file()
        assert noted is not None
        assert noted.kind == "job_file"
        assert record.note_job_file() is None


def test_a_record_moved_away_while_open_takes_nothing_until_it_is_back(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        record.append("note", {"value": "1"})
        away = record.path.rename(record.path.with_suffix(".away"))
        with pytest.raises(NotSaved, match="is gone; put it back"):
            record.append("note", {"value": "2"})
        assert len(record.events()) == 2
        away.rename(record.path)
        record.append("note", {"value": "2"})
        assert record.trouble is None
    with Record.open(job, clock) as again:
        assert [e.body.get("value") for e in again.events()] == [None, "1", "2"]


def test_a_record_replaced_while_open_is_taken_up_before_anything_is_noted(
    job: Path, clock: FrozenClock, tmp_path: Path
) -> None:
    other_job = tmp_path / "other.toml"
    other_job.write_text("x")
    with Record.open(other_job, clock) as other:
        other.append("note", {"value": "other"})
    with Record.open(job, clock) as record:
        record.append("note", {"value": "1"})
        record.append("note", {"value": "2"})
        other.path.rename(record.path)
        assert record.changed()
        record.append("note", {"value": "3"})
        assert [e.body.get("value") for e in record.events()] == [None, "other", "3"]


def test_a_link_to_another_folder_is_not_followed(job: Path, clock: FrozenClock, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    record_file.record_path(job).symlink_to(elsewhere / "x.record")
    with Record.open(job, clock) as record:
        assert "link to another folder" in str(record.trouble)
        with pytest.raises(NotSaved, match="link to another folder"):
            record.append("note", {})
    assert list(elsewhere.iterdir()) == []


@pytest.mark.parametrize("data", [b"hello", b"SQLite format 3\0" + b"\0" * 200, b"\0" * 5000, b"x" * 100_000])
def test_a_file_that_is_no_record_is_left_as_it_is(job: Path, clock: FrozenClock, data: bytes) -> None:
    path = record_file.record_path(job)
    path.write_bytes(data)
    with Record.open(job, clock) as record:
        assert "damaged" in str(record.trouble)
        assert "\n" not in str(record.trouble)
        assert record.events() == ()
        with pytest.raises(NotSaved, match="damaged"):
            record.append("note", {})
    assert path.read_bytes() == data
    assert sorted(p.name for p in job.parent.iterdir()) == sorted([job.name, path.name])


def test_a_name_with_terminal_escapes_does_not_reach_the_screen(tmp_path: Path, clock: FrozenClock) -> None:
    job = tmp_path / "a\x1b[2J\nb.toml"
    record_file.record_path(job).write_bytes(b"damaged")
    with Record.open(job, clock) as record:
        assert str(record.trouble).startswith("a?[2J?b.record is damaged")
        with pytest.raises(NotSaved) as caught:
            record.append("note", {})
        assert str(caught.value).isprintable()


def test_a_record_of_a_later_format_is_not_touched_and_said_to_be_later(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        record.append("note", {})
    link = sqlite3.connect(record.path)
    link.execute("PRAGMA user_version=2")
    link.close()
    with Record.open(job, clock) as record:
        assert "is of format 2, this mudday reads format 1" in str(record.trouble)
        assert len(record.events()) == 2


def test_a_record_that_is_only_half_readable_shows_the_rest(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        for n in range(20):
            record.append("note", {"value": f"marker-{n:02}"})
    data = record.path.read_bytes().replace(b"marker-07", b"marker-x7")
    record.path.write_bytes(data)
    with Record.open(job, clock) as record:
        assert "20 events can be read, 1 cannot" in str(record.trouble)
        assert "marker-08" in [e.body.get("value") for e in record.events()]
    assert record.path.read_bytes() == data


def test_in_a_read_only_folder_or_file_it_opens_for_viewing() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        job = folder / "a.toml"
        job.write_text("x")
        with Record.open(job, FrozenClock(SEVEN)) as record:
            record.append("note", {"value": "1"})
        record.path.chmod(0o644)
        seen, trouble, refusal = run_unprivileged(lambda: _view(job))
    assert seen == 2
    assert "read-only" in trouble
    assert "read-only" in refusal
    assert "\n" not in trouble + refusal


def _view(job: Path) -> tuple[int, str, str]:
    with Record.open(job, FrozenClock(SEVEN)) as record:
        try:
            record.append("note", {})
        except NotSaved as wrong:
            return len(record.events()), str(record.trouble), wrong.reason
        return len(record.events()), str(record.trouble), "it was saved"


def test_doubt_about_the_clock_comes_from_the_last_event(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        assert record.doubt() == 0
        record.append("note", {}, at=SEVEN - timedelta(hours=5))
    clock.advance(3600)
    with Record.open(job, clock) as record:
        assert record.doubt() == 0
    clock.jump_wall(86400)
    with Record.open(job, clock) as record:
        assert record.doubt() == 86400


def test_a_note_made_with_another_now_is_no_reason_to_doubt_the_clock(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        record.append("note", {})
    with Record.open(job, FrozenClock(SEVEN + timedelta(days=30))) as record:
        record.append("note", {})
    clock.advance(60)
    with Record.open(job, clock) as record:
        assert record.doubt() == 0


def test_events_alone_finds_a_record_made_by_another_window(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as early, Record.open(job, clock) as other:
        other.append("note", {"value": "1"})
        assert [e.body.get("value") for e in early.events()] == [None, "1"]


def test_a_commit_that_fails_leaves_a_record_that_works(job: Path, clock: FrozenClock) -> None:
    with Record.open(job, clock) as record:
        record.append("note", {"value": "1"})
        assert record._link is not None
        record._link.execute("PRAGMA max_page_count=1")
        pages = record._link.execute("PRAGMA page_count").fetchone()[0]
        with pytest.raises(NotSaved, match="make room"):
            record.append("note", {"value": "x" * 100_000})
        record._link.execute(f"PRAGMA max_page_count={pages + 100}")
        record.append("note", {"value": "3"})
        assert [e.body.get("value") for e in record.events()] == [None, "1", "3"]


def test_what_was_noted_cannot_move_the_cursor_or_turn_the_text_round_but_is_kept_as_it_was(
    job: Path, clock: FrozenClock
) -> None:
    nasty = "a\x1b[2Jb\x07\x9b31mc\u202ed\r\ne\u2028f\U000e0041"
    with Record.open(job, clock) as record:
        event = record.append("note", {"value": nasty, "list": [{nasty: nasty}], "plain": "é 日本 👷 \\n [b] <i>"})
        assert event.body["value"] == "a?[2Jb??31mc?d e f?"
        assert event.body["list"] == [{"a?[2Jb??31mc?d e f?": "a?[2Jb??31mc?d e f?"}]
        assert event.body["plain"] == "é 日本 👷 \\n [b] <i>"
        assert json.loads(record.rows()[-1].body)["value"] == nasty
