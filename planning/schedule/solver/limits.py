"""How long a solve may think, and how somebody else stops it. Needs no solver."""

import threading
from collections.abc import Callable
from dataclasses import dataclass

from planning.schedule.network import Tick


@dataclass(frozen=True, slots=True)
class Limits:
    """What a solve may spend. The plan depends on `effort`, never on how fast the machine is.

    `effort`: deterministic time over all stages, in the solver's own unit (a half took one to ten seconds on two
    cores for jobs of two to eight rooms). `wall_s`: the safety net in seconds; a solve it ends says `cut_short`.
    `workers`: search threads. One: of two or more, when the effort runs out first depends on which thread was given
    a core sooner (2 of 48 solves beside other work ended with another plan). `finish_bound`: a tick proved elsewhere
    before which no plan ends; the solver stops there. `stages`: only these stages, by name (None: all). `elastic`:
    facts may be broken at a price even when no plan was accepted before.
    """

    effort: float = 0.5
    wall_s: float = 30.0
    workers: int = 1
    finish_bound: Tick = 0
    stages: tuple[str, ...] | None = None
    elastic: bool = False
    seed: int = 0


class StopFlag:
    """Tells a running solve to end, from any thread. Once set it stays set: make a new one for the next solve."""

    def __init__(self) -> None:
        self._lock = threading.Condition()
        self._set = False

    def set(self) -> None:
        """Ask the solve to end. Returns at once; the solve returns what it has within about 100 ms."""
        with self._lock:
            self._set = True
            self._lock.notify_all()

    def is_set(self) -> bool:
        """Has anybody asked?"""
        return self._set

    def watch(self, stop_search: Callable[[], None]) -> "Watch":
        """Call `stop_search` when asked, again and again until the watch is closed (use it as a context manager)."""
        return Watch(self._lock, self.is_set, stop_search)


class Watch:
    """A thread that waits for a stop flag and passes the wish on.

    It repeats the call: a search that has not quite begun does not hear the first one.
    """

    _REPEAT_S = 0.02

    def __init__(self, lock: threading.Condition, asked: Callable[[], bool], stop_search: Callable[[], None]) -> None:
        self._lock = lock
        self._asked = asked
        self._stop_search = stop_search
        self._closed = False
        self._thread = threading.Thread(target=self._wait, daemon=True)

    def __enter__(self) -> "Watch":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        with self._lock:
            self._closed = True
            self._lock.notify_all()
        self._thread.join()

    def _wait(self) -> None:
        with self._lock:
            while not self._closed:
                if self._asked():
                    self._stop_search()
                    self._lock.wait(self._REPEAT_S)
                else:
                    self._lock.wait()
