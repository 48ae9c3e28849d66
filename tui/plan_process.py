"""The helper process of the screen: reads the job, plans and fills pages, so that no key ever waits for a solver.

Run as `python -m tui.plan_process`. JSON lines over its pipes, one request or answer a line; it ends when its input
does. A request is {"id", "ask", ...}; every answer carries the id, and the last one of a request "last": true.

    {"ask": "read", "path"}                           -> {"job"}: job, problems and steps, pickled, base 64
    {"ask": "plan", "path", "events", "now"}          -> {"plan", "zone", "notes"}: the instant plan, then the final one
    {"ask": "choices", "path", "events", "now"}       -> {"choices"}: those so far, again and again (tui.plan_lines)
    {"ask": "judge", "path", "events", "plan", "zone"}-> {"broken": [words]}
    {"ask": "page", "page", ..., "plan", "zone"}      -> {"page": any JSON}, see tui.pages
    {"ask": "menu"}                                   -> {"page"}: the methods to choose from, see tui.job_changes
    {"ask": "change", "path", "edits", "about", "now", "write"} -> {"page"}: what a changed job file comes to
    {"ask": "stop", "stop": id}                       -> nothing; the plan of that id is given up

What goes wrong is {"none": [reasons]} when no plan fits and {"wrong": "one line"} for anything else.
"""

import base64
import contextlib
import json
import pickle
import sys
import threading
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from queue import SimpleQueue
from typing import Any, TextIO

from planning.job.events import Event
from planning.job.job import Job
from planning.records.own_labels import labels_said
from planning.schedule.network import Network, Solution
from planning.schedule.no_plan import NoPlan
from tui.job_read import JobRead, read_whole
from tui.plan_lines import choices_table, event_from, plan_from, plan_table

Request = Mapping[str, Any]
Answer = dict[str, Any]
SLOW = frozenset(("plan", "choices"))
"""What may take seconds: done on a thread of its own, the newest request first; all else is answered in between."""


class JobShelf:
    """The job file as last read, read again only when it changed."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._mark: tuple[str, int, int, str] | None = None
        self._read: JobRead = (None, [], ())

    def read(self, path: str) -> JobRead:
        """Job, problems and steps of the file."""
        with self._lock:
            mark = _mark(path)
            if mark is None or mark != self._mark:
                self._read, _ = read_whole(Path(path))
                self._mark = mark
            return self._read

    def job(self, path: str) -> Job:
        """The job of the file. Raises NoPlan with the file's problems when it leaves none."""
        job, problems, _ = self.read(path)
        if job is None:
            raise NoPlan([str(each) for each in problems])
        return job


def _mark(path: str) -> tuple[str, int, int, str] | None:
    try:
        found = Path(path).stat()
    except OSError:
        return None
    return path, found.st_mtime_ns, found.st_size, labels_said()


class Helper:
    """Answers requests. `say` writes one answer."""

    def __init__(self, say: Callable[[Answer], None]) -> None:
        self._say = say
        self._shelf = JobShelf()
        self._slow: SimpleQueue[Request | None] = SimpleQueue()
        self._lock = threading.Lock()
        self._given_up: set[int] = set()
        self._running: tuple[int, Callable[[], None]] | None = None

    def serve(self, lines: TextIO) -> None:
        """Answer until the input ends; then the plan in the making is given up."""
        worker = threading.Thread(target=self._work, daemon=True)
        worker.start()
        for line in lines:
            self._take(line)
        with self._lock:
            if self._running is not None:
                self._running[1]()
        self._slow.put(None)

    def _take(self, line: str) -> None:
        try:
            request = json.loads(line)
            number, ask = int(request["id"]), str(request["ask"])
        except (ValueError, KeyError, TypeError) as wrong:
            self._say({"id": -1, "wrong": f"not a request: {wrong}", "last": True})
            return
        if ask == "stop":
            self._give_up(int(request["stop"]))
        elif ask in SLOW:
            self._slow.put(request)
        else:
            self._answer(number, partial(self._quick, ask, request))

    def _give_up(self, number: int) -> None:
        with self._lock:
            self._given_up.add(number)
            if self._running is not None and self._running[0] == number:
                self._running[1]()

    def _work(self) -> None:
        while (request := self._slow.get()) is not None:
            number = int(request["id"])
            call = self._plan if request["ask"] == "plan" else self._choices
            self._answer(number, partial(call, number, request))

    def _answer(self, number: int, call: Callable[[], Answer]) -> None:
        try:
            body = call()
        except NoPlan as none_fits:
            body = {"none": list(none_fits.reasons)}
        except Exception as wrong:  # whatever it is, the screen gets one line and goes on
            body = {"wrong": f"{type(wrong).__name__}: {' '.join(str(wrong).split())}"}
        self._say({"id": number, **body, "last": True})

    def _quick(self, ask: str, request: Request) -> Answer:
        if ask == "read":
            read = pickle.dumps(self._shelf.read(str(request["path"])))
            return {"job": base64.b64encode(read).decode("ascii")}
        if ask in ("menu", "change"):
            return {"page": self._job_file(ask, request)}
        from planning.trade.noted import as_noted

        job, problems, steps = self._shelf.read(str(request["path"]))
        if job is None:
            return {"none": [str(each) for each in problems]}
        plan = plan_from(request)
        events = [event_from(each) for each in request["events"]]
        job, steps = as_noted(job, steps, events, plan.made_at)
        if ask == "judge":
            from planning.schedule.judge import judge

            return {"broken": [each.words for each in judge(plan, job, steps, events)]}
        if ask == "page":
            from tui.pages import fill

            return {"page": fill(str(request["page"]), plan, job, steps, events, int(request["now"]))}
        raise ValueError(f"nobody knows how to {ask}")

    def _job_file(self, ask: str, request: Request) -> Any:
        from tui.job_changes import change_job, menu

        if ask == "menu":
            return menu(self._shelf.read(str(request["path"]))[0])
        now, write = int(request["now"]), bool(request["write"])
        return change_job(Path(str(request["path"])), request["edits"], str(request["about"]), now, write)

    def _plan(self, number: int, request: Request) -> Answer:
        from planning.schedule.make_plan import make_plan

        job, events, now = self._facts(request)
        with contextlib.suppress(NoPlan):
            self._say({"id": number, **plan_table(make_plan(job, events, now, improve=False)), "last": False})
        return plan_table(make_plan(job, events, now, solve=self._solver(number)))

    def _choices(self, number: int, request: Request) -> Answer:
        from planning.supply.errand_choices import choices_with_errands

        job, events, now = self._facts(request)
        found = choices_with_errands(
            job, events, now, solve=self._solver(number), stopped=lambda: number in self._given_up,
            on_more=lambda some: self._say({"id": number, **choices_table(some), "last": False}),
        )  # fmt: skip
        return choices_table(found)

    def _solver(self, number: int) -> Callable[[Network, Solution | None, int], Solution]:
        """A solver that ends when this request is given up."""

        def solve_it(network: Network, hint: Solution | None, bound: int) -> Solution:
            from planning.schedule.solver import Limits, StopFlag, solve

            flag = StopFlag()
            with self._lock:
                if number in self._given_up:
                    raise NoPlan(["given up"])
                self._running = (number, flag.set)
            try:
                return solve(network, hint, Limits(finish_bound=bound), stop=flag)
            finally:
                with self._lock:
                    self._running = None

        return solve_it

    def _facts(self, request: Request) -> tuple[Job, list[Event], int]:
        from planning.trade.noted import noted_job

        job = self._shelf.job(str(request["path"]))
        events = [event_from(each) for each in request["events"]]
        return noted_job(job, events), events, int(request["now"])


def main() -> int:
    """Serve standard input until it ends."""
    out = sys.stdout
    out_lock = threading.Lock()
    sys.stdout = sys.stderr  # a stray print of a library must not break the lines

    def say(answer: Answer) -> None:
        with out_lock, contextlib.suppress(OSError, ValueError):
            out.write(json.dumps(answer, default=str) + "\n")
            out.flush()

    Helper(say).serve(sys.stdin)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
