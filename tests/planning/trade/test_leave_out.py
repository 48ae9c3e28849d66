"""Steps taken out of a chain: who comes after whom then, and what waits are left."""

from dataclasses import replace

from planning.job.step import Band, KeepOff, Link, Step, Wait
from planning.job.words import Kind
from planning.trade.leave_out import Laid, leave_out, merged


def hours(low: int, window: str = "next_layer") -> Wait:
    return Wait(window, Band(low * 60, low * 60, low * 60))


def step(key: str, kind: Kind, *after: Link, keeps_off: tuple[KeepOff, ...] = ()) -> Step:
    return Step(
        key, "job", "room", None, "m", key, key, kind, (kind,), Band(10, 10, 10), after=after, keeps_off=keeps_off
    )


NOTHING_LAID: Laid = {}
BOARD = step("board", "fit")
COAT_1 = step("coat-1", "coat", Link("board", wait=hours(3)))
COAT_2 = step("coat-2", "coat", Link("coat-1", wait=hours(2), within=hours(24)))
FLOOD = step("flood", "test", Link("coat-2", wait=hours(24, "flood")))
COATS: Laid = {"coat-1": "membrane", "coat-2": "membrane"}


def links(steps: list[Step], key: str) -> tuple[Link, ...]:
    return next(step.after for step in steps if step.id == key)


def test_of_two_coats_of_one_class_the_longer_wait_stays_and_the_window_of_the_skipped_one_goes():
    left = leave_out([BOARD, COAT_1, COAT_2, FLOOD], {"coat-2"}, COATS)
    assert links(left, "flood") == (Link("coat-1", wait=hours(24, "flood")),)


def test_a_skipped_layer_of_another_class_takes_its_own_wait_with_it():
    """Without the primer the pour waits for no primer; it still waits for what lies below."""
    sheet = step("sheet", "set")
    prime = step("prime", "prime", Link("sheet", wait=hours(24), within=hours(120)))
    pour = step("pour", "pour", Link("prime", wait=hours(1), within=hours(24)))
    left = leave_out([sheet, prime, pour], {"prime"}, {"sheet": "uncoupling", "prime": "primer"})
    assert links(left, "pour") == (Link("sheet", wait=hours(24), within=hours(120)),)


def test_a_wait_for_sealer_or_caulk_goes_with_them():
    grout = step("grout", "grout")
    seal = step("seal", "seal", Link("grout", wait=hours(72, "seal")))
    hand_over = step("hand-over", "finish", Link("seal"))
    left = leave_out([grout, seal, hand_over], {"seal"}, {"grout": "grout", "seal": "sealer"})
    assert links(left, "hand-over") == (Link("grout"),)


def test_a_hold_is_inherited_by_what_follows_the_reading():
    fill = step("fill", "test")
    read = step("read", "test", Link("fill", wait=hours(24, "flood_hold")))
    drain = step("drain", "test", Link("read"))
    left = leave_out([fill, read, drain], {"read"}, NOTHING_LAID)
    assert links(left, "drain") == (Link("fill", wait=hours(24, "flood_hold")),)


def test_several_steps_out_in_a_row_are_crossed_in_one():
    left = leave_out([BOARD, COAT_1, COAT_2, FLOOD], {"coat-1", "coat-2"}, COATS)
    assert [link.step for link in links(left, "flood")] == ["board"]


def test_a_first_step_out_leaves_its_followers_first():
    assert links(leave_out([BOARD, COAT_1], {"board"}, COATS), "coat-1") == ()


def test_a_stay_off_until_a_step_that_is_out_lasts_until_the_one_before_it():
    drain = step("drain", "test", Link("flood"))
    fill = replace(BOARD, keeps_off=(KeepOff("walk", ("room",), "drain"),))
    left = leave_out([fill, COAT_1, COAT_2, FLOOD, drain], {"drain"}, COATS)
    assert left[0].keeps_off == (KeepOff("walk", ("room",), "flood"),)


def test_two_links_to_one_step_become_the_strictest_of_both():
    both = merged([Link("a", wait=hours(1), within=hours(9)), Link("a", wait=hours(2)), Link("b")])
    assert both == (Link("a", wait=hours(2), within=hours(9)), Link("b"))
