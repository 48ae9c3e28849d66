"""The plan as JSON: there and back, and one clear line for what is no plan."""

import json
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planning.job.chance import Chance, DayChance, DemandChance
from planning.job.plan import Act, Broken, HouseOut, Moved, Piece, Plan, PlannedStep, Proof, StepWindow
from planning.job.plan_json import PlanFileError, from_json, to_dict, to_json
from tests.by_hand import at
from tests.small_job import small


def whole() -> Plan:
    """A plan with a value in every place."""
    plan = small().plan()
    first = replace(
        plan.steps[0],
        foot_ready=at(1, "9:00"),
        window=StepWindow(at(1, "7:00"), at(2, "7:00"), "open"),
        latest_start=at(1, "8:00"),
        lost_then="the pour is lost for today",
        reason="Not sooner: floor wet till 7:20.",
        recovery="Scuff, one more coat.",
        acts=(Act("spread", at(1, "7:20"), at(1, "7:30")),),
    )
    return replace(
        plan,
        proof=Proof(False, 120, True),
        house=(*plan.house, HouseOut("water", "bath", at(1, "8:00"), None)),
        steps=(first, *plan.steps[1:]),
        broken=(Broken(2, ("a", "b"), "its window shuts at 8:00"),),
        moved=(Moved("a", at(1, "8:00"), at(1, "9:00"), "helper gone"),),
    )


def test_a_plan_comes_back_as_it_was() -> None:
    plan = whole()
    assert from_json(to_json(plan), plan.zone, plan.notes) == plan


def test_how_likely_a_plan_holds_comes_back_with_it_and_may_be_left_out() -> None:
    day = DayChance(date(2026, 6, 1), 0.8, 0.5, "a", 20, 0.9)
    demands = (DemandChance("promise", "bath usable", 0.7), DemandChance("visit", "inspector", 1.0))
    chance = Chance(2000, at(3, "9:00"), 0.4, at(4, "9:00"), at(5, "9:00"), (day,), {"a": 0.8}, demands)
    plan = replace(whole(), chance=chance)
    assert from_json(to_json(plan), plan.zone, plan.notes) == plan
    raw = to_dict(plan)
    raw["chance"]["days"][0]["day"] = "Monday"
    with pytest.raises(PlanFileError, match=r"chance\.days\[0\]\.day is 'Monday'; it should be a day such as"):
        from_json(json.dumps(raw))
    assert "chance" not in to_dict(whole())


@pytest.mark.parametrize("zone", ["Europe/Lisbon", "Asia/Kathmandu", "America/St_Johns", "UTC"])
def test_times_are_exact_whatever_the_zone(zone: str) -> None:
    plan = replace(whole(), zone=zone)
    assert from_json(to_json(plan), zone) == plan


@given(st.integers(20_000_000, 40_000_000), st.integers(0, 5000))
def test_every_minute_comes_back_through_clock_changes(start: int, length: int) -> None:
    plan = replace(small().plan(), made_at=start, finish=start + length)
    again = from_json(to_json(plan), plan.zone)
    assert (again.made_at, again.finish) == (start, start + length)


def test_the_keys_are_those_of_version_1() -> None:
    raw = to_dict(whole())
    assert list(raw) == ["version", "job", "made_at", "finish", "proof", "rooms", "people", "gear", "house", "visits",
                         "steps", "stay_off", "broken", "moved"]  # fmt: skip
    assert set(raw["steps"][0]) == {
        "id", "room", "part", "title", "kind", "state", "start", "finish", "people", "gear", "foot_ready", "window",
        "latest_start", "lost_then", "reason", "recovery", "after", "stands_on", "pause", "piece", "acts",
    }  # fmt: skip
    assert raw["steps"][0]["start"] == "2026-06-01T07:20-06:00"
    assert set(raw["stay_off"][0]) == {"room", "part", "what", "from", "until", "step"}


def _leaves(raw: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(raw, dict):
        return [leaf for key, value in raw.items() for leaf in ((*path, key), *_leaves(value, (*path, key)))]
    if isinstance(raw, list):
        return [leaf for n, value in enumerate(raw) for leaf in ((*path, n), *_leaves(value, (*path, n)))]
    return []


def _put(raw: Any, path: tuple[Any, ...], value: object) -> None:
    for key in path[:-1]:
        raw = raw[key]
    raw[path[-1]] = value


WRONG: tuple[object, ...] = (None, True, 7, -1.5, "", "soon", [], [None], {}, {"id": 1}, 10**400, "2026-06-01T07:20")


def read(text: str) -> tuple[Plan | None, str]:
    """The plan in a text, or what is wrong with it."""
    try:
        return from_json(text, "America/Denver"), ""
    except PlanFileError as wrong:
        return None, str(wrong)


@given(st.data())
@settings(max_examples=150, deadline=None)
def test_a_wrong_value_anywhere_gives_a_plan_or_one_clear_line(data: st.DataObject) -> None:
    raw = to_dict(whole())
    path = data.draw(st.sampled_from(_leaves(raw)))
    _put(raw, path, data.draw(st.sampled_from(WRONG)))
    plan, said = read(json.dumps(raw))
    assert "\n" not in said
    assert plan is None or all(isinstance(step, PlannedStep) and isinstance(step.id, str) for step in plan.steps)


@given(st.data())
@settings(max_examples=100, deadline=None)
def test_a_missing_key_is_named(data: st.DataObject) -> None:
    raw = to_dict(whole())
    path = data.draw(st.sampled_from([leaf for leaf in _leaves(raw) if isinstance(leaf[-1], str) and leaf[0] != "gear"
                                      and "gear" not in leaf[:-1]]))  # fmt: skip
    place = raw
    for key in path[:-1]:
        place = place[key]
    del place[path[-1]]
    with pytest.raises(PlanFileError, match=r"missing|version"):
        from_json(json.dumps(raw))


@pytest.mark.parametrize("text", ["", "{", "[]", "7", "null", '{"version": 2}', '{"version": 1}', "[" * 5000])
def test_what_is_no_plan_is_said_in_one_line(text: str) -> None:
    with pytest.raises(PlanFileError) as wrong:
        from_json(text)
    assert "\n" not in str(wrong.value)


def test_the_line_says_where_and_how_to_write_it() -> None:
    raw = to_dict(whole())
    raw["steps"][3]["start"] = "tomorrow"
    with pytest.raises(PlanFileError, match=r"steps\[3\]\.start is 'tomorrow'; it should be a time such as 2026-"):
        from_json(json.dumps(raw))
    raw = to_dict(whole())
    raw["steps"][0]["start"] = "2026-06-01T07:20"
    with pytest.raises(PlanFileError, match="has no offset; write it as"):
        from_json(json.dumps(raw))


def test_a_piece_says_of_what_it_is_a_piece() -> None:
    plan = from_json(to_json(small().plan()), "America/Denver")
    assert [step.piece for step in plan.steps if step.piece] == [
        Piece("mudroom/floor/set", 1, 0.5), Piece("mudroom/floor/set", 2, 0.5)
    ]  # fmt: skip
