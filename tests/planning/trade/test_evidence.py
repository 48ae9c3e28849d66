"""Evidence before covering: what proves what, and which step is the first to cover another."""

import pytest

from planning.trade.evidence import COVERING, covered_by, missing_evidence, unproved
from planning.trade.expand import expand
from planning.trade.methods import common_methods
from tests.planning.trade.small_jobs import job_of, steps_of, wet_room


@pytest.mark.parametrize(
    ("noted", "missing"),
    [
        ((), ("film gauge reading", "photo of the whole membrane")),
        (("photo",), ("film gauge reading",)),
        (("gauge",), ("photo of the whole membrane",)),
        (("photo", "gauge"), ()),
        (("note",), ()),
    ],
)
def test_a_photo_is_proved_by_a_photo_a_film_by_its_gauge_and_a_said_reason_is_enough(
    noted: tuple[str, ...], missing: tuple[str, ...]
) -> None:
    coat = steps_of(wet_room())["coat-2"]
    assert set(coat.evidence) == {"film gauge reading", "photo of the whole membrane"}
    assert missing_evidence(coat, noted) == missing


def test_a_test_covers_nothing_and_what_is_laid_after_it_covers_what_came_before_it() -> None:
    steps = steps_of(wet_room())
    by_id = {step.id: step for step in steps.values()}
    covers = {key: {each.key for each in covered_by(step, by_id)} for key, step in steps.items()}
    assert all(not covers[key] for key, step in steps.items() if step.kind not in COVERING)
    assert {"coat-2", "flood"} <= covers["wall-tile"]
    assert "coat-1" in covers["coat-2"]
    assert [(each.key, asks) for each, asks in unproved(steps["coat-2"], by_id, {})] == [
        ("coat-1", "film gauge reading")
    ]
    noted = {steps["coat-1"].id: frozenset(("gauge",))}
    assert unproved(steps["coat-2"], by_id, noted) == []


@pytest.mark.parametrize("key", sorted(common_methods()))
def test_every_photo_that_a_method_asks_before_covering_is_asked_of_some_later_step(key: str) -> None:
    from tests.planning.trade.small_jobs import do, room_of

    steps = expand(job_of(room_of(8, 6, do(key)))).steps
    by_id = {step.id: step for step in steps}
    covered = {each.id for step in steps for each in covered_by(step, by_id)}
    asks = [
        step for step in steps if any("whole membrane" in each or "before the board" in each for each in step.evidence)
    ]
    assert [step.id for step in asks if step.id not in covered] == []
