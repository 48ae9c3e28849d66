"""Names and notes from a file are words and nothing else: on the screen, in notes, on door sheets, in the calendar."""

import json
import shutil
from datetime import timedelta
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import icalendar
import pytest

from planning.job.plan import Plan
from planning.records.clock import FrozenClock
from planning.records.job_file import read_job
from planning.records.record import Record
from planning.records.saved_plan import write_saved
from planning.schedule.make_plan import make_plan
from planning.trade.expand import expand
from tests.command_line import SEVEN, AtOnce, in_process
from tests.job_files import ONE_FLOOR
from tests.reliability.test_command_fuzz import NOW
from tests.tui.screen_bench import Still, grid, opened, press, stored_page
from tui.app import MuddayApp
from tui.cli.parser import COMMANDS

JOB_NAME = "[red]two[/red] <b>baths</b> $(id) %s"
ROOM_NAME = "[bold]wash[/bold];DESCRIPTION:x"
WHO = "Jo </p> [link=x]"
NASTY = "\x1b[2J\x1b]0;t\x07[blink]wet[/blink]\r\nEND:VEVENT\r\nBEGIN:VALARM\u202e<script>\x9b31m"
HOSTILE = (
    ONE_FLOOR.replace('name = "one floor"', f'name = "{JOB_NAME}"')
    .replace('id = "laundry"', f'id = "laundry"\nname = "{ROOM_NAME}"')
    .replace('name = "you"', f'name = "{WHO}"')
)


@pytest.fixture
def job(memory_folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A job whose names are markup, and whose record, made elsewhere, holds what a terminal would obey."""
    monkeypatch.setattr("tui.cli.opening.HerePlanner", AtOnce)
    path = memory_folder / "floor.toml"
    path.write_text(HOSTILE)
    with Record.open(path, FrozenClock(SEVEN)) as record:
        for kind in ("note", "found", "told", "extra_work", "photo"):
            record.append(kind, {"room": "laundry", "value": NASTY, "why": NASTY})
        record.append("started", {"step": "laundry/plain-tile-floor/check-flat", "why": NASTY})
    return path


def unseemly(text: str) -> list[str]:
    return [each for each in text if not each.isprintable() and each != "\n"]


@pytest.mark.parametrize(
    "words", [["plan"], ["record"], ["snapshot", "--long"], ["stay-off"], ["release"], ["clocks"], ["pull"], ["check"]]
)
def test_no_page_of_the_command_line_carries_what_a_terminal_obeys(job: Path, words: list[str]) -> None:
    said = in_process([words[0], job, *words[1:], "--now", NOW])
    assert said.code == 0, said
    assert unseemly(said.out + said.err) == []
    as_json = in_process([words[0], job, *words[1:], "--now", NOW, "--format", "json"])
    assert json.loads(as_json.out)["job"] == JOB_NAME


def harmless(job: Path) -> Path:
    """The same job and record elsewhere, with names that are words."""
    folder = job.parent / "other"
    shutil.copytree(job.parent, folder)
    text = HOSTILE.replace(JOB_NAME, "two baths").replace(ROOM_NAME, "wash room").replace(WHO, "Jo")
    (folder / job.name).write_text(text)
    return folder / job.name


class Tags(HTMLParser):
    """The tags of a page and the names of what they carry, in order."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, tuple[str, ...]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, tuple(name for name, _ in attrs)))


@pytest.mark.parametrize("command", [name for name, each in COMMANDS.items() if "html" in each.pages])
def test_no_name_or_note_makes_a_tag_in_a_page_for_the_browser(job: Path, command: str) -> None:
    other = harmless(job)
    hostile, plain = (in_process([command, at, "--now", NOW, "--format", "html"]) for at in (job, other))
    assert (hostile.code, plain.code) == (0, 0), hostile
    assert Tags(hostile.out).found == Tags(plain.out).found
    assert unseemly(hostile.out) == []


def test_no_name_or_note_makes_an_entry_or_a_property_in_the_calendar(job: Path) -> None:
    other = harmless(job)
    hostile = in_process(["calendar", job, "--now", NOW]).out
    plain = in_process(["calendar", other, "--now", NOW]).out

    def shape(text: str) -> list[tuple[str, tuple[str, ...]]]:
        return [(part.name, tuple(sorted(part))) for part in icalendar.Calendar.from_ical(text).walk()]

    assert shape(hostile) == shape(plain)
    assert unseemly(hostile.replace("\r\n", "\n")) == []


class Hostile(Still):
    """Answers with the plan of the hostile job."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        job, problems = read_job(path)
        assert job is not None, problems
        self.job, self.steps = job, expand(job).steps
        now = int(SEVEN.timestamp() // 60)
        with Record.open(path, FrozenClock(SEVEN), read_only=True) as record:
            self.plan: Plan = make_plan(job, record.events(), now, improve=False)
        self.pages["evening"] = {**json.loads(stored_page("evening")), "note": NASTY}


async def test_the_screen_shows_markup_as_it_is_written_and_no_sign_that_a_terminal_obeys(job: Path) -> None:
    client = Hostile(job)
    write_saved(job, client.plan, "from last time")
    frozen = FrozenClock(SEVEN + timedelta(minutes=1), boot=1000.0)
    app = MuddayApp(job, frozen, client)
    async with opened(app, (120, 40)) as pilot:
        seen = ""
        for key in ["m", "r", "c", "e", "d", "w", "m"]:
            await press(app, pilot, frozen, key)
            seen += grid(app) + "\n"
        assert unseemly(seen) == []
        assert "[red]two[/red]" in seen
        assert "[bold]wash[/bold]" in seen
        drawn: list[Any] = [segment.text for strip in app.screen._compositor.render_strips() for segment in strip]
        assert unseemly("".join(drawn)) == []
