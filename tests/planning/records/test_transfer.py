"""Carrying a job to another laptop: the round trip is exact, and a damaged text is refused by line."""

import json
import random
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planning.job.events import EVENT_KINDS
from planning.records.clock import FrozenClock
from planning.records.not_saved import NotSaved
from planning.records.record import Record
from planning.records.record_row import Row
from planning.records.transfer import export, export_text, import_
from planning.records.transfer_text import BadExportError, Carried, file_name_fault, read_text, to_text

SEVEN = datetime(2026, 6, 1, 13, 0, tzinfo=UTC)
JOB = '[job]\nname = "café"  # mine\n\n\n[[room]]\r\nid = "a"\t\n  size = "5 x 5 ft" \nno end'


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "van"
    folder.mkdir()
    path = folder / "house.toml"
    path.write_bytes(JOB.encode())
    return path


@pytest.fixture
def office(tmp_path: Path) -> Path:
    folder = tmp_path / "office"
    folder.mkdir()
    return folder


def note_some(job: Path, count: int = 5, start: int = 0) -> None:
    clock = FrozenClock(SEVEN, 50.25, "b1")
    with Record.open(job, clock) as record:
        for n in range(start, start + count):
            clock.advance(61.5)
            record.append("note", {"value": f"é {n} \x1b[31m\u2028", "n": n, "x": [1.5, None, True, 10**30]})


def rows_of(job: Path) -> tuple[Row, ...]:
    with Record.open(job, FrozenClock(SEVEN), read_only=True) as record:
        return record.rows()


def test_the_round_trip_is_exact(job: Path, office: Path) -> None:
    note_some(job)
    done = import_(export(job), office)
    assert (done.added, done.only_here) == (6, 0)
    assert done.job_path.read_bytes() == job.read_bytes()
    assert rows_of(done.job_path) == rows_of(job)
    assert export_text(done.job_path) == export_text(job)


def test_the_text_is_readable_and_carries_no_control_characters(job: Path) -> None:
    note_some(job, 1)
    text = export_text(job)
    assert 'text name = "café"  # mine' in text
    assert all(line.isprintable() for line in text.split("\n"))


@pytest.mark.parametrize("newline", ["\r\n", "\n"])
def test_line_ends_changed_on_the_way_and_blank_lines_at_the_end_do_no_harm(
    job: Path, office: Path, newline: str
) -> None:
    note_some(job)
    text = "\ufeff" + export_text(job).replace("\n", newline) + newline * 3
    source = office / "mail.txt"
    source.write_bytes(text.encode())
    assert import_(source, office).job_path.read_bytes() == job.read_bytes()


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    job=st.one_of(st.binary(max_size=300), st.text(max_size=300).map(lambda t: t.encode("utf-8", "replace"))),
    values=st.lists(
        st.tuples(
            st.sampled_from(sorted(set(EVENT_KINDS) - {"undone", "corrected"})),
            st.recursive(
                st.none()
                | st.booleans()
                | st.integers()
                | st.floats(allow_nan=False, allow_infinity=False)
                | st.text(),
                lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
                max_leaves=8,
            ),
        ),
        max_size=6,
    ),
)
def test_any_job_and_any_events_come_back(job: bytes, values: list[tuple[str, object]]) -> None:
    rows = tuple(
        Row(n, f"id{n}", SEVEN.isoformat(), -360, kind, _stored(value), "b1,1.500")
        for n, (kind, value) in enumerate(values, 1)
    )
    carried = Carried("house.toml", job, rows)
    assert read_text("x.txt", to_text(carried).encode()) == carried


def _stored(value: object) -> str:
    text = json.dumps({"value": value}, ensure_ascii=False, separators=(",", ":"))
    return text.encode("utf-8", "replace").decode()


def test_every_changed_or_missing_line_is_refused_by_its_number(job: Path, office: Path) -> None:
    note_some(job)
    lines = export_text(job).split("\n")[:-1]
    chance = random.Random(3)
    seen = 0
    for number in range(5, len(lines)):
        at = chance.randrange(len(lines[number]))
        letter = "z" if lines[number][at] != "z" else "y"
        changed = [*lines[:number], lines[number][:at] + letter + lines[number][at + 1 :], *lines[number + 1 :]]
        assert refusal(changed).startswith(f"x.txt:{number + 1}: the line was changed or is out of place; ")
        gone = lines[:number] + lines[number + 1 :]
        assert refusal(gone).startswith(f"x.txt:{number + 1 if number < len(gone) else len(gone)}: ")
        twice = [*lines[: number + 1], *lines[number:]]
        assert refusal(twice).startswith(f"x.txt:{number + 2}: ")
        assert ": the end is missing; " in refusal(lines[:number])
        seen += 4
    assert seen > 60


def refusal(lines: list[str]) -> str:
    with pytest.raises(BadExportError) as caught:
        read_text("x.txt", "\n".join(lines).encode())
    line = str(caught.value)
    assert "\n" not in line
    return line


@pytest.mark.parametrize(
    "data",
    [b"", b"hello", b"\xff\xfe\x00", b"mudday export 1", b"mudday export 2\n", b"mudday export 1\n\n\n\n\n[]\n" * 9],
)
def test_any_other_file_is_refused_in_one_line_and_nothing_is_written(office: Path, data: bytes) -> None:
    source = office / "mail.txt"
    source.write_bytes(data)
    with pytest.raises(BadExportError, match=r"^mail\.txt:\d+: [^\n]+; [^\n]+$"):
        import_(source, office)
    assert [p.name for p in office.iterdir()] == ["mail.txt"]


def test_no_file_and_a_folder_are_refused_in_one_line(office: Path) -> None:
    for source in (office / "none.txt", office):
        with pytest.raises(BadExportError, match="cannot be read"):
            import_(source, office)


@pytest.mark.parametrize(
    "name",
    [
        "../evil.toml", "/etc/evil.toml", "..", "a/b.toml", "a\\b.toml", "c:evil.toml", ".bashrc", ".hidden.toml",
        "x.py", "nul.toml", "COM1.x.toml", "a\x1b[2J.toml", "-rf.toml", "x" * 200 + ".toml", " a.toml", "",
        "a.toml\n", "a*.toml",
    ],
)  # fmt: skip
def test_a_name_from_outside_cannot_lead_out_of_the_folder(office: Path, name: str) -> None:
    source = office / "mail.txt"
    source.write_text(to_text(Carried(name, b"x", ())))
    with pytest.raises(BadExportError, match="plain name"):
        import_(source, office)
    assert [p.name for p in office.iterdir()] == ["mail.txt"]
    assert import_(source, office, name="mine.toml").job_path == office / "mine.toml"


@pytest.mark.parametrize("name", ["house.toml", "three rooms.toml", "Café 2.toml", "console.toml"])
def test_plain_names_are_taken(name: str) -> None:
    assert file_name_fault(name) is None


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("kind", "strated"), ("at", "yesterday"), ("at", "2026-06-01T13:00:00"), ("at", "2026-06-01T07:00:00-06:00"),
        ("at", 5), ("offset", 1.5), ("offset", 10**9), ("offset", True), ("id", ""), ("id", 7), ("id", "a\x1b"),
        ("body", []), ("body", "x"), ("boot", "x"), ("boot", 1), ("seq", 1), ("kind", "undone"), ("kind", "corrected"),
    ],
)  # fmt: skip
def test_an_event_that_could_not_have_been_noted_is_refused(key: str, value: object) -> None:
    good: dict[str, object] = {"at": SEVEN.isoformat(), "offset": 0, "kind": "note", "body": {}, "id": "a", "boot": ""}
    text = to_text(Carried("a.toml", b"", (Row(1, "a", SEVEN.isoformat(), 0, "note", "{}", ""),)))
    assert read_text("x.txt", text.encode()).rows[0].id == "a"
    old = next(line[9:] for line in text.split("\n") if " event " in line and line[9:].startswith("event"))
    forged = text.replace(old, "event " + json.dumps({**good, key: value}))
    with pytest.raises(BadExportError, match=r"x\.txt:8: "):
        read_text("x.txt", _summed_again(forged).encode())


def _summed_again(text: str) -> str:
    from planning.records.transfer_text import INTRO, _sum

    lines = text.split("\n")
    start = 1 + len(INTRO)
    return "\n".join(
        f"{_sum(n - start, line[9:])} {line[9:]}" if n >= start and line else line for n, line in enumerate(lines)
    )


def test_importing_twice_adds_nothing(job: Path, office: Path) -> None:
    note_some(job)
    source = export(job)
    import_(source, office)
    again = import_(source, office)
    assert (again.added, again.only_here) == (0, 0)


def test_two_laptops_that_both_noted_lose_nothing(job: Path, office: Path) -> None:
    note_some(job, 2)
    there = import_(export(job), office).job_path
    note_some(job, 2, start=10)
    note_some(there, 3, start=20)
    done = import_(export(there), job.parent)
    assert (done.added, done.only_here) == (3, 2)
    ids = [row.id for row in rows_of(job)]
    assert len(ids) == len(set(ids)) == 3 + 2 + 3
    assert [row.seq for row in rows_of(job)] == list(range(1, 9))


def test_a_job_file_that_went_on_elsewhere_comes_back_but_a_strange_one_is_not_overwritten(
    job: Path, office: Path
) -> None:
    note_some(job)
    there = import_(export(job), office).job_path
    there.write_text("[job]\nname = 'more'\n")
    with Record.open(there, FrozenClock(SEVEN)) as record:
        record.note_job_file()
    export(there, office / "back.txt")
    import_(office / "back.txt", job.parent)
    assert job.read_text() == there.read_text()
    job.write_text("edited here too\n")
    with pytest.raises(NotSaved, match="differs"):
        import_(office / "back.txt", job.parent)
    assert job.read_text() == "edited here too\n"
    import_(office / "back.txt", job.parent, replace=True)
    assert job.read_text() == there.read_text()


def test_a_job_without_a_record_is_carried_too(job: Path, office: Path) -> None:
    done = import_(export(job), office)
    assert (done.added, done.job_path.read_bytes()) == (0, JOB.encode())
    assert sorted(p.name for p in office.iterdir()) == ["house.toml"]
    assert sorted(p.name for p in job.parent.iterdir()) == ["house.mudday.txt", "house.toml"]


def test_no_job_file_is_one_clear_line(office: Path) -> None:
    with pytest.raises(NotSaved, match=r"none\.toml cannot be read"):
        export_text(office / "none.toml")


def test_a_link_out_of_the_folder_is_not_written_through(job: Path, office: Path, tmp_path: Path) -> None:
    (tmp_path / "outside.toml").write_text("mine")
    (office / "house.toml").symlink_to(tmp_path / "outside.toml")
    with pytest.raises(NotSaved, match="link to another folder"):
        import_(export(job), office)
    assert (tmp_path / "outside.toml").read_text() == "mine"
