"""The judge is silent on a good plan, and names the right rule and step when one thing in it is wrong."""

import json
import subprocess
import sys
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.job.plan import Broken
from planning.job.plan_json import PlanFileError, from_json, to_json
from planning.schedule.judge import judge
from planning.schedule.rules import ALL_RULES
from tests.by_hand import ByHand
from tests.small_job import BACK, FLOOD, GROUT, READ, SET, STORE, small


def judged(hand: ByHand) -> tuple[Broken, ...]:
    """The verdict on a plan laid by hand, by its own facts."""
    return judge(hand.plan(), hand.job, hand.steps, hand.events)


def rules_of(broken: tuple[Broken, ...]) -> set[int]:
    """The numbers named."""
    return {each.rule for each in broken}


def test_a_plan_laid_by_hand_breaks_no_rule() -> None:
    assert judged(small()) == ()


def test_the_plan_is_still_good_when_read_back_from_json() -> None:
    hand = small()
    plan = from_json(to_json(hand.plan()), "America/Denver")
    assert judge(plan, hand.job, hand.steps) == ()


ACTS = sorted(small().acts)


@pytest.mark.parametrize("act", ACTS)
@pytest.mark.parametrize("minutes", [-10, 10])
def test_any_act_moved_ten_minutes_in_the_json_is_caught_and_named(act: str, minutes: int) -> None:
    hand = small()
    raw = json.loads(to_json(hand.plan()))
    for planned in raw["steps"]:
        if planned["id"] == act:
            planned["start"] = _later(planned["start"], minutes)
            planned["finish"] = _later(planned["finish"], minutes)
    found = judge(from_json(json.dumps(raw), "America/Denver"), hand.job, hand.steps)
    assert any(act in broken.steps for broken in found), [broken.words for broken in found]


LOOSE = {(BACK, 10), (f"{SET}#2", 10), (FLOOD, 10), (READ, 10), (GROUT, 10)}
"""Moves that only make another good plan, once all their consequences are told."""


@pytest.mark.parametrize(("act", "minutes"), [(a, m) for a in ACTS for m in (-10, 10) if (a, m) not in LOOSE])
def test_any_act_moved_ten_minutes_with_all_its_consequences_breaks_a_rule_of_the_trade(act: str, minutes: int) -> None:
    found = judged(small().moved(act, minutes))
    assert rules_of(found) - {0}, "nothing but the plan's own words was found wrong"
    assert any(act in broken.steps for broken in found if broken.rule)


@pytest.mark.parametrize(("act", "minutes"), sorted(LOOSE))
def test_a_move_into_free_time_with_all_its_consequences_is_another_good_plan(act: str, minutes: int) -> None:
    assert judged(small().moved(act, minutes)) == ()


def _times(raw: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The place of every time in a JSON plan."""
    if isinstance(raw, dict):
        for key, value in raw.items():
            yield from _times(value, (*path, key))
    elif isinstance(raw, list):
        for n, value in enumerate(raw):
            yield from _times(value, (*path, n))
    elif isinstance(raw, str) and raw.startswith("2026-") and "T" in raw:
        yield path


def _later(text: str, minutes: int) -> str:
    return (datetime.fromisoformat(text) + timedelta(minutes=minutes)).isoformat(timespec="minutes")


@pytest.mark.parametrize("minutes", [-10, 10])
def test_every_single_time_in_the_json_is_checked(minutes: int) -> None:
    hand = small()
    text = to_json(hand.plan())
    for path in _times(json.loads(text)):
        if path == ("made_at",):
            continue
        raw = json.loads(text)
        place = raw
        for key in path[:-1]:
            place = place[key]
        place[path[-1]] = _later(place[path[-1]], minutes)
        assert judge(from_json(json.dumps(raw), "America/Denver"), hand.job, hand.steps), path


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_the_judge_answers_whatever_the_times_are(data: st.DataObject) -> None:
    hand = small()
    raw = json.loads(to_json(hand.plan()))
    paths = list(_times(raw))
    for path in data.draw(st.lists(st.sampled_from(paths), min_size=1, max_size=6)):
        place = raw
        for key in path[:-1]:
            place = place[key]
        year = data.draw(st.integers(1, 9998))
        place[path[-1]] = f"{year:04d}-0{data.draw(st.integers(1, 9))}-1{data.draw(st.integers(0, 9))}T07:20-06:00"
    judge(from_json(json.dumps(raw), "America/Denver"), hand.job, hand.steps)


def _values(raw: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Any]]:
    """Every place in a JSON plan that holds a plain value, with the value."""
    if isinstance(raw, dict):
        for key, value in raw.items():
            yield from _values(value, (*path, key))
    elif isinstance(raw, list):
        for n, value in enumerate(raw):
            yield from _values(value, (*path, n))
    else:
        yield path, raw


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_the_judge_answers_whatever_a_plan_says_and_names_what_is_not_so(data: st.DataObject) -> None:
    hand = small()
    raw = json.loads(to_json(hand.plan()))
    values = list(_values(raw))
    (path, old), (_, new) = data.draw(st.sampled_from(values)), data.draw(st.sampled_from(values))
    place = raw
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = new
    try:
        plan = from_json(json.dumps(raw), "America/Denver")
    except PlanFileError:
        return
    found = judge(plan, hand.job, hand.steps)
    free = path[-1] in FREE or path[0] in FREE or (path[-1] == "room" and place.get("id") == STORE)
    assert found or new == old or free, (path, old, new)


FREE = {
    "made_at", "proof", "title", "state", "latest_start", "lost_then", "reason", "recovery", "law", "label_min",
    "factor", "share", "words", "rule",
}  # fmt: skip
"""What a plan may say as it likes: words, proofs, and what follows from its order of work and not from the job."""


def test_every_number_of_the_rules_is_judged_and_every_rule_says_what_a_plan_may_never_do() -> None:
    assert {rule.number for rule in ALL_RULES} == set(range(16))
    assert all(rule.never and rule.never[0].islower() and not rule.never.endswith(".") for rule in ALL_RULES)
    assert len({rule.never for rule in ALL_RULES}) == len(ALL_RULES)


def test_sentences_name_the_room_and_the_clock() -> None:
    words = [broken.words for broken in judged(small().moved("wet-room.shower/shower/coat-2", -20))]
    assert "COAT 2, wet room starts 10:25, but it has to wait for coat 1 till 10:30." in words


def test_the_judge_loads_nothing_of_the_solver() -> None:
    code = (
        "import sys, planning.schedule.judge\n"
        "loaded = [m for m in sys.modules if m.startswith('planning.schedule.') or m.split('.')[0] in "
        "('ortools', 'numpy', 'textual')]\n"
        "print([m for m in loaded if not m.startswith(('planning.schedule.judge', 'planning.schedule.rules'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_two_pieces_of_one_step_do_not_keep_each_other_off() -> None:
    assert not any(f"{SET}#2" in broken.steps for broken in judged(small()))
