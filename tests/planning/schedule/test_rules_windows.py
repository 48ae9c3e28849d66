"""Rules 1 and 2: waits and windows between layers, at the room's own air."""

from dataclasses import replace

from planning.job.place import Air, Room, RoomAir
from planning.job.plan import Broken
from planning.job.step import Band, KeepOff, Link, Wait
from planning.schedule.judge import judge
from tests.by_hand import ByHand, Laid, at
from tests.small_job import COAT_1, COAT_2, FLOOD, GROUT, POUR, READ, SET, small, wait


def broken(hand: ByHand) -> list[Broken]:
    """What the judge names of a plan laid by hand."""
    return list(judge(hand.plan(), hand.job, hand.steps, hand.events))


def numbers(hand: ByHand) -> set[int]:
    """The rule numbers it names."""
    return {each.rule for each in broken(hand)}


def test_a_coat_before_its_wait_is_over_is_named() -> None:
    hand = small().moved(COAT_2, -20)
    assert (1, (COAT_2, COAT_1)) in [(each.rule, each.steps) for each in broken(hand)]


def test_a_coat_at_the_minute_its_wait_is_over_is_not() -> None:
    hand = small().with_step(COAT_2, after=(Link(COAT_1, wait=wait(2.25), within=wait(24)),))
    assert numbers(hand) == set()
    assert numbers(hand.with_step(COAT_2, after=(Link(COAT_1, wait=wait(2.3)),))) == {1}


def test_a_layer_after_its_window_has_shut_is_named_with_its_recovery() -> None:
    late = small().with_step(COAT_2, after=(Link(COAT_1, wait=wait(2), within=wait(2)),))
    found = broken(late)
    assert [(each.rule, each.steps) for each in found] == [(2, (COAT_2, COAT_1))]
    assert "Clean, scuff, one more coat." in found[0].words
    assert numbers(late.with_step(COAT_2, after=(Link(COAT_1, within=wait(2.25)),))) == set()


def test_a_wait_counts_from_the_last_piece_and_a_window_from_the_first() -> None:
    waits = small().with_step(GROUT, after=(Link(SET, wait=wait(20.5)),))
    assert numbers(waits) == set(), "20 h 30 after 12:50 is 9:20"
    assert numbers(small().with_step(GROUT, after=(Link(SET, wait=wait(20.6)),))) == {1}
    assert numbers(small().with_step(GROUT, after=(Link(SET, within=wait(23.5)),))) == set(), "23 h 30 after 9:50"
    assert numbers(small().with_step(GROUT, after=(Link(SET, within=wait(23.4)),))) == {2}


def test_a_link_from_the_start_counts_from_the_start() -> None:
    assert numbers(small().with_step(COAT_2, after=(Link(COAT_1, "start", wait=wait(3.4), within=wait(3.5)),))) == set()
    assert numbers(small().with_step(COAT_2, after=(Link(COAT_1, "start", wait=wait(3.5)),))) == {1}
    assert numbers(small().with_step(COAT_2, after=(Link(COAT_1, "start", within=wait(3.4)),))) == {2}


def cold(hand: ByHand, degrees: float) -> ByHand:
    """The same job with the wet room at so many degrees, 60 % RH, day and night."""
    air = RoomAir(Air(degrees, 0.6, degrees), Air(degrees, 0.6, degrees), read=True)
    rooms: tuple[Room, ...] = tuple(
        replace(room, air=air) if room.id == "wet-room" else room for room in hand.job.rooms
    )
    return hand.with_job(rooms=rooms)


def test_the_wait_is_as_long_as_the_room_s_own_air_makes_it() -> None:
    drying = Wait("next_layer", Band(60, 120, 300), "drying", room="wet-room")
    hand = small().with_step(COAT_2, after=(Link(COAT_1, wait=drying),))
    assert numbers(hand) == set()
    assert 1 in numbers(cold(hand, 15.0)), "twice the time at 15 C and 60 % RH"
    assert 1 not in numbers(cold(small(), 15.0)), "a wait that no air moves stays"


def test_warm_air_shortens_a_window_and_cold_air_does_not_lengthen_it() -> None:
    within = Wait("next_layer", Band(130, 135, 140), "maturity", room="wet-room")
    hand = small().with_step(COAT_2, after=(Link(COAT_1, within=within),))
    assert numbers(hand) == set()
    assert 2 in numbers(cold(hand, 30.0))
    earlier = hand.with_step(COAT_2, after=(Link(COAT_1, within=replace(within, label=Band(120, 130, 140))),))
    assert 2 in numbers(cold(earlier, 12.0))


def test_a_finished_layer_still_opens_and_shuts_the_next() -> None:
    from datetime import UTC, datetime

    from planning.job.events import Event

    def noted(kind: str, minute: int) -> Event:
        return Event(f"{kind}-{minute}", kind, datetime.fromtimestamp(minute * 60, UTC), {"step": COAT_1}, minute)

    start, finish = at(1, "7:20"), at(1, "8:42")
    hand = replace(
        small().laid(COAT_1, start=start, finish=finish),
        events=(noted("started", start), noted("finished", finish)),
        made_at=at(1, "8:50"),
    )
    hand = replace(hand, acts={act: laid for act, laid in hand.acts.items() if laid.start >= hand.made_at or act == COAT_1})
    hand = hand.with_job(errands=())
    kept = [s for s in hand.steps if s.id in hand.acts or s.id == SET]
    hand = replace(hand, steps=kept).with_step("bath/level/prime", after=())
    assert (1, (COAT_2, COAT_1)) not in [(each.rule, each.steps) for each in broken(hand)]
    too_soon = hand.moved(COAT_2, -5)
    assert (1, (COAT_2, COAT_1)) in [(each.rule, each.steps) for each in broken(too_soon)], "8:42 and 2 h is 10:45"


def test_what_has_begun_is_never_named_for_its_window() -> None:
    hand = small().with_step(COAT_2, after=(Link(COAT_1, wait=wait(5)),))
    assert numbers(hand) == {1}
    assert FLOOD not in {step for each in broken(hand) for step in each.steps}


def test_a_wait_over_a_night_is_counted_in_real_hours_through_a_clock_change() -> None:
    """On 1 November 2026 clocks in Denver go back an hour: 24 hours after 15:00 is 14:00 the next day."""
    assert at(1, "14:00", month=11) - at(31, "15:00", month=10) == 24 * 60


def test_a_stay_off_until_a_step_is_done_ends_with_it() -> None:
    hand = small()
    until = [off.until for off in hand.plan().stay_off if off.step == FLOOD]
    assert until == [at(3, "13:50")]
    longer = hand.with_step(COAT_2, keeps_off=(KeepOff("walk", ("wet-room.shower",), READ),))
    assert numbers(longer) == set()
    assert POUR not in longer.acts or isinstance(longer.acts[POUR], Laid)
