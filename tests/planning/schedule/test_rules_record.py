"""Rule 15: what has happened stays as it was noted."""

from dataclasses import replace

from planning.job.events import Event
from tests.by_hand import ByHand, at, named, noted, numbers
from tests.small_job import COAT_1, GROUT, OFF, PRIME, STORE, TILE, small


def at_work(*events: Event, now: str = "8:00") -> ByHand:
    """The small job on Monday morning, coat 1 begun and the helper off to the store."""
    begun = noted("started", at(1, "7:20"), step=COAT_1)
    away = noted("errand", at(1, "7:20"), errand=STORE)
    return replace(small().without(STORE), events=(begun, away, *events), made_at=at(1, now))


def test_work_that_was_noted_stays_where_it_was() -> None:
    assert numbers(at_work()) == set()
    assert (COAT_1,) in named(at_work().laid(COAT_1, start=at(1, "7:25")), 15)


def test_a_noted_time_may_lie_off_the_axis() -> None:
    begun = noted("started", at(1, "7:23"), step=COAT_1)
    hand = replace(at_work().laid(COAT_1, start=at(1, "7:23"), finish=at(1, "8:35")), events=(begun,))
    hand = hand.moved(OFF, 5).moved(PRIME, 5).with_job(errands=())
    assert named(hand, 15) == []
    assert named(hand, 0) == []
    assert (COAT_1,) in named(hand.laid(COAT_1, start=at(1, "7:25")), 15)


def test_a_finish_that_was_noted_is_the_finish() -> None:
    done = noted("finished", at(1, "8:10"), step=COAT_1)
    assert named(at_work(done, now="8:15"), 15) == [(COAT_1,)]
    assert named(at_work(done, now="8:15").laid(COAT_1, finish=at(1, "8:10")), 15) == []


def test_a_running_step_is_not_left_out_but_a_done_one_may_be() -> None:
    assert (COAT_1,) in named(at_work().without(COAT_1), 15)
    done = noted("finished", at(1, "8:30"), step=COAT_1)
    gone = at_work(done, now="8:30").without(COAT_1)
    assert named(gone, 15) == []
    assert (COAT_1,) not in named(gone, 0)


def test_running_work_ends_as_the_setter_said() -> None:
    late = noted("late", at(1, "8:00"), step=COAT_1, until=at(1, "8:50"))
    assert (COAT_1,) in named(at_work(late), 15), "the plan still says 8:30"
    assert named(at_work(late).laid(COAT_1, finish=at(1, "8:50")), 15) == []
    assert (COAT_1,) in named(at_work(late).laid(COAT_1, finish=at(1, "9:00")), 15)


def test_work_that_should_be_done_and_is_not_ends_now_at_the_soonest() -> None:
    assert (COAT_1,) in named(at_work(now="8:40"), 15)
    assert (COAT_1,) not in named(at_work(now="8:40").laid(COAT_1, finish=at(1, "8:40")), 15)


def test_nothing_that_has_not_begun_starts_in_the_past() -> None:
    assert named(at_work(now="8:31").laid(COAT_1, finish=at(1, "8:31")), 15) == [(OFF,)]


def test_a_step_put_off_waits_as_long_as_was_said() -> None:
    for kind in ("late", "tacky", "held"):
        put_off = noted(kind, at(1, "7:50"), step=GROUT, until=at(4, "9:25"))
        assert named(at_work(put_off), 15) == [(GROUT,)], kind
        assert named(at_work(put_off).moved(GROUT, 5), 15) == [], kind


def test_an_undone_event_counts_for_nothing() -> None:
    late = noted("late", at(1, "8:00"), step=COAT_1, until=at(1, "8:50"))
    undone = noted("undone", at(1, "8:01"), event=late.id)
    assert numbers(at_work(late, undone, now="8:05")) == set()


def accepted(hand: ByHand) -> Event:
    """The plan of that table as the setter took it."""
    plan = hand.plan()
    steps = {s.id: {"start": s.start, "finish": s.finish, "people": s.people} for s in plan.steps}
    return noted("plan_accepted", at(1, "6:30"), steps=steps, finish=plan.finish)


def test_what_is_no_longer_where_it_was_accepted_is_told_as_moved() -> None:
    took = replace(small(), events=(accepted(small()),))
    assert numbers(took) == set()
    later = took.moved(GROUT, 10)
    assert numbers(later) == set(), "the move is told"
    silent = replace(small().moved(GROUT, 10), events=())
    from planning.schedule.judge import judge

    found = judge(silent.plan(), took.job, took.steps, took.events)
    assert [(broken.rule, broken.steps) for broken in found] == [(0, (GROUT,))]


def test_events_of_a_step_no_longer_in_the_job_break_nothing() -> None:
    old = noted("started", at(1, "7:20"), step="attic/old/step")
    assert numbers(at_work(old)) == set()
    assert TILE in small().acts
