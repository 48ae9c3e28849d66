"""Scopes turned into steps: counted by hand, linked, kept off, changed by the setter, and wrong words told."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.job.job import Answer, Delivery, Errand, Job, OwnMaterial, Visit
from planning.job.place import Part, Room
from planning.job.scope import Measure, Scope, StepChange
from planning.job.step import Band, Step, Wait
from planning.trade.expand import expand, find_steps
from planning.trade.lint import KEEPS_OFF
from planning.trade.methods import common_methods
from tests.planning.trade.small_jobs import (
    FOOT,
    HELPER,
    INCH,
    SETTER,
    SQFT,
    do,
    job_of,
    part_of,
    poured,
    room_of,
    steps_of,
    wet_room,
)  # fmt: skip

DAY = 24 * 60
METHODS = common_methods()


def house() -> Job:
    """Four rooms as a setter would have them: mudroom, powder room behind it, wet room, kitchen in two halves."""
    mudroom = room_of(10, 6, do("plain-tile-floor"), name="mudroom")
    powder = room_of(
        5, 5,
        do("level-and-tile-floor", {"depth": INCH / 4, "leveler": "leveler-rapid"}, skip=("seal",),
           change=(StepChange("grout", labor_min=50),)),
        name="powder-room", toilet=True,
    )  # fmt: skip
    powder = replace(powder, in_from=("mudroom",))
    wet = replace(wet_room({"walls": 88 * SQFT, "niches": 1, "pipe": "pvc 2 in"}), id="wet-room", name="wet-room")
    north, south = part_of("north", 7, 10, "south"), part_of("south", 7, 10)
    kitchen = room_of(
        14, 10,
        do("plain-tile-floor", on={"floor": "north"}),
        do("plain-tile-floor", on={"floor": "south"}, after=("north/plain-tile-floor/set",)),
        parts=(north, south), name="kitchen",
    )  # fmt: skip
    return job_of(mudroom, powder, wet, kitchen, helper=True)


def only(steps: tuple[Step, ...], ref: str, room: str | None = None) -> Step:
    found = find_steps(steps, room, ref)
    assert len(found) == 1, (ref, found)
    return found[0]


def test_a_house_of_four_rooms_has_the_steps_counted_by_hand():
    """Plain floor 8; level floor 15 (wood, toilet, no seal); curbless 26 (no toilet); kitchen twice 8.

    The wet room's five bags are two bays for one man: the dams, one more primer and one more pour.
    """
    expansion = expand(house())
    assert expansion.problems == ()
    by_room = {room: [s for s in expansion.steps if s.room == room] for room in
               ("mudroom", "powder-room", "wet-room", "kitchen")}  # fmt: skip
    assert {room: len(steps) for room, steps in by_room.items()} == {
        "mudroom": 8, "powder-room": 15, "wet-room": 26 + 3, "kitchen": 16,
    }  # fmt: skip
    assert [s.key for s in by_room["mudroom"]] == [
        "take-up", "check-flat", "underlay", "dry-lay", "set", "grout", "caulk", "look-over",
    ]  # fmt: skip


def test_minutes_of_the_powder_room_are_those_worked_out_by_hand():
    """25 sq ft, 20 ft round: dams 16, 9 points 9, vacuum and prime 21, 2 bags 7 + spread 10 + wash 20, set 112."""
    steps = expand(house()).steps
    minutes = {s.key: s.labour.typical for s in steps if s.room == "powder-room"}
    assert minutes["dams"] == 16
    assert minutes["heights"] == 9
    assert minutes["prime"] == 21
    assert minutes["pour"] == 37
    assert minutes["set"] == 112
    assert minutes["grout"] == 50


def test_ids_name_room_part_method_and_step():
    steps = expand(house()).steps
    names = {step.id for step in steps}
    assert {"mudroom/plain-tile-floor/set", "kitchen.north/plain-tile-floor/set"} <= names
    assert {"wet-room.shower/curbless-shower/float", "wet-room/curbless-shower/grout"} <= names
    assert len(names) == len(steps)


def test_a_leveled_floor_waits_as_its_classes_say():
    steps = {s.key: s for s in expand(house()).steps if s.room == "powder-room"}
    prime_to_pour = steps["pour"].after[0]
    assert prime_to_pour.wait is not None
    assert prime_to_pour.within is not None
    assert (prime_to_pour.wait.label.typical, prime_to_pour.within.label.typical) == (60, DAY)
    to_set = {link.step.split("/")[-1]: link.wait for link in steps["set"].after}
    assert to_set["pour"] is not None
    assert to_set["pour"].label.typical == 4 * 60
    assert to_set["pour"].material == "leveler-rapid"
    assert to_set["pour"].room == "powder-room"


@pytest.mark.parametrize("key", sorted(METHODS))
def test_a_scope_has_at_least_as_many_links_as_steps_less_one_and_is_in_order(key: str):
    for toilet in (True, False):
        steps = expand(job_of(room_of(8, 5, do(key), toilet=toilet))).steps
        seen: set[str] = set()
        for step in steps:
            assert {link.step for link in step.after} <= seen
            seen.add(step.id)
        assert sum(len(step.after) for step in steps) >= len(steps) - 1


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_whatever_is_skipped_the_rest_hangs_together(data: st.DataObject):
    method = METHODS[data.draw(st.sampled_from(sorted(METHODS)))]
    keys = [row.key for row in method.row]
    skip = tuple(data.draw(st.lists(st.sampled_from(keys), unique=True, max_size=len(keys) - 1)))
    expansion = expand(job_of(room_of(8, 5, do(method.key, skip=skip), toilet=True)))
    names = {step.id for step in expansion.steps}
    assert not expansion.problems
    assert not {step.key for step in expansion.steps} & set(skip)
    for step in expansion.steps:
        assert {link.step for link in step.after} <= names
        assert all(isinstance(keep.until, Wait) or keep.until in names for keep in step.keeps_off)
    assert sum(len(step.after) for step in expansion.steps) >= len(expansion.steps) - 1


def test_every_poured_coated_floated_or_set_floor_keeps_people_off_until_it_may_be_walked_on():
    for key, method in METHODS.items():
        walls = {place for place, row in method.places.items() if row.floor is not None}
        for step in expand(job_of(room_of(8, 5, do(key)))).steps:
            row = method.by_key(step.bay_of or step.key)
            if row is None:
                assert step.kind not in KEEPS_OFF, step.id
                continue
            if step.kind in KEEPS_OFF and row.place not in walls:
                assert any(keep.what == "walk" and keep.floors for keep in step.keeps_off), step.id


def test_what_an_inspector_must_see_is_covered_only_after_it():
    steps = {s.key: s for s in expand(house()).steps if s.room == "wet-room"}
    assert steps["dwv-test"].sees == "inspector"
    assert steps["flood"].sees == "inspector"
    before_float = {link.step.split("/")[-1] for link in steps["float"].after}
    assert "dwv-test" in before_float
    assert "dwv-test" in {link.step.split("/")[-1] for link in steps["board"].after}
    hold = steps["flood"].after[0].wait
    assert hold is not None
    assert (hold.window, hold.label.typical) == ("flood_hold", DAY)


def test_the_flood_hold_is_what_the_inspector_of_the_job_asks():
    steps = expand(replace(house(), flood_hold_min=15)).steps
    hold = only(steps, "flood", "wet-room").after[0].wait
    assert hold is not None
    assert hold.label == Band(15, 15, 15)


def test_a_flood_test_is_read_from_the_room_or_from_the_door_never_from_the_wet_floor():
    parted = expand(house()).steps
    assert only(parted, "flood", "wet-room").stands_on == ("wet-room.floor",)
    whole = steps_of(room_of(5, 3, do("curbless-shower")))
    assert whole["flood"].stands_on == ()
    assert whole["drain-down"].stands_on == ()
    assert whole["fill"].stands_on == ("room",)
    assert whole["wall-tile"].stands_on == ("room",)


def test_walls_are_worked_on_from_the_floor_before_them():
    board = only(expand(house()).steps, "board", "wet-room")
    assert board.stands_on == ("wet-room.shower",)
    assert board.part == "shower"


def test_the_toilet_goes_out_first_and_comes_back_once_whatever_else_is_done_in_the_room():
    steps = steps_of(room_of(7, 5, do("plain-tile-floor"), do("tub-surround"), toilet=True))
    assert steps["toilet-out"].house == {"toilet": "out"}
    assert steps["toilet-back"].house == {"toilet": "back"}
    assert steps["take-up"].after[0].step == steps["toilet-out"].id
    twice = expand(job_of(room_of(14, 5, do("plain-tile-floor", on={"floor": "a"}),
                                  do("level-and-tile-floor", on={"floor": "b"}),
                                  parts=(part_of("a", 7, 5), part_of("b", 7, 5)), toilet=True)))  # fmt: skip
    assert len(find_steps(twice.steps, "room", "toilet-out")) == 1


def test_a_slab_is_tested_for_moisture_and_wood_is_screwed_down():
    slab = steps_of(room_of(8, 5, do("level-and-tile-floor", {"base": "slab"})))
    wood = steps_of(room_of(8, 5, do("level-and-tile-floor")))
    assert {"probes", "probe-reading"} <= set(slab)
    assert "screws" in wood
    assert not {"screws"} & set(slab)
    reading = slab["probe-reading"].after[0].wait
    assert reading is not None
    assert reading.label.typical == DAY


def test_a_label_of_two_numbers_gives_the_wait_and_the_window():
    """The setter's own: next layer 1-1/2 h to 24 h."""
    own = OwnMaterial("primer", windows={"next_layer": (Band(90, 90, 90), Band(DAY, DAY, DAY))})
    steps = steps_of(room_of(5, 5, do("level-and-tile-floor")), materials={"primer": own})
    link = steps["pour"].after[0]
    assert link.wait is not None
    assert link.within is not None
    assert (link.wait.label.typical, link.within.label.typical) == (90, DAY)
    assert link.wait.own_label


def test_a_class_chosen_in_the_room_stands_in_its_place_and_one_of_another_family_may_not():
    steps = steps_of(room_of(5, 5, do("level-and-tile-floor", {"grout": "grout-epoxy"})))
    assert steps["grout"].amounts[0].material == "grout-epoxy"
    assert "seal" not in steps
    told = expand(job_of(room_of(5, 5, do("level-and-tile-floor", {"leveler": "grout-epoxy"})))).problems
    assert len(told) == 1
    assert told[0].line == 10
    assert "leveler-rapid" in told[0].how


def test_the_pipe_chooses_its_cement():
    steps = steps_of(wet_room({"pipe": "abs 2 in"}))
    assert steps["drain"].amounts[0].material == "solvent-cement-abs"
    assert any("D2235" in item for item in steps["drain"].small_items)


def test_changes_of_the_setter_stand_and_are_his_own():
    change = StepChange("pour", labor_min=55, wait_min=120, within_min=600, crew=("pour", "carry"), title="pour it")
    pour = steps_of(room_of(5, 5, do("level-and-tile-floor", change=(change,))))["pour"]
    assert (pour.title, pour.crew, pour.labour.typical) == ("pour it", ("pour", "carry"), 55)
    link = pour.after[0]
    assert link.wait is not None
    assert link.within is not None
    assert (link.wait.label.typical, link.within.label.typical, link.wait.own_label) == (120, 600, True)


def test_a_wait_longer_than_its_window_is_told_with_its_line():
    change = StepChange("pour", wait_min=2000, line=33)
    told = expand(job_of(room_of(5, 5, do("level-and-tile-floor", change=(change,))))).problems
    assert [problem.line for problem in told] == [33]


def test_a_step_of_his_own_comes_where_he_says_and_holds_what_he_names():
    extra: Mapping[str, object] = {
        "step": "sound-mat", "labor": "45 min", "kind": "set", "after": ["flat"], "before": "layout",
    }  # fmt: skip
    steps = steps_of(room_of(5, 5, do("level-and-tile-floor", add=(extra,))))
    mat = steps["sound-mat"]
    assert mat.id == "room/level-and-tile-floor/sound-mat"
    assert mat.labour == Band(45, 45, 45)
    assert mat.id in {link.step for link in steps["layout"].after}
    assert [link.step for link in mat.after] == [steps["flat"].id]


def test_one_method_comes_after_steps_of_another():
    steps = expand(house()).steps
    first = only(steps, "south/plain-tile-floor/take-up", "kitchen")
    assert [link.step for link in first.after] == ["kitchen.north/plain-tile-floor/set"]


def test_a_locked_pour_and_float_tell_their_inner_acts():
    steps = steps_of(wet_room())
    for bay in poured(steps):
        assert [act.key for act in bay.acts] == ["spread", "edge", "bucket"]
    lifts = steps["float"].acts
    assert [act.key for act in lifts] == ["rails", "bulk", "skim", "trowel", "hard"]
    assert all(one.opens_min <= other.opens_min for one, other in pairwise(lifts))
    assert all(act.opens_min <= act.shuts_min for act in lifts)
    skim = next(act for act in lifts if act.key == "skim")
    assert skim.opens is not None
    assert (skim.counts_from, skim.opens.label.typical) == ("bulk", 18)
    assert all(not steps[key].acts for key in ("prime", "coat-1", "grout"))


def test_a_bed_that_weighs_more_than_floors_are_built_for_says_so():
    """1-1/2 in of leveler is 15.6 lb a sq ft, 1/4 in is 2.6."""
    heavy = poured(steps_of(room_of(5, 5, do("level-and-tile-floor", {"depth": 1.5 * INCH}))))
    light = steps_of(room_of(5, 5, do("level-and-tile-floor")))["pour"]
    assert all("load" in bay.cautions for bay in heavy)
    assert "load" not in light.cautions


def test_every_step_has_sources_and_the_wet_ones_cautions():
    for key in METHODS:
        for step in expand(job_of(room_of(8, 5, do(key)))).steps:
            assert step.sources
            if step.kind in ("pour", "float"):
                assert {"silica", "caustic"} <= set(step.cautions)


def noted(scope: Scope, helper: bool = False, size: tuple[float, float] = (5, 3)) -> list[str]:
    return [f"{note.what}; {note.how}" for note in expand(job_of(room_of(*size, scope), helper=helper)).notes]


def test_a_drain_off_center_with_level_walls_is_too_steep_and_the_note_says_what_mends_it():
    """5 x 3 ft, drain 1 ft from the left wall: 1.068 in a foot on the near side, and at most 1/2 in is allowed."""
    notes = noted(do("curbless-shower", {"drain": (1 * FOOT, 1.5 * FOOT)}))
    assert len(notes) == 1
    assert "steepest" in notes[0]
    assert "put the drain in the middle" in notes[0]
    assert noted(do("curbless-shower", {"drain": "center"})) == []


def test_a_recess_too_shallow_for_the_mud_is_a_problem_and_a_deep_one_sets_the_rise():
    """Recess 1 in under a floor of 3/8 in tile: 1-1/4 in of mud does not fit."""
    shallow = expand(job_of(room_of(5, 3, do("curbless-shower", {"recess": 1 * INCH})))).problems
    assert "too shallow" in shallow[0].what
    deep = steps_of(room_of(5, 3, do("curbless-shower", {"recess": 2.5 * INCH})))
    assert (
        deep["float"].amounts[0].quantity > steps_of(room_of(5, 3, do("curbless-shower")))["float"].amounts[0].quantity
    )


def test_more_bags_than_two_can_pour_in_the_flow_time_are_noted_with_the_ways_out():
    """80 sq ft at 1/2 in is 3.33 cu ft, 9 bags: 32 min with one mixer, and it flows 15."""
    scope = do("level-and-tile-floor", {"depth": INCH / 2})
    notes = noted(scope, helper=True, size=(10, 8))
    assert len(notes) == 1
    assert "9 bags" in notes[0]
    assert "bays" in notes[0]
    assert noted(do("level-and-tile-floor"), helper=True, size=(5, 5)) == []


def test_a_pour_thinner_than_its_class_allows_is_noted():
    assert any("thinner" in note for note in noted(do("level-and-tile-floor", {"depth": INCH / 16}), size=(5, 5)))


def test_movement_joints_and_joists_count_when_they_are_measured():
    """30 x 22 ft at 12 ft has 2 joints across and 1 along: 2 x 22 + 30 = 74 ft more to caulk."""
    plain = steps_of(room_of(30, 22, do("plain-tile-floor")))["caulk"].amounts[0].quantity
    joints = steps_of(room_of(30, 22, do("plain-tile-floor", {"movement_joint": 12 * FOOT})))["caulk"].amounts[0]
    assert joints.quantity - plain == pytest.approx(74 * FOOT)
    wide = steps_of(room_of(8, 4, do("level-and-tile-floor", {"joists": 24 * INCH})))["screws"].amounts[0].quantity
    close = steps_of(room_of(8, 4, do("level-and-tile-floor", {"joists": 12 * INCH})))["screws"].amounts[0].quantity
    assert wide < close


def told(job: Job) -> list[str]:
    return [str(problem) for problem in expand(job, "house.toml").problems]


@pytest.mark.parametrize(
    ("scope", "said"),
    [
        (do("plain-tile-flor"), 'write "plain-tile-floor"'),
        (do("plain-tile-floor", skip=("grot",)), 'write "grout"'),
        (do("plain-tile-floor", change=(StepChange("caulkk", line=12),)), 'write "caulk"'),
        (do("plain-tile-floor", on={"flor": "north"}), 'write "floor"'),
        (do("plain-tile-floor", on={"floor": "nord"}), "there is no part"),
        (do("plain-tile-floor", {"leveler": "leveler"}), "has no use for"),
        (do("plain-tile-floor", after=("mudroom/pour",)), "which is no step"),
        (do("plain-tile-floor", add=({"step": "x"},)), "added step"),
        (do("plain-tile-floor", add=({"step": "x", "labor": "soon"},)), "soon"),
        (do("plain-tile-floor", add=({"step": "set", "labor": "5 min"},)), "already a step"),
        (do("curbless-shower", {"drain": (40.0, 40.0)}), "outside the floor"),
    ],
)
def test_wrong_words_in_a_scope_are_told_with_line_and_right_spelling(scope: Scope, said: str):
    problems = told(job_of(room_of(8, 5, scope)))
    assert len(problems) == 1
    assert problems[0].startswith("house.toml:1")
    assert said in problems[0]


def test_visits_answers_errands_deliveries_and_labels_that_name_nothing_are_told_at_once():
    room = room_of(8, 5, do("plain-tile-floor"), name="bath")
    job = job_of(
        room,
        visits=(Visit("v", "inspector", "bath", "flod", 0, 0, line=21),),
        answers=(Answer("a", "owner", "color", "bath", "grot", 0, line=22),),
        errands=(Errand("e", "store", 60, "you", {"leveller": 1}, "bath/por", line=23),),
        deliveries=(Delivery("d", "tiles", "bath", 0, 0, line=24),),
        materials={"thinset": OwnMaterial("thinset", line=25)},
    )
    problems = expand(job, "house.toml").problems
    assert sorted(problem.line for problem in problems) == [21, 22, 23, 23, 24, 25]
    assert any('write "thin-set"' in problem.how for problem in problems)
    assert any('write "tile"' in problem.how for problem in problems)


def test_methods_that_wait_for_each_other_are_told():
    a = room_of(8, 5, do("plain-tile-floor", after=("b/grout",)), name="a")
    b = room_of(8, 5, do("plain-tile-floor", after=("a/grout",)), name="b")
    assert any("wait for each other" in each for each in told(job_of(a, b)))


def test_the_same_method_twice_on_one_floor_is_told():
    assert any("twice" in each for each in told(job_of(room_of(8, 5, do("plain-tile-floor"), do("plain-tile-floor")))))


def test_steps_are_found_by_every_name_people_write():
    steps = expand(house()).steps
    for ref, room in (
        ("kitchen.north/plain-tile-floor/set", None),
        ("kitchen.north/plain-tile-floor/set#2", None),
        ("north/plain-tile-floor/set", "kitchen"),
        ("north/set", "kitchen"),
        ("kitchen.north/set", "mudroom"),
    ):
        assert only(steps, ref, room).id == "kitchen.north/plain-tile-floor/set"
    assert len(find_steps(steps, "kitchen", "set")) == 2
    assert only(steps, "powder-room/pour", "mudroom").room == "powder-room"
    assert only(steps, "plain-tile-floor/grout", "mudroom").room == "mudroom"
    assert find_steps(steps, "mudroom", "pour") == ()


def test_a_helper_takes_what_he_can_and_a_setter_alone_does_it_all():
    room = Room("r", "r", 1.5, 1.5, ("outside",), do=(do("kitchen-floor"),))
    two = replace(job_of(room), people=(SETTER, HELPER))
    assert only(expand(two).steps, "pour", "r").crew == ("pour", "mix")
    assert only(expand(job_of(room)).steps, "pour", "r").crew == ("pour",)


def test_a_part_without_a_size_of_its_own_still_has_its_amounts():
    shower = Part("shower", 15 * SQFT, 16 * FOOT, ("outside",))
    steps = steps_of(room_of(10, 6, do("curbless-shower", on={"shower": "shower"}), parts=(
        shower, Part("floor", 45 * SQFT, 28 * FOOT, ("outside",)))))  # fmt: skip
    assert steps["float"].amounts[0].quantity > 0


def test_a_setters_own_method_is_planned_like_ours():
    own = {
        "key": "sauna-bench", "title": "Sauna bench",
        "row": [
            {"key": "frame", "title": "frame", "kind": "fit", "place": "floor", "labour": [{"of": 90}]},
            {"key": "cap", "title": "cap", "kind": "set", "place": "floor", "lays": "thin-set",
             "labour": [{"per": "floor_area", "of": [3, 4.5, 7], "unit": "min/sq ft"}], "after": ["frame"],
             "keeps_off": {"walk": "walk"}},
        ],
    }  # fmt: skip
    steps = steps_of(room_of(5, 4, do("sauna-bench")), own_methods=(own,))
    assert steps["frame"].labour.typical == 90
    assert steps["cap"].labour.typical == 90
    until = steps["cap"].keeps_off[0].until
    assert isinstance(until, Wait)
    assert until.label.typical == DAY


def test_the_same_job_expands_to_the_same_steps():
    assert expand(house()) == expand(house())
    assert house().start == date(2026, 6, 1)


def test_measures_of_people_are_read_too():
    measures: Mapping[str, Measure] = {"depth": "1/4 in", "tile": "12 x 24 x 3/8 in"}
    in_words = steps_of(room_of(5, 5, do("level-and-tile-floor", measures)))
    assert in_words["pour"].amounts == steps_of(room_of(5, 5, do("level-and-tile-floor")))["pour"].amounts
