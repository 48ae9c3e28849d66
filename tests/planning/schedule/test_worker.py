"""The solver's own process, spoken to as the screen does and as a stranger might."""

import asyncio
import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from planning.schedule.network import Solution
from planning.schedule.network_json import from_dict, to_dict
from planning.schedule.solver import Limits, solve
from planning.schedule.worker_client import SolverDied, SolverProcess, SolverRefused
from tests.planning.schedule.network_check import broken
from tests.planning.schedule.network_maker import rooms_network

HOME = Path(__file__).parents[3]
SMALL = rooms_network(5, 2, 2)
LARGE = rooms_network(1, 8, 3)
BRIEF = Limits(effort=0.1)
LONG = Limits(effort=100.0, wall_s=120.0)


def talk(*lines: object) -> list[dict[str, object]]:
    """Say these lines to a fresh process, close its stdin, and return all it says."""
    text = "".join((line if isinstance(line, str) else json.dumps(line)) + "\n" for line in lines)
    done = subprocess.run(
        [sys.executable, "-m", "planning.schedule.worker"],
        input=text,
        capture_output=True,
        text=True,
        cwd=HOME,
        timeout=60,
        check=True,
    )
    assert done.stderr == ""
    return [json.loads(line) for line in done.stdout.splitlines()]


async def ask(*lines: object, until: str = "done") -> list[dict[str, object]]:
    """Say these lines to a fresh process and keep its stdin open until it has answered."""
    process = await asyncio.create_subprocess_exec(
        sys.executable, "-m", "planning.schedule.worker", cwd=HOME, limit=1 << 24,
        stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE,
    )  # fmt: skip
    assert process.stdin is not None
    assert process.stdout is not None
    for line in lines:
        process.stdin.write(json.dumps(line).encode() + b"\n")
    said = []
    while not said or until not in said[-1]:
        said.append(json.loads(await process.stdout.readline()))
    process.stdin.close()
    assert await process.wait() == 0
    return said


async def test_it_tells_better_plans_and_then_the_answer():
    said = await ask({"id": "x", "network": to_dict(SMALL), "limits": to_dict(BRIEF)})
    assert {line["id"] for line in said} == {"x"}
    assert [sorted(line)[0] for line in said] == ["better"] * (len(said) - 1) + ["done"]
    assert len(said) > 1
    assert from_dict(Solution, said[-1]["done"]) == solve(SMALL, None, BRIEF)


def test_nonsense_is_answered_in_one_line_each():
    said = talk("what?", {"id": 1}, {"id": 2, "network": {"tasks": 3}}, {"stop": 9})
    by_id = {line["id"]: line["error"] for line in said}
    assert len(said) == 3
    assert set(by_id) == {None, 2}
    assert "Network" in by_id[2]
    assert all("\n" not in error for error in by_id.values())


def test_closing_its_stdin_ends_it_though_it_is_in_the_middle_of_a_search():
    said = talk({"id": 1, "network": to_dict(LARGE), "limits": to_dict(LONG)})
    assert said[-1]["done"]["cut_short"]


async def test_the_client_gets_the_same_plan_as_a_solve_in_this_process():
    client = SolverProcess()
    told: list[Solution] = []
    found = await client.solve(SMALL, None, BRIEF, told.append)
    again = await client.solve(SMALL, found, BRIEF)
    await client.close()
    assert broken(SMALL, found) == []
    assert found == solve(SMALL, None, BRIEF)
    assert told[-1].starts == found.starts
    assert again.finish <= found.finish
    assert client.pid is None


async def test_a_stop_brings_back_what_there_is():
    client = SolverProcess()
    better = asyncio.Event()
    asked = asyncio.create_task(client.solve(LARGE, None, LONG, lambda _: better.set()))
    await asyncio.wait_for(better.wait(), 60)
    client.stop()
    found = await asyncio.wait_for(asked, 2)
    await client.close()
    assert found.cut_short
    assert broken(LARGE, found) == []


async def test_giving_up_on_an_answer_frees_the_process_for_the_next():
    client = SolverProcess()
    asked = asyncio.create_task(client.solve(LARGE, None, LONG))
    await asyncio.sleep(0.5)
    asked.cancel()
    found = await asyncio.wait_for(client.solve(SMALL, None, BRIEF), 30)
    await client.close()
    assert found.status in ("best", "good")


async def test_a_killed_process_is_started_again_and_that_is_said():
    said: list[str] = []
    client = SolverProcess(said.append)
    await client.start()
    asked = asyncio.create_task(client.solve(SMALL, None, BRIEF))
    await asyncio.sleep(0.1)
    assert client.pid is not None
    os.kill(client.pid, signal.SIGTERM)
    found = await asyncio.wait_for(asked, 60)
    await client.close()
    assert broken(SMALL, found) == []
    assert len(said) == 1
    assert "started again" in said[0]


async def test_a_process_killed_twice_is_given_up_with_a_reason():
    said: list[str] = []
    client = SolverProcess(said.append)
    asked = asyncio.create_task(client.solve(LARGE, None, LONG))
    for _ in range(2):
        while client.pid is None:
            await asyncio.sleep(0.01)
        pid = client.pid
        os.kill(pid, signal.SIGTERM)
        while client.pid == pid:
            await asyncio.sleep(0.01)
    with pytest.raises(SolverDied, match="ended twice"):
        await asyncio.wait_for(asked, 60)
    after = await asyncio.wait_for(client.solve(SMALL, None, BRIEF), 60)
    await client.close()
    assert after.status in ("best", "good")
    assert len(said) == 2


async def test_a_network_that_makes_no_sense_is_refused_with_the_reason():
    client = SolverProcess()
    twice = [SMALL.tasks[0], SMALL.tasks[0]]
    bad = type(SMALL)(0, 10, 0, tuple(twice), (), {}, {})
    with pytest.raises(SolverRefused, match="task ids must differ"):
        await client.solve(bad)
    await client.close()


def test_asking_needs_no_solver_here():
    code = "import sys, planning.schedule.worker_client; print('ortools' in sys.modules, 'numpy' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], cwd=HOME, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]
