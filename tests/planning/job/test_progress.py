"""Where each step stands, read from the events."""

import pytest

from planning.job.events import EVENT_KINDS, Event
from planning.job.hours import Absence
from planning.job.progress import TACKY_MIN, Progress, read_progress
from tests.by_hand import at, noted
from tests.small_job import small_job

STEP = "bath/level/prime"


def after(*events: Event) -> Progress:
    """The progress that these events make."""
    return read_progress(small_job(), events)


def test_nothing_noted_is_no_progress() -> None:
    assert after() == Progress()


def test_started_and_finished_are_kept_to_the_minute() -> None:
    done = after(noted("started", at(1, "7:23"), step=STEP), noted("finished", at(1, "7:51"), step=STEP))
    assert (done.started[STEP], done.finished[STEP]) == (at(1, "7:23"), at(1, "7:51"))
    assert done.last_event == at(1, "7:51")


def test_a_finish_without_a_start_started_then_too() -> None:
    assert after(noted("finished", at(1, "7:51"), step=STEP)).started[STEP] == at(1, "7:51")


def test_started_again_is_no_longer_finished() -> None:
    again = after(
        noted("started", at(1, "7:20"), step=STEP),
        noted("finished", at(1, "7:40"), step=STEP),
        noted("started", at(1, "8:00"), step=STEP),
    )
    assert again.started[STEP] == at(1, "8:00")
    assert STEP not in again.finished


def test_late_moves_the_finish_of_what_runs_and_the_start_of_what_does_not() -> None:
    late = noted("late", at(1, "7:30"), step=STEP, until=at(1, "9:00"))
    assert after(late).not_before == {STEP: at(1, "9:00")}
    running = after(noted("started", at(1, "7:20"), step=STEP), late)
    assert running.finish_said == {STEP: at(1, "9:00")}
    assert running.not_before == {}
    assert after(noted("started", at(1, "7:20"), step=STEP), late, noted("finished", at(1, "8:50"), step=STEP)
                 ).finish_said == {}  # fmt: skip


def test_tacky_waits_half_an_hour_unless_said() -> None:
    assert after(noted("tacky", at(1, "7:30"), step=STEP)).not_before[STEP] == at(1, "7:30") + TACKY_MIN
    assert after(noted("tacky", at(1, "7:30"), step=STEP, until=at(1, "9:00"))).not_before[STEP] == at(1, "9:00")


def test_held_until_a_time_or_until_taken_off() -> None:
    held = noted("held", at(1, "7:30"), step=STEP)
    assert after(held).held == {STEP}
    assert after(held, noted("held", at(1, "8:00"), step=STEP, value="off")).held == set()
    assert after(noted("held", at(1, "7:30"), step=STEP, until=at(2, "7:00"))).not_before[STEP] == at(2, "7:00")


def test_gone_lasts_till_the_end_of_the_day_unless_said() -> None:
    (absence,) = after(noted("gone", at(1, "9:00"), who="helper")).presence.absences
    assert absence == Absence("helper", at(1, "9:00"), at(2, "0:00"))


def test_who_comes_back_is_there_again_and_stays_away_on_the_day_he_asked_for() -> None:
    today = noted("gone", at(1, "9:00"), who="helper", until=at(1, "15:00"))
    other = noted("gone", at(1, "9:00"), who="you", until=at(1, "15:00"))
    back = after(today, other, noted("came", at(1, "10:00"), who="helper")).presence.absences
    assert set(back) == {
        Absence("helper", at(1, "9:00"), at(1, "10:00")),
        Absence("you", at(1, "9:00"), at(1, "15:00")),
    }
    early = after(noted("gone", at(1, "12:00"), who="helper"), noted("came", at(1, "10:00"), who="helper"))
    assert all(absence.start <= absence.finish for absence in early.presence.absences)


def test_staying_late_is_for_one_or_for_all() -> None:
    until = at(1, "17:00")
    assert set(after(noted("stay_until", at(1, "12:00"), until=until)).presence.stays.values()) == {until}
    assert len(after(noted("stay_until", at(1, "12:00"), until=until)).presence.stays) == 2
    assert [who for who, _ in after(noted("stay_until", at(1, "12:00"), until=until, who="you")).presence.stays] == [
        "you"
    ]


def test_what_comes_from_outside_is_kept_by_its_id() -> None:
    found = after(
        noted("delivered", at(1, "9:00"), delivery="tile-comes"),
        noted("answered", at(1, "9:05"), answer="grout-color"),
        noted("errand", at(1, "9:10"), errand="store"),
        noted("visit_moved", at(1, "9:15"), visit="inspector", until=at(2, "9:00")),
        noted("visit_result", at(1, "9:20"), visit="inspector", value="failed"),
    )
    assert found.delivered == {"tile-comes": at(1, "9:00")}
    assert found.answered == {"grout-color": at(1, "9:05")}
    assert found.errands_done == {"store": at(1, "9:10")}
    assert found.visits_moved == {"inspector": at(2, "9:00")}
    assert found.visit_results == {"inspector": "failed"}


def test_the_last_accepted_plan_is_the_one_that_counts() -> None:
    def took(day: int, finish: int) -> Event:
        steps = {STEP: {"start": at(day, "7:20"), "finish": at(day, "7:45"), "people": ["helper"]}}
        return noted("plan_accepted", at(day, "7:00"), steps=steps, finish=finish, choice="stay late")

    accepted = after(took(1, at(4, "9:00")), took(2, at(5, "9:00"))).accepted
    assert accepted is not None
    assert accepted.steps == {STEP: (at(2, "7:20"), at(2, "7:45"), ("helper",))}
    assert (accepted.finish, accepted.choice) == (at(5, "9:00"), "stay late")


@pytest.mark.parametrize("kind", [kind for kind in EVENT_KINDS if kind != "corrected"])
def test_an_event_with_nothing_in_it_is_never_an_error(kind: str) -> None:
    assert after(noted(kind, at(1, "7:00"))) is not None
