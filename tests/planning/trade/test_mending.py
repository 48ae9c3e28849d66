"""What each report puts into a job's steps, against the table of recoveries: what comes in, and who waits for it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from planning.job.events import Event
from planning.job.job import Job
from planning.job.step import Step
from planning.trade.expand import expand
from planning.trade.mending import asked_answers, mended
from planning.trade.mending.swapped import why_no_swap
from planning.trade.scope_steps import all_before
from tests.planning.trade.small_jobs import do, job_of, room_of, wet_room

HOUR = 60
START = 29_670_000
"""A Monday in June 2026, in minutes since 1970."""
POURED = {"leveler": "leveler-rapid", "depth": 0.00635, "bays": 1}


def bath() -> Job:
    """One room with a poured floor."""
    return job_of(room_of(8, 5, do("level-and-tile-floor", POURED), name="bath"), helper=True)


def shower() -> Job:
    """One room with a shower."""
    return job_of(wet_room(), helper=True)


def noted(n: int, kind: str, minute: int, **body: Any) -> Event:
    return Event(f"e{n}", kind, datetime.fromtimestamp((START + minute) * 60, UTC), body, n)


def lived(job: Job, key: str, *, running: bool = False) -> list[Event]:
    """Everything before the step of that key done, ten minutes each, and it too (or only begun)."""
    steps = expand(job).steps
    last = next(step for step in steps if step.key == key)
    before = all_before(steps)[last.id]
    events: list[Event] = []
    for at, step in enumerate([*(step for step in steps if step.id in before), last]):
        events.append(noted(2 * at + 1, "started", 10 * at, step=step.id))
        if step is not last or not running:
            events.append(noted(2 * at + 2, "finished", 10 * at + 10, step=step.id))
    return events


def after(job: Job, key: str, kind: str, minutes: int = 5, running: bool = False, **body: Any) -> dict[str, Step]:
    """The steps by key when that was reported so many minutes after the step of `key` was done (or begun)."""
    events = lived(job, key, running=running)
    at = events[-1].minute - START + minutes
    made = mended(job, expand(job).steps, [*events, noted(900, kind, at, **body)], START + at)
    return {step.key: step for step in made}


def new(job: Job, made: Mapping[str, Step]) -> list[str]:
    """The keys that came in, in working order."""
    have = {step.id for step in expand(job).steps}
    return [key for key, step in made.items() if step.id not in have]


def waits_for(step: Step) -> set[str]:
    return {link.step.rpartition("/")[2] for link in step.after}


CASES: Sequence[tuple[str, Job, str, str, dict[str, Any], list[str], dict[str, str]]] = [
    ("a pour walked on is ground and patched", bath(), "pour", "found", {"room": "bath", "value": "footprints"},
     ["pour-patch"], {"flat": "pour-patch"}),
    ("a pour out of flat is primed and poured again", bath(), "pour", "found", {"room": "bath", "value": "not flat"},
     ["pour-heights", "prime-again", "pour-again"], {"flat": "pour-again", "pour-again": "prime-again"}),
    ("a primer walked on is primed again", bath(), "prime", "found", {"room": "bath", "value": "walked on it"},
     ["prime-again"], {"pour": "prime-again"}),
    ("tile walked on is laid again", bath(), "set", "found", {"room": "bath", "value": "somebody walked on it"},
     ["set-relay"], {"grout": "set-relay"}),
    ("a coat walked on is scuffed and coated again", shower(), "coat-1", "found", {"room": "room", "value": "walked"},
     ["coat-1-scuff", "coat-1-again"], {"coat-2": "coat-1-again", "coat-1-again": "coat-1-scuff"}),
    ("a thin spot in the last coat gets one coat more", shower(), "coat-2", "found",
     {"room": "room", "value": "pinholes"},
     ["coat-2-scuff", "coat-2-again"], {"fill": "coat-2-again", "wall-tile": "coat-2-again"}),
    ("a level that dropped: drain, mend, fill and read from zero", shower(), "flood", "found",
     {"room": "room", "value": "level dropped: flood drops"},
     ["flood-drain", "flood-mend", "fill-again", "flood-again"],
     {"flood-mend": "flood-drain", "fill-again": "flood-mend", "flood-again": "fill-again",
      "drain-down": "flood-again"}),
    ("an inspection failed: put right and shown again", shower(), "dwv-test", "visit_result",
     {"visit": "visit/room/dwv-test", "value": "failed"},
     ["dwv-test-put-right", "dwv-test-again"], {"float": "dwv-test-again", "board": "dwv-test-again"}),
    ("a flood test failed before the inspector's eyes", shower(), "flood", "visit_result",
     {"visit": "visit/room/flood", "value": "failed, level"},
     ["flood-drain", "flood-mend", "fill-again", "flood-again"], {"drain-down": "flood-again"}),
    ("rot is opened up and mended before anything goes on", bath(), "tear-out", "found",
     {"room": "bath", "value": "joist is soft"},
     ["rot-open", "rot-frame"], {"screws": "rot-frame", "rot-frame": "rot-open"}),
    ("extra work comes before the hand-over", bath(), "tear-out", "extra_work",
     {"room": "bath", "value": "second niche", "minutes": 90},
     ["work"], {"hand-over": "work"}),
    ("bags short in mid-pour: bulkhead, prime, the rest as a bay", bath(), "pour", "short",
     {"class": "leveler-rapid", "value": 1},
     ["pour-bulkhead", "prime-rest", "pour-rest"], {"flat": "pour-rest", "pour-rest": "prime-rest"}),
]  # fmt: skip


@pytest.mark.parametrize(("name", "job", "key", "kind", "body", "come_in", "wait"), CASES, ids=[c[0] for c in CASES])
def test_each_trouble_puts_in_the_steps_of_its_recovery_and_what_follows_waits_for_them(
    name: str, job: Job, key: str, kind: str, body: dict[str, Any], come_in: list[str], wait: dict[str, str]
) -> None:
    made = after(job, key, kind, running=kind == "short", **body)
    assert new(job, made) == come_in
    for later, earlier in wait.items():
        assert earlier in waits_for(made[later]), (later, waits_for(made[later]))
    assert all(made[each].labour.low >= 1 and made[each].says for each in come_in)


@pytest.mark.parametrize("kind", ["found", "visit_result", "short", "extra_work"])
def test_undo_takes_the_whole_consequence_back(kind: str) -> None:
    for _, job, key, its, body, _, _ in CASES:
        if its != kind:
            continue
        events = lived(job, key, running=kind == "short")
        back = [noted(900, kind, 9_000, **body), noted(901, "undone", 9_001, event="e900")]
        steps = expand(job).steps
        assert mended(job, steps, [*events, *back], START) == steps


def test_a_coat_done_again_opens_and_shuts_the_next_one_as_the_first_did() -> None:
    first = {step.key: step for step in expand(shower()).steps}["coat-2"].after[0]
    again = after(shower(), "coat-1", "found", room="room", value="walked on")["coat-2"].after[0]
    assert (again.wait, again.within) == (first.wait, first.within)
    assert again.step.endswith("coat-1-again")


def test_after_a_patch_the_pours_own_cure_still_counts() -> None:
    job = job_of(room_of(8, 5, do("level-and-tile-floor", POURED), name="bath"))
    made = after(job, "pour", "found", room="bath", value="footprints")
    links = {link.step.rpartition("/")[2]: link for link in made["flat"].after}
    assert set(links) == {"pour", "pour-patch"}
    assert links["pour"].wait is not None
    assert links["pour-patch"].wait is not None


def test_the_water_is_let_out_before_the_membrane_is_mended_and_the_new_test_is_the_one_to_show() -> None:
    made = after(shower(), "flood", "found", room="room", value="level drop")
    assert [keep.until for keep in made["fill"].keeps_off] == [made["flood-drain"].id] * 2
    assert made["flood-drain"].stands_on == ()
    assert made["flood"].sees is None
    assert made["flood-again"].sees == "inspector"
    assert made["flood-mend"].keeps_off
    hold = made["flood-again"].after[0]
    assert hold.wait is not None
    assert hold.wait.label.typical == 24 * HOUR
    cure = made["fill-again"].after[0]
    assert cure.wait is not None
    assert cure.wait.window == "flood"


def test_bags_short_in_mid_pour_leave_as_much_to_pour_as_was_not_poured() -> None:
    whole = {step.key: step for step in expand(bath()).steps}["pour"]
    made = after(bath(), "pour", "short", running=True, **{"class": "leveler-rapid", "value": 1})
    poured, rest = made["pour"], made["pour-rest"]
    assert poured.amounts[0].quantity + rest.amounts[0].quantity == pytest.approx(whole.amounts[0].quantity)
    assert poured.labour.typical + rest.labour.typical == pytest.approx(whole.labour.typical, abs=1)
    assert 0 < rest.amounts[0].quantity < whole.amounts[0].quantity
    assert rest.keeps_off == whole.keeps_off
    assert rest.after[0].within == whole.after[0].within


def test_bags_short_while_nothing_is_poured_change_no_step() -> None:
    job = bath()
    made = after(job, "dams", "short", **{"class": "leveler-rapid", "value": 1})
    assert new(job, made) == []


@pytest.mark.parametrize(("key", "value"), [("tear-out", "walked on"), ("pour", "loose tile"), ("hand-over", "walked")])
def test_a_trouble_that_hurts_nothing_laid_there_changes_no_step(key: str, value: str) -> None:
    job = bath()
    assert new(job, after(job, key, "found", room="bath", value=value)) == []


def test_a_second_trouble_of_a_layer_that_waits_for_its_mend_brings_no_second_mend() -> None:
    job = bath()
    events = [*lived(job, "pour"), *(noted(900 + n, "found", 9_000 + n, room="bath", value="walked") for n in (0, 1))]
    made = mended(job, expand(job).steps, events, START + 9_010)
    assert [step.key for step in made if step.known_since is not None] == ["pour-patch"]


def test_ids_never_come_to_mean_another_trouble() -> None:
    job = bath()
    both = [noted(900, "found", 9_000, room="bath", value="rot"), noted(901, "found", 9_001, room="bath", value="leak")]
    undo = noted(902, "undone", 9_002, event="e900")
    steps = expand(job).steps
    first = {step.id for step in mended(job, steps, both, START + 9_010)}
    then = {step.id for step in mended(job, steps, [*both, undo], START + 9_010)}
    assert then < first
    assert any(name.endswith("leak-mend-2") for name in then)


def test_what_was_found_and_costs_money_waits_for_the_owners_yes_and_his_no_takes_it_out() -> None:
    job = bath()
    found = noted(900, "found", 9_000, room="bath", value="joist is soft")
    asked = asked_answers(job, [found])
    assert [(each.owed_by, each.yes, each.holds) for each in asked] == [("owner", True, "bath/found/rot-open")]
    assert asked[0].by > found.minute
    no = noted(901, "answered", 9_100, answer=asked[0].id, value="no, leave it")
    assert asked_answers(job, [found, no]) == ()
    steps = expand(job).steps
    assert mended(job, steps, [found, no], START + 9_200) == steps
    assert asked_answers(job, [noted(900, "found", 9_000, room="bath", value="walked on")]) == ()


# windows that shut


@pytest.mark.parametrize(
    ("job", "key", "late", "comes", "anew"),
    [(bath(), "prime", "pour", "prime-again-late", True), (shower(), "coat-1", "coat-2", "coat-1-scuff-late", False)],
)
def test_a_window_that_shut_puts_the_recovery_between_the_layer_and_the_late_step(
    job: Job, key: str, late: str, comes: str, anew: bool
) -> None:
    events = lived(job, key)
    steps = expand(job).steps
    done = events[-1].minute
    in_time = mended(job, steps, events, done + 2 * HOUR)
    assert in_time == steps
    made = {step.key: step for step in mended(job, steps, events, done + 200 * HOUR)}
    assert new(job, made) == [comes]
    link = next(link for link in made[late].after if link.step.endswith(comes))
    assert (link.within is not None) is anew
    assert all(not old.step.endswith(f"/{key}") for old in made[late].after)


def test_a_primer_put_on_again_can_be_missed_again() -> None:
    job = bath()
    events = lived(job, "prime")
    done = events[-1].minute - START
    again = "bath/level-and-tile-floor/prime-again-late"
    events += [noted(800, "started", done + 3000, step=again), noted(801, "finished", done + 3010, step=again)]
    made = {step.key: step for step in mended(job, expand(job).steps, events, START + done + 9000)}
    assert new(job, made) == ["prime-again-late", "prime-again-late-again-late"]
    assert waits_for(made["pour"]) == {"prime-again-late-again-late"}


def test_a_step_begun_after_its_window_is_left_as_it_was_done() -> None:
    job = bath()
    events = lived(job, "prime")
    pour = next(step.id for step in expand(job).steps if step.key == "pour")
    late = noted(800, "started", events[-1].minute - START + 5000, step=pour)
    assert mended(job, expand(job).steps, [*events, late], START + 90_000) == expand(job).steps


# classes


def test_another_class_brings_its_windows_and_amounts_to_what_is_not_begun() -> None:
    job = bath()
    swap = {"class": "leveler-rapid", "value": "leveler"}
    made = after(job, "dams", "class_swapped", **swap)
    slow = job_of(room_of(8, 5, do("level-and-tile-floor", {**POURED, "leveler": "leveler"}), name="bath"), helper=True)
    wanted = {step.key: step for step in expand(slow).steps}
    for key in ("pour", "flat", "set"):
        assert (made[key].amounts, made[key].after) == (wanted[key].amounts, wanted[key].after), key
    assert {each.material for each in made["pour"].amounts} == {"leveler"}


def test_what_was_laid_before_the_swap_keeps_the_waits_of_what_was_laid() -> None:
    job = bath()
    first = {step.key: step for step in expand(job).steps}
    made = after(job, "pour", "class_swapped", **{"class": "leveler-rapid", "value": "leveler"})
    assert made["pour"] == first["pour"]
    assert made["flat"].after == first["flat"].after


def test_a_swap_that_cannot_be_is_told_with_what_can() -> None:
    job = bath()
    assert why_no_swap(job, [], {"class": "leveler-rapid", "value": "leveler"}) is None
    wrong = why_no_swap(job, [], {"class": "leveler-rapid", "value": "thin-set"})
    assert wrong is not None
    assert "leveler" in wrong
    unused = why_no_swap(job, [], {"class": "leveler", "value": "leveler-rapid"})
    assert unused is not None
    assert "no step" in unused


def test_events_of_no_step_and_no_room_change_nothing() -> None:
    job = bath()
    steps = expand(job).steps
    odd = [
        noted(900, "found", 10, room="attic", value="rot"), noted(901, "found", 11, step="attic/x/y", value="walked"),
        noted(902, "visit_result", 12, visit="visit/attic/flood", value="failed"),
        noted(903, "short", 13, **{"class": "moon dust", "value": 2}), noted(904, "extra_work", 14, room="attic"),
        noted(905, "class_swapped", 15, **{"class": "leveler-rapid", "value": "cheese"}),
    ]  # fmt: skip
    assert mended(job, steps, odd, START) == steps
    assert asked_answers(job, odd) == ()
    assert replace(steps[0]) == steps[0]
