"""The screen's end of the helper process: asks without waiting, gives up what is no longer wanted, starts it again."""

import asyncio
import base64
import json
import pickle
import sys
from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from planning.job.choice import Choice
from planning.job.events import Event
from planning.job.plan import Plan
from planning.job.words import Instant
from planning.schedule.no_plan import NoPlan
from tui.job_read import JobRead
from tui.plan_lines import choice_from, event_table, plan_from, plan_table

LINE_LIMIT = 64_000_000
STARTS_AGAIN = 3
"""So many times in a row without one answer the helper is started; then the screen says that it does not run."""


class HelperLost(Exception):
    """The helper process ended in the middle of a question. Asking again starts a new one."""


class HelperWrong(Exception):
    """The helper could not answer; its one line is the message."""


class PlanClient:
    """Asks a warm helper process. One event loop only; any number of questions at a time."""

    def __init__(self, job_path: Path) -> None:
        self.job_path = job_path
        self.starts = 0
        self._process: asyncio.subprocess.Process | None = None
        self._reader: asyncio.Task[None] | None = None
        self._waiting: dict[int, asyncio.Queue[dict[str, Any] | None]] = {}
        self._number = 0
        self._silent_starts = 0
        self._starting = asyncio.Lock()

    # What may be asked

    async def read(self) -> JobRead:
        """The job file: job, problems, steps."""
        answer = await self._one("read", {})
        # The pickle comes from our own child process, which made it from its own values.
        job, problems, steps = pickle.loads(base64.b64decode(answer["job"]))
        return job, problems, steps

    async def plans(self, events: Sequence[Event], now: Instant) -> AsyncIterator[tuple[Plan, bool]]:
        """The instant plan, if there is one, and then the final one: (plan, is it final). Raises NoPlan."""
        body = {"events": [event_table(each) for each in events], "now": now}
        async for answer in self._ask("plan", body):
            yield plan_from(answer), bool(answer["last"])

    async def choices(self, events: Sequence[Event], now: Instant) -> list[Choice]:
        """The ways to go on, the best first; ways out when no plan fits. Raises NoPlan when there is none."""
        body = {"events": [event_table(each) for each in events], "now": now}
        return [choice_from(each) for each in (await self._one("choices", body))["choices"]]

    async def more_choices(self, events: Sequence[Event], now: Instant) -> AsyncIterator[list[Choice]]:
        """The same as they are found: every time all of them so far. Raises NoPlan."""
        body = {"events": [event_table(each) for each in events], "now": now}
        async for answer in self._ask("choices", body):
            yield [choice_from(each) for each in answer["choices"]]

    async def broken(self, plan: Plan, events: Sequence[Event]) -> list[str]:
        """What a plan breaks, by the judge."""
        body = {"events": [event_table(each) for each in events], **plan_table(plan)}
        return [str(each) for each in (await self._one("judge", body))["broken"]]

    async def page(self, name: str, plan: Plan, events: Sequence[Event], now: Instant) -> Any:
        """What a page shows that only the trade's own numbers tell, as JSON values."""
        body = {"page": name, "events": [event_table(each) for each in events], "now": now, **plan_table(plan)}
        return (await self._one("page", body))["page"]

    async def menu(self) -> Any:
        """The methods to choose from, in groups: see tui.job_changes."""
        return (await self._one("menu", {}))["page"]

    async def change(self, edits: Sequence[Mapping[str, Any]], about: str, now: Instant, write: bool) -> Any:
        """What the job file with these edits comes to, and whether it was written: see tui.job_changes."""
        body = {"edits": list(edits), "about": about, "now": now, "write": write}
        return (await self._one("change", body))["page"]

    async def close(self) -> None:
        """End the helper. It ends by itself when this program does."""
        process, self._process = self._process, None
        if self._reader is not None:
            self._reader.cancel()
        if process is not None and process.returncode is None:
            with suppress(ProcessLookupError):
                process.kill()
            await process.wait()

    # Inside

    async def _one(self, ask: str, body: Mapping[str, Any]) -> dict[str, Any]:
        answer: dict[str, Any] = {}
        async for each in self._ask(ask, body):
            answer = each
        return answer

    async def _ask(self, ask: str, body: Mapping[str, Any]) -> AsyncIterator[dict[str, Any]]:
        process = await self._running()
        self._number += 1
        number = self._number
        answers: asyncio.Queue[dict[str, Any] | None] = asyncio.Queue()
        self._waiting[number] = answers
        last = False
        try:
            await self._send(process, {"id": number, "ask": ask, "path": str(self.job_path), **body})
            while not last:
                answer = await answers.get()
                if answer is None:
                    last = True
                    raise HelperLost("the planner stopped")
                last = bool(answer.get("last"))
                yield _checked(answer)
        finally:
            self._waiting.pop(number, None)
            if not last:
                await self._send(process, {"id": 0, "ask": "stop", "stop": number})

    async def _send(self, process: asyncio.subprocess.Process, request: Mapping[str, Any]) -> None:
        if process.stdin is None or process.returncode is not None:
            return
        with suppress(ConnectionError, RuntimeError):
            process.stdin.write(json.dumps(request).encode() + b"\n")
            await process.stdin.drain()

    async def _running(self) -> asyncio.subprocess.Process:
        async with self._starting:
            if self._process is not None and self._process.returncode is None:
                return self._process
            if self._silent_starts >= STARTS_AGAIN:
                raise HelperWrong("the planner does not start on this machine; the plan on the wall stays")
            self._silent_starts += 1
            self.starts += 1
            self._process = await asyncio.create_subprocess_exec(
                sys.executable, "-m", "tui.plan_process", stdin=asyncio.subprocess.PIPE,
                stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.DEVNULL, limit=LINE_LIMIT,
            )  # fmt: skip
            self._reader = asyncio.create_task(self._read_lines(self._process))
            return self._process

    async def _read_lines(self, process: asyncio.subprocess.Process) -> None:
        assert process.stdout is not None
        while line := await process.stdout.readline():
            with suppress(ValueError, KeyError):
                answer = json.loads(line)
                self._silent_starts = 0
                queue = self._waiting.get(int(answer["id"]))
                if queue is not None:
                    queue.put_nowait(answer)
        await process.wait()
        for queue in self._waiting.values():
            queue.put_nowait(None)


def _checked(answer: dict[str, Any]) -> dict[str, Any]:
    if "none" in answer:
        raise NoPlan([str(each) for each in answer["none"]])
    if "wrong" in answer:
        raise HelperWrong(str(answer["wrong"]))
    return answer
