"""Pages read back by the standard library's own parser: nothing runs, nothing is fetched, every name is only a name."""

import re
from dataclasses import replace
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from planning.handover.as_page import note_page
from planning.handover.as_text import escaped, note_markdown, note_text
from planning.handover.evening import evening
from planning.handover.note import AUDIENCES, Note, RoomShare
from planning.handover.picture import TILES, progress_picture
from planning.handover.release_table import release_page
from planning.handover.snapshot import make_note
from planning.handover.stay_off import rooms_off, stay_off_page
from planning.job.job import Job
from planning.job.plan import Plan
from tests.planning.handover.test_snapshot import NOTED
from tests.planning.supply.a_day import JOB, POUR, SET, STEPS, a_plan, as_done, at, event

EVIL = "<script>alert('x')</script> & \"R\" </title></svg> *_[x](y)"
VOID = {"meta", "br", "hr", "img", "link", "input"}
RUNS = {"script", "iframe", "object", "embed", "link", "img", "audio", "video", "form", "base"}


class Reader(HTMLParser):
    """Checks that tags nest, and keeps tags, attributes and text."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.text: list[str] = []
        self.wrong: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    reader.close()
    assert reader.wrong == []
    assert reader.open == []
    return reader


def evil_job() -> Job:
    rooms = tuple(replace(room, name=f"{room.id} {EVIL}") for room in JOB.rooms)
    answers = tuple(replace(each, what=EVIL) for each in JOB.answers)
    return replace(JOB, name=f"house {EVIL}", rooms=rooms, answers=answers)


def evil_plan() -> Plan:
    plan = as_done(as_done(a_plan(), f"{SET.id}#1"), POUR.id)
    rooms = tuple(replace(room, name=f"{room.id} {EVIL}") for room in plan.rooms)
    steps = tuple(replace(step, title=f"{step.title} {EVIL}") for step in plan.steps)
    return replace(plan, rooms=rooms, steps=steps)


EVENTS = [
    *NOTED,
    event(20, "found", at(13), room="kitchen", value=EVIL),
    event(21, "photo", at(14), step=POUR.id, value=EVIL),
]


def pages() -> dict[str, str]:
    plan, job = evil_plan(), evil_job()
    facts = evening(plan, job, STEPS, EVENTS, at(16))
    made = {reader: note_page(make_note(facts, reader, long=True)) for reader in AUDIENCES}
    return {
        **made,
        "release": release_page(facts),
        "sheets": stay_off_page(rooms_off(facts), job),
    }


@pytest.mark.parametrize("name", ["owner", "contractor", "release", "sheets"])
def test_no_name_becomes_a_tag_and_nothing_on_a_page_runs_or_is_fetched(name: str) -> None:
    reader = read(pages()[name])
    assert not RUNS & set(reader.tags)
    assert not [each for each in reader.attributes if each[0].startswith("on") or each[0] in ("src", "href", "style")]
    assert not re.search(r"url\((?!#)|@import|https?://(?!www\.w3\.org/2000/svg)", pages()[name])
    assert "".join(reader.text).count("<script>") >= 1, "the name is shown as it is written"


@pytest.mark.parametrize("name", ["owner", "contractor", "release", "sheets"])
def test_a_page_says_its_language_and_fits_a_phone(name: str) -> None:
    reader = read(pages()[name])
    assert ("lang", "en") in reader.attributes
    assert ("content", "width=device-width, initial-scale=1") in reader.attributes
    assert reader.tags.count("h1") == (0 if name == "sheets" else 1)


def a_note() -> Note:
    plan = as_done(as_done(a_plan(), f"{SET.id}#1"), POUR.id)
    return make_note(evening(plan, JOB, STEPS, NOTED, at(16)), "contractor", long=True)


def test_text_markdown_and_page_say_the_same_lines() -> None:
    note = a_note()
    html = " ".join("".join(read(note_page(note)).text).replace("\u00a0", " ").split())
    text = " ".join(note_text(note).split())
    marked = note_markdown(note)
    assert len(note.sections) > 10
    for section in note.sections:
        assert f"## {section.heading}" in marked
        for line in section.lines:
            assert " ".join(line.split()) in html
            assert " ".join(line.split()) in text
            assert f"- {escaped(line)}" in marked


def test_markdown_shows_signs_as_they_are_written() -> None:
    assert escaped("2. *a* _b_ [c](d) <e> `f` # g") == r"2\. \*a\* \_b\_ \[c\](d) \<e\> \`f\` \# g"
    assert escaped("- a\n- b") == r"\- a - b"


def share(before: int, today: int, name: str = "kitchen", off: str = "") -> RoomShare:
    return RoomShare("kitchen", name, 4.0, 3.0, before, today, off)


@pytest.mark.parametrize(("before", "today"), [(0, 0), (4, 0), (5, 0), (42, 13), (80, 20), (100, 0), (97, 2)])
def test_the_picture_lays_a_tile_for_every_five_parts_done_and_never_one_more(before: int, today: int) -> None:
    svg = ElementTree.fromstring(progress_picture([share(before, today)]))
    floor = next(group for group in svg if group.tag.endswith("}g"))
    fills = [tile.get("fill") for tile in floor if tile.get("fill") != "none"]
    assert len(fills) == TILES
    assert fills.count("#444") == before // 5
    assert fills.count("url(#today)") == (before + today) // 5 - before // 5
    assert f"{before + today} of 100" in str(svg.get("aria-label"))


def test_tape_lies_around_a_floor_to_stay_off_and_all_words_stay_inside_the_picture() -> None:
    svg = ElementTree.fromstring(
        progress_picture([share(10, 5, "a room with a very very long name", "till we tell you"), share(0, 0)])
    )
    taped = [each for each in svg.iter() if each.get("stroke-dasharray")]
    assert len(taped) == 1
    words = [each for each in svg.iter() if each.tag.endswith("}text")]
    assert all(float(each.get("x", 0)) + 7.5 * len(each.text or "") <= 360 for each in words)


def test_no_rooms_no_picture() -> None:
    assert progress_picture([]) == ""
