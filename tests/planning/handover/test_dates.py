"""No date a client reads is earlier than the high case, on generated jobs in the middle of their work."""

from dataclasses import replace

import pytest

from planning.handover import evening as evening_module
from planning.handover.slow import Times
from planning.job.plan import Plan
from tests.planning.handover.dates import any_case, told_too_early

SEEDS = (3, 6, 9)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_date_a_client_reads_is_earlier_than_the_high_case(seed: int) -> None:
    case = any_case(seed)
    assert case is not None, "choose a seed that has a plan"
    assert told_too_early(case) == []


def test_the_check_sees_a_note_that_tells_the_usual_case(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: told by the plan instead of by the slow case, the same job fails."""
    case = any_case(SEEDS[0])
    assert case is not None
    real = evening_module.slow_and_last

    def usual(plan: Plan, *rest: object) -> object:
        _, last = real(plan, *rest)  # type: ignore[arg-type]  # handed through
        times: Times = {step.id: (step.start, step.finish) for step in plan.steps}
        return times, replace(last, safe=plan.made_at + 1)

    monkeypatch.setattr(evening_module, "slow_and_last", usual)
    assert told_too_early(case) != []
