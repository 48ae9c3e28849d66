"""The near side of the solver's own process: start it, ask it, hear better plans, survive its death."""

import asyncio
import itertools
import json
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import planning
from planning.schedule.network import Network, Solution
from planning.schedule.network_json import from_dict, to_dict
from planning.schedule.solver import NORMAL, Limits

LONGEST_LINE = 1 << 27
"""Bytes: far more than the largest job's network."""

PATIENCE_S = 2.0
"""How long a process that was asked to end may take before it is killed."""


class SolverDied(RuntimeError):
    """The solver's process ended twice over one request; the message says how."""


class SolverRefused(ValueError):
    """The solver's process could make nothing of the request; the message says why."""


@dataclass(slots=True)
class _Asked:
    line: bytes
    answer: "asyncio.Future[Solution]"
    on_better: Callable[[Solution], None] | None
    again: bool = False


class SolverProcess:
    """Asks the solver's process for plans. Belongs to one event loop.

    A process that dies is started again once per request, and `on_trouble` is told in one sentence.
    """

    def __init__(self, on_trouble: Callable[[str], None] | None = None) -> None:
        self._on_trouble = on_trouble
        self._ids = itertools.count(1)
        self._asked: dict[int, _Asked] = {}
        self._process: asyncio.subprocess.Process | None = None
        self._reader: asyncio.Task[None] | None = None
        self._starting = asyncio.Lock()
        self._closed = False

    @property
    def pid(self) -> int | None:
        """The process's id while it runs."""
        running = self._process is not None and self._process.returncode is None
        return self._process.pid if running and self._process is not None else None

    async def start(self) -> None:
        """Start the process if it does not run, so that the first request finds it warm."""
        async with self._starting:
            if self._process is not None and self._process.returncode is None:
                return
            self._process = await asyncio.create_subprocess_exec(
                sys.executable,
                "-m",
                "planning.schedule.worker",
                stdin=asyncio.subprocess.PIPE,
                stdout=asyncio.subprocess.PIPE,
                # Anything it says there would land in the middle of the screen.
                stderr=asyncio.subprocess.DEVNULL,
                limit=LONGEST_LINE,
                env=_environment(),
            )
            self._reader = asyncio.create_task(self._read(self._process))

    async def solve(
        self,
        network: Network,
        hint: Solution | None = None,
        limits: Limits = NORMAL,
        on_better: Callable[[Solution], None] | None = None,
    ) -> Solution:
        """The solver's answer. Cancelling this stops the search.

        Raises SolverRefused for a network that makes no sense, SolverDied when the process ended twice.
        """
        number = next(self._ids)
        values: dict[str, Any] = {"id": number, "network": to_dict(network), "limits": to_dict(limits)}
        if hint is not None:
            values["hint"] = to_dict(hint)
        line = json.dumps(values, separators=(",", ":")).encode() + b"\n"
        asked = _Asked(line, asyncio.get_running_loop().create_future(), on_better)
        self._asked[number] = asked
        try:
            await self.start()
            await self._send(line)
            return await asked.answer
        except asyncio.CancelledError:
            self._tell_stop(number)
            raise
        finally:
            self._asked.pop(number, None)

    def stop(self) -> None:
        """Ask every running search to end; each `solve` then returns what it has."""
        for number in list(self._asked):
            self._tell_stop(number)

    async def close(self) -> None:
        """End the process: by closing its stdin, or by force if it does not listen."""
        self._closed = True
        process = self._process
        if process is None:
            return
        if process.stdin is not None:
            process.stdin.close()
        try:
            await asyncio.wait_for(process.wait(), PATIENCE_S)
        except TimeoutError:
            process.kill()
            await process.wait()
        if self._reader is not None:
            await self._reader

    async def _send(self, line: bytes) -> None:
        process = self._process
        if process is None or process.stdin is None:
            return
        try:
            process.stdin.write(line)
            await process.stdin.drain()
        except (BrokenPipeError, ConnectionResetError):
            # It died just now. The reader sees that too, and asks again.
            return

    def _tell_stop(self, number: int) -> None:
        process = self._process
        if process is not None and process.stdin is not None and not process.stdin.is_closing():
            process.stdin.write(json.dumps({"stop": number}).encode() + b"\n")

    async def _read(self, process: asyncio.subprocess.Process) -> None:
        assert process.stdout is not None
        while line := await process.stdout.readline():
            self._take(json.loads(line))
        code = await process.wait()
        if not self._closed:
            await self._revive(code)

    def _take(self, values: dict[str, Any]) -> None:
        asked = self._asked.get(values["id"]) if isinstance(values.get("id"), int) else None
        if asked is None or asked.answer.done():
            return
        if "error" in values:
            asked.answer.set_exception(SolverRefused(values["error"]))
        elif "done" in values:
            asked.answer.set_result(from_dict(Solution, values["done"]))
        elif asked.on_better is not None:
            asked.on_better(from_dict(Solution, values["better"]))

    async def _revive(self, code: int) -> None:
        """After a death: ask once more what was asked only once, and say so."""
        left = [asked for asked in self._asked.values() if not asked.answer.done()]
        for asked in left:
            if asked.again:
                asked.answer.set_exception(SolverDied(f"the planner's helper ended twice (code {code})"))
        once = [asked for asked in left if not asked.again]
        if self._on_trouble is not None:
            self._on_trouble(f"the planner's helper ended (code {code})" + ("; started again" if once else ""))
        if once:
            await self.start()
        for asked in once:
            asked.again = True
            await self._send(asked.line)


def _environment() -> dict[str, str]:
    """The same environment, and our own package findable from wherever the process starts."""
    home = str(Path(planning.__file__).parent.parent)
    before = os.environ.get("PYTHONPATH")
    return {**os.environ, "PYTHONPATH": home + os.pathsep + before if before else home}
