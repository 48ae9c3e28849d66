"""Ways in: which floors must be crossed to reach which."""

from itertools import combinations, pairwise, permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from planning.job.place import OUTSIDE, Part, Room, doors, ways_in


def room(name: str, *ways: str, parts: tuple[Part, ...] = ()) -> Room:
    """A room entered from there."""
    return Room(name, name, 2.0, 2.0, ways, parts)


def test_a_room_that_opens_to_the_outside_needs_no_other_floor() -> None:
    assert ways_in(doors((room("mudroom", "outside"),)), "mudroom") == ((),)


def test_a_room_behind_another_needs_its_floor() -> None:
    open_from = doors((room("mudroom", "outside"), room("bath", "mudroom"), room("closet", "bath")))
    assert ways_in(open_from, "bath") == (("mudroom",),)
    assert ways_in(open_from, "closet") == (("bath", "mudroom"),)


def test_ways_are_alternatives_and_a_longer_one_over_the_same_floors_is_left_out() -> None:
    rooms = (room("hall", "outside"), room("kitchen", "outside", "hall"), room("bath", "hall", "kitchen"))
    assert ways_in(doors(rooms), "bath") == (("hall",), ("kitchen",))


def test_parts_have_their_own_way_in_and_else_the_room_s() -> None:
    kitchen = room("kitchen", "outside", parts=(Part("north", 1, 4, ("south",)), Part("south", 1, 4, ())))
    pantry = room("pantry", "kitchen")
    open_from = doors((kitchen, pantry))
    assert open_from == {
        "kitchen.north": ("kitchen.south",),
        "kitchen.south": ("outside",),
        "pantry": ("kitchen.north", "kitchen.south"),
    }
    assert ways_in(open_from, "kitchen.north") == (("kitchen.south",),)
    assert ways_in(open_from, "pantry") == (("kitchen.south",),)
    assert doors((kitchen, room("pantry", "kitchen.north")))["pantry"] == ("kitchen.north",)


def test_a_floor_nobody_can_reach_has_no_way() -> None:
    assert ways_in(doors((room("bath", "closet"), room("closet", "bath"))), "bath") == ()
    assert ways_in(doors((room("bath", "attic"),)), "bath") == ()


def by_trying(open_from: dict[str, tuple[str, ...]], floor: str) -> set[frozenset[str]]:
    """The ways by trying every order of every set of other floors."""
    others = [each for each in open_from if each != floor]
    found: set[frozenset[str]] = set()
    for size in range(len(others) + 1):
        for chosen in combinations(others, size):
            crossed = frozenset(chosen)
            if any(way <= crossed for way in found):
                continue
            for order in permutations(chosen):
                path = [floor, *order, OUTSIDE]
                if all(then in open_from.get(now, ()) for now, then in pairwise(path)):
                    found.add(crossed)
                    break
    return found


FLOORS = ("a", "b", "c", "d", "e")


@given(st.dictionaries(st.sampled_from(FLOORS), st.lists(st.sampled_from((*FLOORS, OUTSIDE)), max_size=4, unique=True)))
@settings(max_examples=150, deadline=None)
def test_ways_in_are_the_shortest_sets_of_floors_by_trying_them_all(house: dict[str, list[str]]) -> None:
    open_from = {floor: tuple(house.get(floor, ())) for floor in FLOORS}
    assert {frozenset(way) for way in ways_in(open_from, "a")} == by_trying(open_from, "a")


def test_a_house_where_every_room_opens_to_every_other_is_answered_at_once() -> None:
    names = [f"room {n}" for n in range(14)]
    rooms = tuple(room(name, *(n for n in names if n != name), *(["outside"] if name == names[0] else []))
                  for name in names)  # fmt: skip
    assert ways_in(doors(rooms), "room 13") == (("room 0",),)
