"""Rule 9: nothing is covered before its photo, its reading or a said reason is noted."""

from dataclasses import replace

from planning.job.events import Event
from planning.schedule.make_plan import make_plan
from planning.trade.evidence import unproved
from planning.trade.expand import expand
from tests.by_hand import ByHand, at, named, noted
from tests.planning.trade.small_jobs import do, job_of, room_of
from tests.small_job import COAT_1, COAT_2, small

ASKS = ("film gauge reading",)
BEGUN = noted("started", at(1, "7:20"), step=COAT_1)
DONE = noted("finished", at(1, "8:30"), step=COAT_1)


def about_to_cover(*events: Event, now: str = "10:45") -> ByHand:
    """The first coat is done and asks for a gauge reading; the second is planned for 10:45."""
    hand = small().with_step(COAT_1, evidence=ASKS)
    return replace(hand, events=(BEGUN, DONE, *events), made_at=at(1, now))


def test_a_step_to_begin_now_may_not_cover_what_was_not_proved() -> None:
    assert (COAT_2, COAT_1) in named(about_to_cover(), 9)


def test_a_reading_a_reason_or_no_demand_lets_it_begin_and_a_photo_does_not_prove_a_film() -> None:
    def covers(*events: Event) -> bool:
        return (COAT_2, COAT_1) in named(about_to_cover(*events), 9)

    assert not covers(noted("gauge", at(1, "8:35"), step=COAT_1, value="26 mil"))
    assert not covers(noted("note", at(1, "8:35"), step=COAT_1, value="no gauge on site, watched the wet film"))
    assert covers(noted("photo", at(1, "8:35"), step=COAT_1, value="a photo"))
    assert covers(noted("gauge", at(1, "8:35"), step=COAT_2, value="of another coat"))
    assert (COAT_2, COAT_1) not in named(replace(small(), events=(BEGUN, DONE), made_at=at(1, "10:45")), 9)


def test_while_there_is_time_to_note_it_the_plan_may_give_a_time() -> None:
    assert (COAT_2, COAT_1) not in named(about_to_cover(now="8:40"), 9)


def test_what_is_not_done_yet_is_not_asked_for_its_evidence() -> None:
    hand = replace(about_to_cover(), events=(BEGUN,))
    assert (COAT_2, COAT_1) not in named(hand, 9)


def test_the_planner_holds_what_would_cover_unproved_work_and_lets_it_go_when_it_is_noted() -> None:
    job = job_of(room_of(6, 5, do("large-format-floor")))
    first = make_plan(job, (), at(1, "6:00"), improve=False)
    steps = {step.id: step for step in expand(job).steps}
    covering, earlier, asks = next(
        (planned, *unproved(steps[planned.id], steps, {})[0])
        for planned in first.steps
        if planned.id in steps and unproved(steps[planned.id], steps, {})
    )
    done = [step for step in first.steps if step.finish <= covering.start]
    assert earlier.id in {step.id for step in done}
    events = [
        noted(kind, moment, step=step.id)
        for step in done
        for kind, moment in (("started", step.start), ("finished", step.finish))
    ]
    held = make_plan(job, events, covering.start, improve=False)
    assert held.step(covering.id).state == "hold"
    assert asks in held.step(covering.id).reason
    assert [step.id for step in held.steps if step.state == "hold"] == [covering.id], "what follows keeps its times"
    assert held.broken == ()
    soon = make_plan(job, events, covering.start - 30, improve=False).step(covering.id)
    assert soon.state != "hold"
    assert asks in soon.reason
    proved = [*events]
    for each, _ in unproved(steps[covering.id], steps, {}):
        proved.append(noted("note", covering.start - 1, step=each.id, value="looked over, no photo"))
    free = make_plan(job, proved, covering.start, improve=False)
    assert free.step(covering.id).state != "hold"
    assert asks not in free.step(covering.id).reason
