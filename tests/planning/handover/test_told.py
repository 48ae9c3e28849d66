"""What was told is kept, and the next note says what moved since, by how much and why."""

from dataclasses import replace

from planning.handover.as_text import note_text
from planning.handover.evening import evening
from planning.handover.note import Audience, Note, ToldDate
from planning.handover.snapshot import make_note
from planning.handover.told import last_told, moved_dates, told_body, told_notes, was_told
from planning.job.events import Event
from planning.job.plan import Plan
from planning.job.words import Instant
from tests.planning.supply.a_day import JOB, POUR, STEPS, ZONE, a_plan, at, event

DONE = [event(1, "started", at(14, 40), step=POUR.id), event(2, "finished", at(15, 20), step=POUR.id)]


def a_note(plan: Plan, events: list[Event], now: Instant, audience: Audience = "owner") -> Note:
    return make_note(evening(plan, JOB, STEPS, events, now), audience)


def told(seq: int, note: Note, now: Instant) -> Event:
    return event(seq, "told", now, **told_body(note, note_text(note)))


def since(note: Note) -> list[str]:
    return [line for section in note.sections if section.key == "since" for line in section.lines]


def later(plan: Plan, days: int) -> Plan:
    """The plan with its last step so many days later."""
    last = max(plan.steps, key=lambda step: step.start)
    more = days * 24 * 60
    moved = replace(last, start=last.start + more, finish=last.finish + more)
    steps = tuple(moved if step.id == last.id else step for step in plan.steps)
    return replace(plan, steps=steps, finish=plan.finish + more)


def test_the_first_note_compares_with_nothing_and_the_second_says_that_nothing_moved() -> None:
    first = a_note(a_plan(), DONE, at(16))
    assert since(first) == []
    second = a_note(a_plan(), [*DONE, told(3, first, at(16))], at(16, day=4))
    assert since(second) == ["No date we told you has moved."]
    assert any(section.heading == "Since Wed 3 Jun" for section in second.sections)


def test_a_date_that_moved_is_told_with_the_old_one_by_how_much_and_why() -> None:
    first = a_note(a_plan(), DONE, at(16))
    events = [*DONE, told(3, first, at(16)), event(4, "tacky", at(9, day=4), step="kitchen/floor/grout")]
    said = since(a_note(later(a_plan(), 4), events, at(16, day=4)))
    assert len(said) == 2
    was, now = first.dates["last-day"], a_note(later(a_plan(), 4), events, at(16, day=4)).dates["last-day"]
    assert was.until is not None
    assert now.until is not None
    days = round((now.until - was.until) / 24 / 60)
    assert said[0].startswith("Last day: was ")
    assert days == 1
    assert said[0].endswith("(1 day later).")
    assert said[1] == "Because: grout waits: the layer under it was not dry yet."


def test_what_happened_before_the_last_note_is_no_reason_in_the_next() -> None:
    early = [*DONE, event(3, "late", at(11), step=POUR.id, value=40, until=at(15))]
    first = a_note(a_plan(), early, at(16))
    said = since(a_note(later(a_plan(), 4), [*early, told(4, first, at(16))], at(16, day=4)))
    assert said[-1] == "Because: the work went at another pace than planned."


def test_each_reader_is_compared_with_what_he_was_told_and_two_notes_of_one_evening_are_one() -> None:
    owner, builder = a_note(a_plan(), DONE, at(16)), a_note(a_plan(), DONE, at(17), "contractor")
    kept = [*DONE, told(3, owner, at(16)), told(4, builder, at(17))]
    assert since(a_note(a_plan(), kept, at(18))) == []
    assert last_told(kept, "owner", evening(a_plan(), JOB, STEPS, kept, at(16, day=4)).today) == told_notes(kept)[0]
    assert [each.audience for each in told_notes(kept)] == ["owner", "contractor"]
    assert told_notes(kept)[0].text == note_text(owner)


def test_the_same_note_is_not_kept_twice_and_one_taken_back_is_not_kept_at_all() -> None:
    note = a_note(a_plan(), DONE, at(16))
    body = told_body(note, note_text(note))
    assert not was_told(DONE, body)
    kept = [*DONE, told(3, note, at(16))]
    assert was_told(kept, body)
    assert not was_told([*kept, event(4, "undone", at(16), event="e3")], body)
    assert not was_told(kept, {**body, "mark": "another"})


def test_what_a_later_program_wrote_and_what_the_setter_noted_by_hand_do_no_harm() -> None:
    odd = [event(3, "told", at(16), value="owner: mudroom from Thursday"),
           event(4, "told", at(16), what="snapshot", day="never", dates={"x": 1}, **{"for": "owner"})]  # fmt: skip
    assert told_notes([*DONE, *odd]) == ()
    assert since(a_note(a_plan(), [*DONE, *odd], at(16, day=4))) == []


def test_a_day_that_is_told_without_its_clock_moves_only_with_its_day() -> None:
    def moved(clock: bool, now: Instant) -> bool:
        was = {"k": ToldDate("it", at(9), clock)}
        return bool(moved_dates(was, {"k": ToldDate("it", now, clock)}, ZONE))

    assert moved(True, at(10))
    assert not moved(False, at(10))
    assert moved(False, at(9, day=4))
    assert not moved(True, at(9))
    assert moved_dates({"k": ToldDate("it", None)}, {"k": ToldDate("it", at(9))}) == [(None, ToldDate("it", at(9)))]
