"""Rules 1 and 2: waits and windows between layers, at the room's own air."""

from dataclasses import replace

from planning.job.place import Air, RoomAir
from planning.job.step import Band, Link, Wait
from tests.by_hand import ByHand, at, named, noted, numbers, verdict
from tests.small_job import COAT_1, COAT_2, GROUT, SET, small, wait


def test_a_coat_before_its_wait_is_over_is_named() -> None:
    assert (COAT_2, COAT_1) in named(small().moved(COAT_2, -20), 1)


def test_a_coat_at_the_minute_its_wait_is_over_is_not() -> None:
    hand = small().with_step(COAT_2, after=(Link(COAT_1, wait=wait(2.25), within=wait(24)),))
    assert numbers(hand) == set()
    assert numbers(hand.with_step(COAT_2, after=(Link(COAT_1, wait=wait(2.3)),))) == {1}


def test_a_layer_after_its_window_has_shut_is_named_with_its_recovery() -> None:
    late = small().with_step(COAT_2, after=(Link(COAT_1, wait=wait(2), within=wait(2)),))
    (found,) = verdict(late)
    assert (found.rule, found.steps) == (2, (COAT_2, COAT_1))
    assert "Clean, scuff, one more coat." in found.words
    assert numbers(late.with_step(COAT_2, after=(Link(COAT_1, within=wait(2.25)),))) == set()


def test_a_wait_counts_from_the_last_piece_and_a_window_from_the_first() -> None:
    def grout(link: Link) -> set[int]:
        return numbers(small().with_step(GROUT, after=(link,)))

    assert grout(Link(SET, wait=wait(20.5))) == set(), "20 h 30 after 12:50 is 9:20"
    assert grout(Link(SET, wait=wait(20.6))) == {1}
    assert grout(Link(SET, within=wait(23.5))) == set(), "23 h 30 after 9:50 is 9:20"
    assert grout(Link(SET, within=wait(23.4))) == {2}


def test_a_link_from_the_start_counts_from_the_start() -> None:
    def coat(**lags: Wait) -> set[int]:
        return numbers(small().with_step(COAT_2, after=(Link(COAT_1, "start", **lags),)))

    assert coat(wait=wait(3.4), within=wait(3.5)) == set(), "7:20 to 10:45 is 3 h 25"
    assert coat(wait=wait(3.5)) == {1}
    assert coat(within=wait(3.4)) == {2}


def in_air(hand: ByHand, degrees: float) -> ByHand:
    """The same job with the wet room at so many degrees C and 60 % RH, day and night."""
    air = RoomAir(Air(degrees, 0.6, degrees), Air(degrees, 0.6, degrees), read=True)
    return hand.with_job(rooms=tuple(replace(r, air=air) if r.id == "wet-room" else r for r in hand.job.rooms))


def test_the_wait_is_as_long_as_the_room_s_own_air_makes_it() -> None:
    drying = Wait("next_layer", Band(60, 120, 300), "drying", room="wet-room")
    hand = small().with_step(COAT_2, after=(Link(COAT_1, wait=drying),))
    assert numbers(hand) == set()
    assert (COAT_2, COAT_1) in named(in_air(hand, 15.0), 1), "twice the time at 15 C and 60 % RH"
    assert not named(in_air(small(), 15.0), 1), "a wait that no air moves stays"


def test_heat_shortens_a_window_and_cold_does_not_lengthen_it() -> None:
    within = Wait("next_layer", Band(130, 135, 140), "maturity", room="wet-room")
    hand = small().with_step(COAT_2, after=(Link(COAT_1, within=within),))
    assert numbers(hand) == set(), "8:30 and 2 h 15 is 10:45"
    assert (COAT_2, COAT_1) in named(in_air(hand, 30.0), 2)
    shorter = hand.with_step(COAT_2, after=(Link(COAT_1, within=replace(within, label=Band(120, 130, 140))),))
    assert (COAT_2, COAT_1) in named(in_air(shorter, 12.0), 2)


def coated(*, finish: str) -> ByHand:
    """The wet room alone, with coat 1 noted as done at that time on Monday."""
    start, done = at(1, "7:20"), at(1, finish)
    hand = small()
    room = [step for step in hand.steps if step.room == "wet-room"]
    acts = {act: laid for act, laid in hand.acts.items() if act.startswith("wet-room")}
    hand = ByHand(replace(hand.job, errands=()), room, acts, hand.visits, made_at=at(1, "9:00"))
    events = (noted("started", start, step=COAT_1), noted("finished", done, step=COAT_1))
    return replace(hand.laid(COAT_1, finish=done), events=events)


def test_a_wait_counts_from_when_a_layer_was_noted_as_done_not_from_when_it_was_planned() -> None:
    assert numbers(coated(finish="8:42")) == set(), "8:42 and 2 h is 10:45 on the axis"
    assert named(coated(finish="8:52"), 1) == [(COAT_2, COAT_1)]


def test_a_layer_that_is_done_is_no_longer_named_for_its_own_wait() -> None:
    hand = coated(finish="8:52")
    begun = noted("started", at(1, "10:45"), step=COAT_2)
    hand = replace(hand, events=(*hand.events, begun), made_at=at(1, "10:50"))
    assert numbers(hand) == set()


def test_a_step_that_starts_before_the_one_it_follows_breaks_rule_9_and_not_1() -> None:
    found = verdict(small().moved(COAT_2, -150))
    assert 9 in {each.rule for each in found if COAT_2 in each.steps}
    assert 1 not in {each.rule for each in found if each.steps[0] == COAT_2}
