"""The screen's helper process killed in the middle of a question: that is said, and the next question is answered."""

import asyncio
import os
import shutil
import signal
from datetime import time
from pathlib import Path

import pytest

from planning.job.hours import instant
from tui.plan_client import HelperLost, PlanClient

DEMO = Path(__file__).parents[2] / "demo_jobs" / "two-room-rush.toml"


async def test_a_helper_killed_while_it_plans_is_said_and_started_again(tmp_path: Path) -> None:
    job_file = tmp_path / DEMO.name
    shutil.copy(DEMO, job_file)
    client = PlanClient(job_file)
    job, problems, steps = await client.read()
    assert job is not None
    assert not problems
    assert steps
    now = instant(job.zone, job.start, time(6, 58))
    plans = client.plans((), now)
    instant_plan, final = await anext(plans)
    assert not final
    assert client._process is not None
    os.kill(client._process.pid, signal.SIGKILL)
    with pytest.raises(HelperLost, match="planner stopped"):
        await asyncio.wait_for(anext(plans), 20)
    again = [plan async for plan, _ in client.plans((), now)]
    assert client.starts == 2
    assert again[0].steps == instant_plan.steps
    assert again[-1].chance is not None, "the final plan says how likely it holds"
    assert again[0].chance is None, "the instant plan waits for no draws"
    await client.close()
