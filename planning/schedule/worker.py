"""The solver's own process: requests as JSON lines on stdin, plans as JSON lines on stdout.

Run as `python -m planning.schedule.worker`. Lines in: {"id", "network", "hint"?, "limits"?} asks for a plan,
{"stop": id} ends that search early. Lines out: {"id", "better": solution} for each better plan on the way,
{"id", "done": solution} at the end, {"id", "error": one line} instead if the request made no sense. One search at a
time, in the order asked. The process ends when stdin closes.
"""

import json
import queue
import sys
import threading
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, TextIO

from planning.schedule.network import Network, Solution
from planning.schedule.network_json import from_dict, to_dict
from planning.schedule.solver import Limits, StopFlag, solve

Id = int | str


@dataclass(frozen=True, slots=True)
class Request:
    """A plan asked for."""

    id: Id
    values: dict[str, Any]
    stop: StopFlag


class Worker:
    """Reads requests on one thread, solves on another, so that a stop is heard while a search runs."""

    def __init__(self, out: TextIO) -> None:
        self._out = out
        self._out_lock = threading.Lock()
        self._waiting: queue.Queue[Request | None] = queue.Queue()
        self._open: dict[Id, Request] = {}
        self._solver = threading.Thread(target=self._solve_all)

    def run(self, lines: Iterable[str]) -> None:
        """Serve until the lines end; then stop what runs and return."""
        self._solver.start()
        try:
            for line in lines:
                if line.strip():
                    self._hear(line)
        finally:
            for request in list(self._open.values()):
                request.stop.set()
            self._waiting.put(None)
            self._solver.join()

    def _hear(self, line: str) -> None:
        try:
            values = json.loads(line)
        except json.JSONDecodeError as error:
            self._say({"id": None, "error": f"not JSON: {error}"})
            return
        if isinstance(values, dict) and "stop" in values:
            request = self._open.get(values["stop"])
            if request is not None:
                request.stop.set()
        elif isinstance(values, dict) and isinstance(values.get("id"), int | str) and "network" in values:
            request = Request(values["id"], values, StopFlag())
            self._open[request.id] = request
            self._waiting.put(request)
        else:
            self._say({"id": None, "error": 'a line has "id" and "network", or "stop"; this one has neither'})

    def _solve_all(self) -> None:
        while (request := self._waiting.get()) is not None:
            try:
                found = self._solve(request)
                self._say({"id": request.id, "done": to_dict(found)})
            except Exception as error:
                # Whatever went wrong belongs to this request; the next one may be fine.
                self._say({"id": request.id, "error": " ".join(f"{type(error).__name__}: {error}".split())})
            finally:
                self._open.pop(request.id, None)

    def _solve(self, request: Request) -> Solution:
        network = from_dict(Network, request.values["network"])
        hint = request.values.get("hint")
        return solve(
            network,
            None if hint is None else from_dict(Solution, hint),
            from_dict(Limits, request.values.get("limits") or {}),
            lambda better: self._say({"id": request.id, "better": to_dict(better)}),
            request.stop,
        )

    def _say(self, values: dict[str, Any]) -> None:
        text = json.dumps(values, separators=(",", ":"))
        with self._out_lock:
            try:
                self._out.write(text + "\n")
                self._out.flush()
            except (OSError, ValueError):
                # Whoever asked is gone: nobody is left to tell, and what runs need not go on.
                for request in list(self._open.values()):
                    request.stop.set()


def main() -> None:
    """Serve stdin until it closes."""
    # Loaded while the first request is still being written; nothing else in this process waits for it.
    threading.Thread(target=_warm_up, daemon=True).start()
    try:
        Worker(sys.stdout).run(sys.stdin)
    except KeyboardInterrupt:
        # The key was meant for the screen; it closes our stdin when it wants us gone.
        return


def _warm_up() -> None:
    import planning.schedule.solver.stages  # noqa: F401  # loading it is the point


if __name__ == "__main__":
    main()
