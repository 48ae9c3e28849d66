"""The closing packet: what was noted stands in it, what is missing stands first, and no secret leaves with it."""

from dataclasses import replace

from planning.handover.care import care_table
from planning.handover.cautions import household_cautions
from planning.handover.evening import Evening, evening
from planning.handover.packet import make_packet, packet_page, packet_text
from planning.handover.proofs import evidence_of, flood_tests
from planning.job.events import Event
from planning.job.plan import PlannedVisit
from planning.job.step import Band, Link, Step, Wait
from planning.trade.materials import common_classes
from tests.planning.handover.test_page import read
from tests.planning.supply.a_day import GROUT, JOB, POUR, SET, STEPS, a_plan, at, event, planned

HOLD = Wait("flood_hold", Band(1440, 1440, 1440), room="kitchen")
FILL = Step("kitchen/floor/fill", JOB.name, "kitchen", None, "floor", "fill", "flood fill", "test", ("test",),
            Band(10, 20, 30), evidence=("photo of the level at the start",))  # fmt: skip
READ = Step("kitchen/floor/flood", JOB.name, "kitchen", None, "floor", "flood", "flood read", "test", ("test",),
            Band(10, 15, 30), after=(Link(FILL.id, wait=HOLD),), sees="inspector",
            evidence=("photo of the level at the end",))  # fmt: skip
ALL = (*STEPS, FILL, READ)
PLAN = replace(
    a_plan(*a_plan().steps, planned(FILL, at(9, day=8), at(9, 20, 8)), planned(READ, at(10, day=9), at(10, 15, 9))),
    visits=(PlannedVisit("v", "inspector", "kitchen", "flood", at(10, day=9), at(10, 30, 9)),),
)
PIECES = (f"{SET.id}#1", f"{SET.id}#2", POUR.id, GROUT.id, FILL.id, READ.id)
WORKED: list[Event] = [
    *(event(n, "started", at(8, day=1) + n * 60, step=step) for n, step in enumerate(PIECES[:4])),
    *(event(10 + n, "finished", at(8, day=1) + n * 60 + 45, step=step) for n, step in enumerate(PIECES[:4])),
    event(20, "started", at(9, day=8), step=FILL.id),
    event(21, "finished", at(9, 20, 8), step=FILL.id),
    event(22, "photo", at(9, 25, 8), step=FILL.id, value="IMG_7"),
    event(23, "started", at(10, day=9), step=READ.id),
    event(24, "finished", at(10, 15, 9), step=READ.id),
    event(25, "visit_result", at(10, 40, 9), visit="v", value="passed"),
    event(26, "used", at(15), **{"class": "leveler-rapid", "value": 2, "why": "lot A-77812345"}),
    event(27, "used", at(15), **{"class": "thin-set", "value": 3}),
    event(28, "note", at(15), step=READ.id, value="tip the inspector $20, 303-555-0147"),
]


def facts(events: list[Event]) -> Evening:
    return evening(PLAN, JOB, ALL, events, at(16, day=10))


def section(events: list[Event], key: str) -> str:
    return " ".join(line for each in make_packet(facts(events)).sections if each.key == key for line in each.lines)


def test_the_flood_log_says_filled_read_how_long_it_stood_of_how_long_and_who_passed_it() -> None:
    log = flood_tests(PLAN, ALL, WORKED, facts(WORKED).progress)
    assert [(each.filled, each.read, each.asked_min, each.held_min) for each in log] == [
        (at(9, 20, 8), at(10, 15, 9), 1440, 24 * 60 + 55)
    ]
    said = section(WORKED, "flood")
    assert "filled Mon 8 Jun 9:20 am; read Tue 9 Jun 10:15 am; stood 24 h 55 of 24 h asked" in said
    assert "photo Mon 8 Jun 9:25 am IMG_7; inspector: passed." in said
    assert section(WORKED, "inspections") == "Flood read, kitchen: passed, inspector, Tue 9 Jun."


def test_lots_stand_with_their_class_and_a_class_without_one_is_missing() -> None:
    assert "rapid self-leveler: 2 bags, lot A-77812345." in section(WORKED, "lots")
    assert "No lot number noted: thin-set mortar." in section(WORKED, "missing")


def test_evidence_that_was_kept_is_listed_and_what_was_not_is_missing() -> None:
    asked = [(each.asks, len(each.proofs)) for step in (FILL, READ) for each in evidence_of(step, WORKED)]
    assert asked == [("photo of the level at the start", 1), ("photo of the level at the end", 0)]
    assert "photo of the level at the start: Mon 8 Jun IMG_7" in section(WORKED, "evidence")
    assert "flood read: photo of the level at the end not noted." in section(WORKED, "missing")


def test_before_the_end_the_steps_not_done_are_missing() -> None:
    said = section(WORKED[:4], "missing")
    assert "6 steps not marked done" not in said
    assert "5 steps not marked done: " in said


def test_first_use_is_the_slow_case_of_the_work_as_it_was_done_and_now_when_that_is_over() -> None:
    said = section(WORKED, "first_use")
    assert "Powder room: walk on it now" in said
    assert said.count("from ") + said.count(" now") >= 6


def test_leftover_tile_is_as_counted_last_or_asked_to_be_counted() -> None:
    assert "tile: not counted yet" in section(WORKED, "leftover")
    counted = [*WORKED, event(30, "van_has", at(15, day=10), **{"class": "tile", "value": 2})]
    assert "2 boxes left with you." in section(counted, "leftover")


def test_no_note_to_self_no_phone_and_no_money_is_in_the_packet() -> None:
    packet = make_packet(facts(WORKED))
    for said in (packet_text(packet), packet_page(packet)):
        assert not any(secret in said for secret in ("tip the inspector", "555", "$20"))


def test_the_page_reads_back_and_says_what_the_text_says() -> None:
    packet = make_packet(facts(WORKED))
    html = " ".join("".join(read(packet_page(packet)).text).replace("\u00a0", " ").split())
    assert all(" ".join(line.split()) in html for each in packet.sections for line in each.lines)
    assert "no warranty" in html


def test_every_table_row_of_care_and_caution_is_about_something_that_there_is_and_says_where_it_is_from() -> None:
    known = {*common_classes(), *(each.family for each in common_classes().values())}
    assert set(care_table()) <= known
    assert all(each.source and each.lines for each in care_table().values())
    assert all(each.source and (each.kinds or each.cautions) for each in household_cautions())
