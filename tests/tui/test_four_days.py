"""A demo job worked through four days by the command line, with bad luck: what is handed over at the end of each."""

import re
from pathlib import Path

import pytest
from icalendar import Calendar

from planning.handover.told import told_notes
from planning.records.record import Record
from tests.command_line import AtOnce
from tests.four_days import BAD_LUCK, DAYS, HAND_OVER, Drive, printed
from tests.planning.handover.test_page import RUNS, read

DEMO = Path(__file__).parents[2] / "demo_jobs" / "two-room-rush.toml"
SECRETS = ("303-555", "$120", "wages", "owed Sam")


EVERY_DAY = ("owner.txt", "contractor.txt", "stay-off.txt", "calendar.ics")
LAST_DAY = (*EVERY_DAY, "release.txt", "drive-off.txt", "packet.txt", "owner.html", "release.html", "owner.ics")
"""What is looked at on the first days, and on the last; `python -m tests.four_days` keeps everything of every day."""


@pytest.fixture(scope="module")
def days(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, str]]:
    """Everything handed over, day by day; under "folder" where the files lie."""
    folder = tmp_path_factory.mktemp("four-days")
    job = folder / "job.toml"
    job.write_bytes(DEMO.read_bytes())
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("MUDDAY_LABELS", str(folder / "labels.toml"))
        patched.setattr("tui.cli.opening.HerePlanner", AtOnce)
        drive = Drive(job, printed)
        found = [drive.day(day, EVERY_DAY) for day in DAYS[:-1]]
        found.append(drive.day(DAYS[-1], LAST_DAY))
        found[-1]["folder"] = str(folder)
        for words in (("hours",), ("learn",), ("told",)):
            found[-1][words[0]] = printed(*words, str(job), "--now", f"{DAYS[-1]} 16:10")
    return found


def text(pages: dict[str, str], name: str) -> str:
    return " ".join(pages[name].split())


def test_every_evening_hands_over_notes_sheets_and_a_calendar(days: list[dict[str, str]]) -> None:
    assert set(LAST_DAY) <= set(days[-1])
    for n, pages in enumerate(days):
        assert set(EVERY_DAY) <= set(pages)
        assert all(text.strip() for text in pages.values()), n
        assert "DONE TODAY" in pages["owner.txt"]
        assert "PEOPLE AND HOURS" in pages["contractor.txt"]
        assert "PEOPLE AND HOURS" not in pages["owner.txt"]


def test_nothing_private_leaves_on_any_page_of_any_day(days: list[dict[str, str]]) -> None:
    for pages in days:
        for name in (each for each in pages if each in HAND_OVER and each != "drive-off.txt"):
            assert not [secret for secret in SECRETS if secret in pages[name]], name


def test_what_was_found_and_ran_late_stands_in_the_note_of_its_day_with_its_reason(days: list[dict[str, str]]) -> None:
    first = text(days[0], "owner.txt")
    assert "a joist is soft, ask Sam (kept back)" in first
    assert f"{BAD_LUCK.late[DAYS[0]]} min: the old glue would not come off" in first
    assert "One of us had to leave at 1:10." in text(days[2], "contractor.txt")
    assert "K4471" in days[1]["contractor.txt"]
    assert "66 F, 58 %" in days[2]["contractor.txt"]


def test_the_second_note_and_all_after_it_say_what_moved_since_the_last(days: list[dict[str, str]]) -> None:
    assert "SINCE" not in days[0]["owner.txt"]
    for pages, since in zip(days[1:], ("MON 1 JUN", "TUE 2 JUN", "WED 3 JUN"), strict=True):
        assert f"SINCE {since}" in pages["owner.txt"]
        said = pages["owner.txt"].split(f"SINCE {since}")[1].split("DONE TODAY")[0]
        assert "No date we told you has moved." in said or ("was " in said and "Because: " in said)


def test_every_note_is_kept_once_for_each_reader_and_can_be_shown_again(days: list[dict[str, str]]) -> None:
    """Text, page and Markdown of one evening are one note."""
    record = Record.open(Path(days[-1]["folder"]) / "job.toml", None, True, None)  # type: ignore[arg-type]  # only read
    told = [event for event in record.events() if event.kind == "told" and event.body.get("what") == "snapshot"]
    record.close()
    assert [(event.body["for"], event.body["day"]) for event in told] == [
        (reader, day) for day in DAYS for reader in ("owner", "contractor")
    ]
    assert told_notes(told)[0].text == days[0]["owner.txt"]
    assert [line.split()[-1] for line in days[-1]["told"].splitlines()] == ["owner", "contractor"] * 4


def test_every_page_reads_back_runs_nothing_and_shows_the_picture(days: list[dict[str, str]]) -> None:
    for name in (each for each in LAST_DAY if each.endswith(".html")):
        reader = read(days[-1][name])
        assert not RUNS & set(reader.tags)
        assert reader.tags.count("svg") == (1 if name.startswith(("owner", "contractor")) else 0)


def test_each_calendar_reads_back_and_updates_the_one_before(days: list[dict[str, str]]) -> None:
    known: dict[str, int] = {}
    for pages in days:
        entries = [each for each in Calendar.from_ical(pages["calendar.ics"]).walk() if each.name == "VEVENT"]
        table = {str(each["uid"]): each for each in entries}
        assert len(table) == len(entries)
        assert all(int(entry["sequence"]) > known.get(uid, 0) for uid, entry in table.items())
        kept = known.keys() & table.keys()
        assert not known or kept, "no entry kept its id"
        known = {uid: int(entry["sequence"]) for uid, entry in table.items()}
    assert any("WINDOW" in pages["calendar.ics"] for pages in days)
    assert Calendar.from_ical(days[-1]["owner.ics"])


def test_safe_is_never_before_usual_in_the_release_table(days: list[dict[str, str]]) -> None:
    rows = re.findall(r"(\d+) (Jun|Jul) \S+ [ap]m\s+\w+ (\d+) (Jun|Jul) \S+ [ap]m", days[-1]["release.txt"])
    assert rows
    for usual_day, usual_month, safe_day, safe_month in rows:
        months = {"Jun": 6, "Jul": 7}
        assert (months[usual_month], int(usual_day)) <= (months[safe_month], int(safe_day))


def test_the_list_before_driving_off_asks_for_what_the_evening_left_behind(days: list[dict[str, str]]) -> None:
    assert "BEFORE YOU DRIVE OFF" in days[-1]["drive-off.txt"]
    taped = [room for room in ("laundry", "hall bath") if f"at the door: {room}" in days[-1]["drive-off.txt"]]
    sheets = [room for room in ("laundry", "hall bath") if room.upper() in days[-1]["stay-off.txt"]]
    assert taped == sheets


def test_the_hours_and_the_pace_of_the_week_come_out_of_its_record(days: list[dict[str, str]]) -> None:
    assert "WHERE THEY WENT" in days[-1]["hours"]
    assert re.search(r"tear-out +\d+ h \d\d +\d+ h \d\d", days[-1]["hours"])
    assert "too few to say" in days[-1]["learn"]
    folder = Path(days[-1]["folder"])
    assert (folder / "job.toml").read_bytes() == DEMO.read_bytes(), "learning changes nothing by itself"
    assert (folder / "job.mudday.txt").exists(), "a spare copy goes with each note"
