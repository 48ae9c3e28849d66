"""Who may work when: set-up and clean-up, meals, half days, days off, absences, late stays, clock changes."""

from datetime import date, time
from itertools import pairwise
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from planning.job.hours import Absence, Presence, Shift, instant, local, shifts, span_instants, working_days
from planning.job.job import ClockSpan
from planning.job.people import DayHours, Hours, Person

DENVER = ZoneInfo("America/Denver")
MON, SAT, SUN = date(2026, 6, 1), date(2026, 6, 6), date(2026, 6, 7)
YOU = Person("you", "job", frozenset(("all",)))


def at(day: date, hour: int, minute: int = 0) -> int:
    """That time in Denver."""
    return instant(DENVER, day, time(hour, minute))


def of(person: Person = YOU, hours: Hours | None = None, presence: Presence | None = None) -> list[Shift]:
    """The week's shifts."""
    return shifts(hours or Hours(), person, DENVER, MON, SUN, presence)


def test_a_day_is_from_after_set_up_till_before_clean_up_with_the_meal_inside() -> None:
    first = of()[0]
    assert first == Shift("you", MON, at(MON, 7, 20), at(MON, 15, 10), (at(MON, 12), at(MON, 12, 30)))
    assert len(of()) == 5


def test_a_day_off_and_a_person_s_day_off_are_no_days_of_work() -> None:
    days = working_days(Hours(off=frozenset((MON,))), YOU, MON, SUN)
    assert MON not in days
    assert len(days) == 4
    away = Person("you", "job", frozenset(("all",)), off=frozenset((date(2026, 6, 3),)))
    assert [shift.day.day for shift in of(away)] == [1, 2, 4, 5]


def test_a_half_day_ends_early_and_has_no_meal() -> None:
    helper = Person("helper", "job", frozenset(("mix",)), None, (DayHours(MON, time(7), time(12)),))
    assert of(helper)[0] == Shift("helper", MON, at(MON, 7, 20), at(MON, 11, 40), None)


def test_equal_times_mean_not_there() -> None:
    helper = Person("helper", "job", frozenset(("mix",)), None, (DayHours(MON, time(7), time(7)),))
    assert of(helper)[0].day == date(2026, 6, 2)


def test_a_saturday_worked_by_the_job_is_not_worked_by_who_has_days_of_his_own() -> None:
    hours = Hours(exceptions=(DayHours(SAT, time(8), time(12)), DayHours(date(2026, 6, 4), time(7), time(12))))
    helper = Person("helper", "job", frozenset(("mix",)), frozenset((0, 1, 2)))
    assert [shift.day.day for shift in of(YOU, hours)] == [1, 2, 3, 4, 5, 6]
    assert [shift.day.day for shift in of(helper, hours)] == [1, 2, 3]
    assert [s.day.day for s in of(Person("h", "job", frozenset(), frozenset((0,)), (DayHours(SAT, time(8), time(9)),)))]


def test_a_person_s_own_exception_goes_before_the_job_s() -> None:
    hours = Hours(exceptions=(DayHours(MON, time(9), time(15)),))
    helper = Person("helper", "job", frozenset(), None, (DayHours(MON, time(10), time(12)),))
    assert of(helper, hours)[0].start == at(MON, 10, 20)
    assert of(YOU, hours)[0].start == at(MON, 9, 20)


def test_staying_late_moves_the_end_and_clean_up_with_it() -> None:
    stayed = of(presence=Presence(stays={("you", MON): at(MON, 17)}))
    assert stayed[0].finish == at(MON, 16, 40)
    assert stayed[1].finish == at(date(2026, 6, 2), 15, 10)


def test_an_absence_is_cut_out_of_the_day() -> None:
    gone = Presence((Absence("you", at(MON, 9), at(MON, 10)), Absence("helper", at(MON, 7), at(MON, 15))))
    assert [(s.start, s.finish) for s in of(presence=gone) if s.day == MON] == [
        (at(MON, 7, 20), at(MON, 9)),
        (at(MON, 10), at(MON, 15, 10)),
    ]
    noon = Presence((Absence("you", at(MON, 11, 45), at(MON, 12, 15)),))
    assert all(shift.eat is None for shift in of(presence=noon) if shift.day == MON)


def test_an_absence_that_ends_before_it_begins_is_none() -> None:
    assert of(presence=Presence((Absence("you", at(MON, 12), at(MON, 9)),))) == of()


@given(st.lists(st.tuples(st.integers(0, 6 * 1440), st.integers(-600, 900)), max_size=6))
def test_shifts_never_overlap_and_never_touch_an_absence(spans: list[tuple[int, int]]) -> None:
    zero = at(MON, 0)
    gone = tuple(Absence("you", zero + start, zero + start + length) for start, length in spans)
    found = of(presence=Presence(gone))
    for one, other in pairwise(found):
        assert one.finish <= other.start
    for shift in found:
        assert shift.start < shift.finish
        assert shift.eat is None or shift.start < shift.eat[0] < shift.eat[1] < shift.finish
        assert not any(a.start < shift.finish and shift.start < a.finish for a in gone if a.start < a.finish)


def test_hours_are_wall_clock_hours_through_a_clock_change() -> None:
    sunday, monday = date(2026, 11, 1), date(2026, 11, 2)
    all_week = Person("you", "job", frozenset(("all",)), frozenset(range(7)))
    before, after = (shifts(Hours(), all_week, DENVER, day, day)[0] for day in (date(2026, 10, 31), monday))
    assert local(DENVER, before.start).time() == local(DENVER, after.start).time() == time(7, 20)
    assert after.start - before.start == 2 * 1440 + 60, "the clock goes back an hour that night"
    assert instant(DENVER, sunday, time(3)) - instant(DENVER, sunday, time(0)) == 4 * 60


def test_a_time_that_the_clock_change_skips_is_the_one_after_it() -> None:
    spring = date(2026, 3, 8)
    assert local(DENVER, instant(DENVER, spring, time(2, 30))).time() == time(3, 30)


def test_a_span_over_midnight_ends_on_the_next_day() -> None:
    start, finish = span_instants(DENVER, ClockSpan(time(22), time(6)), MON)
    assert finish - start == 8 * 60
    start, finish = span_instants(DENVER, ClockSpan(time(12), time(13)), MON)
    assert finish - start == 60
