"""Rules 9 and 10: deliveries, answers, errands, visits and what must be seen before it is covered."""

from dataclasses import replace

import pytest

from planning.job.plan import PlannedVisit
from planning.job.step import Amount
from tests.by_hand import ByHand, at, named, noted, numbers
from tests.small_job import CUT, FLOOD, GROUT, INSPECTOR, POUR, READ, SET, STORE, small


def test_a_step_does_not_start_before_its_tile_is_there() -> None:
    assert named(small().moved(CUT, -5), 9) == [(CUT,)]


def test_a_delivery_of_one_class_holds_only_what_uses_it() -> None:
    def of(material: str, room: str | None = "mudroom") -> ByHand:
        (delivery,) = small().job.deliveries
        return small().with_job(deliveries=(replace(delivery, of=material, room=room, latest=at(2, "10:05")),))

    assert named(of("tile-floor"), 9) == [(CUT,)]
    assert named(of("tile", None), 9) == [(CUT,)]
    assert named(of("tile-wall"), 9) == []
    assert named(of("tile", "bath"), 9) == []
    assert named(of("leveler", "bath"), 9) == [(POUR,)]
    more = small().with_step(SET, amounts=(Amount("thin-set", 10.0, "kg"),))
    held = replace(more.job.deliveries[0], of="thin-set", latest=at(3, "9:00"))
    assert named(more.with_job(deliveries=(held,)), 9) == [(f"{SET}#1",)], "the second piece starts later"


def test_a_delivery_counts_from_when_it_was_noted() -> None:
    came = noted("delivered", at(1, "6:00"), delivery="tile-comes")
    assert named(replace(small().moved(CUT, -5), events=(came,)), 9) == []
    late = noted("delivered", at(2, "10:30"), delivery="tile-comes")
    assert named(replace(small(), events=(late,)), 9) == [(CUT,)]


def test_a_step_does_not_start_before_the_owner_s_answer() -> None:
    assert (GROUT,) in named(small().moved(GROUT, -5), 9)
    answered = noted("answered", at(3, "16:00"), answer="grout-color")
    assert named(replace(small().moved(GROUT, -5), events=(answered,)), 9) == []


def test_a_step_does_not_start_before_its_errand_is_back() -> None:
    late = small().laid(STORE, start=at(1, "10:15"))
    assert (POUR, STORE) in named(late, 9)
    assert (STORE,) in named(small().without(STORE), 9)
    done = noted("errand", at(1, "6:00"), errand=STORE)
    assert named(replace(small().without(STORE), events=(done,)), 9) == []


def come(hand: ByHand, **changes: object) -> ByHand:
    """The plan's only visit changed."""
    return replace(hand, visits=(replace(hand.visits[0], **changes),))  # type: ignore[arg-type]  # dataclass fields by name


@pytest.mark.parametrize("minutes", [-10, 10])
def test_a_fixed_visit_is_not_moved(minutes: int) -> None:
    visit = small().visits[0]
    moved = come(small(), start=visit.start + minutes, finish=visit.finish + minutes)
    assert (FLOOD,) in named(moved, 10)


def test_a_visit_between_two_times_may_be_anywhere_between_them() -> None:
    hand = small().with_job(visits=(replace(small().job.visits[0], earliest=at(3, "12:50")),))
    visit = hand.visits[0]
    assert numbers(come(hand, start=visit.start - 10, finish=visit.finish - 10)) == set()
    assert (FLOOD,) in named(come(hand, start=visit.start - 15, finish=visit.finish - 15), 10)


def test_a_visit_moved_by_whoever_comes_is_where_he_said() -> None:
    moved = noted("visit_moved", at(1, "6:00"), visit=INSPECTOR, until=at(3, "12:50"))
    hand = replace(small(), events=(moved,))
    assert named(hand, 10) == [(FLOOD,)]
    assert numbers(come(hand, start=at(3, "12:50"), finish=at(3, "13:20"))) == set()


def test_a_visit_is_not_left_out_nor_shortened() -> None:
    assert (FLOOD,) in named(replace(small(), visits=()), 10)
    assert named(replace(small(), visits=small().visits * 2), 10) == [(FLOOD,)]
    assert named(come(small(), finish=at(3, "13:20")), 10) == [(FLOOD,)]
    assert named(come(small(), booked=False), 10)[0] == (FLOOD,)


def test_nothing_covers_what_the_inspector_has_not_seen() -> None:
    assert named(small().moved(READ, -35), 10) == [(READ, FLOOD)]


def test_the_inspector_comes_when_the_hold_is_over() -> None:
    early = small().moved(FLOOD, 15)
    assert (FLOOD,) in named(early, 10), "12:30 to 12:50 and 24 h is 12:50; 13:05 is after 13:00"
    assert named(small().moved(FLOOD, 10), 10) == []


def unbooked(hand: ByHand, start: int, minutes: int = 30) -> ByHand:
    """No visit in the job, one not booked in the plan."""
    visit = PlannedVisit("visit/wet-room/flood", "inspector", "wet-room", "flood", start, start + minutes, False)
    return replace(hand.with_job(visits=()), visits=(visit,))


def test_what_must_be_seen_gets_an_unbooked_visit_in_working_hours() -> None:
    assert numbers(unbooked(small(), at(3, "13:00"))) == set()
    assert named(unbooked(small(), at(3, "13:00"), 20), 10) == [(FLOOD,)]
    assert (FLOOD,) in named(unbooked(small(), at(3, "6:30")), 10)
    assert (FLOOD,) in named(unbooked(small(), at(6, "9:00")), 10), "a Saturday"
    assert (FLOOD,) in named(replace(small().with_job(visits=()), visits=()), 10), "nobody was called"


def test_an_unbooked_visit_is_not_today() -> None:
    hand = replace(unbooked(small(), at(3, "13:00")), made_at=at(3, "6:30"))
    assert (FLOOD,) in named(hand, 10)


def test_what_was_passed_needs_no_visit() -> None:
    passed = noted("visit_result", at(1, "6:00"), visit=INSPECTOR, value="passed")
    assert named(replace(small(), events=(passed,), visits=()), 10) == []
    failed = noted("visit_result", at(1, "6:00"), visit=INSPECTOR, value="failed")
    assert (FLOOD,) in named(replace(small(), events=(failed,), visits=()), 10)


def test_a_visit_that_went_by_unnoted_may_be_called_for_anew() -> None:
    visit = small().job.visits[0]
    hand = small().with_job(visits=(replace(visit, earliest=at(1, "7:00"), latest=at(1, "7:00")),))
    assert (FLOOD,) in named(hand, 10), "7:00 is still to come"
    late = come(replace(hand, made_at=at(1, "12:00")), booked=False)
    assert named(late, 10) == []
