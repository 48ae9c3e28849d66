"""The chance of whole plans of generated jobs, before work begins and in the middle of it."""

from datetime import time

import pytest

from planning.job.hours import instant, local
from planning.job.plan_json import from_json, to_json
from planning.schedule.make_plan import make_plan
from planning.schedule.network import Network, Solution
from tests.any_job import any_job, any_record


def as_it_is(_: Network, hint: Solution | None, __: int) -> Solution:
    """No solver: the first plan, or the accepted one pushed right, is the answer."""
    return hint or Solution("unknown")


@pytest.mark.parametrize("seed", [2, 5])
def test_every_share_is_one_and_only_work_to_come_has_a_chance(seed: int) -> None:
    job = any_job(seed, 2, promises=False)
    plan = make_plan(job, (), instant(job.zone, job.start, time(6, 30)), solve=as_it_is)
    half_way = (plan.made_at + plan.finish) // 2
    later = make_plan(job, any_record(plan, half_way, seed), half_way, solve=as_it_is)
    for each in (plan, later):
        chance = each.chance
        assert chance is not None
        over = {step.id for step in each.steps if step.state in ("done", "curing", "hold")}
        assert not over & set(chance.steps)
        shares = [*chance.steps.values(), *(kept.kept for kept in chance.demands), chance.finish_holds]
        shares += [share for day in chance.days for share in (day.holds, day.any_label, day.lifted)]
        assert all(0 <= share <= 1 for share in shares)
        assert all(day.lifted >= day.holds for day in chance.days)
        # A day cannot hold more often than the least sure of its steps.
        for day in chance.days:
            for step in each.steps:
                if step.id in chance.steps and local(job.zone, step.start).date() == day.day:
                    assert day.holds <= chance.steps[step.id]
        assert from_json(to_json(each), each.zone, each.notes) == each
