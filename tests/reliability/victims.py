"""Processes that do one thing over and over, say each time that it is done, and are killed at a random moment."""

import os
import random
import select
import signal
import time
from collections.abc import Callable

Ack = Callable[[str], None]


class Victim:
    """A forked process that runs `work(ack)`. What it acknowledged is in `acks`, complete once it was killed."""

    def __init__(self, work: Callable[[Ack], None]) -> None:
        self._pipe, writing = os.pipe()
        self.pid = os.fork()
        if self.pid == 0:
            os.close(self._pipe)
            _live(work, writing)
        os.close(writing)
        self._rest = b""
        self.acks: list[str] = []

    def fileno(self) -> int:
        """For select."""
        return self._pipe

    def listen(self, seconds: float) -> None:
        """Take in acknowledgements for so long, or until the process ends."""
        until = time.monotonic() + seconds
        while (left := until - time.monotonic()) > 0:
            ready, _, _ = select.select([self._pipe], [], [], left)
            if ready and not self.take():
                return

    def first_ack(self) -> None:
        """Wait until something was acknowledged, or the process ended."""
        while not self.acks and self.take():
            pass

    def take(self) -> bool:
        """Take in what is there, waiting for it. False when the process has ended."""
        data = os.read(self._pipe, 1 << 16)
        *whole, self._rest = (self._rest + data).split(b"\n")
        self.acks.extend(line.decode() for line in whole)
        return bool(data)

    def kill(self) -> list[str]:
        """SIGKILL; then what it had acknowledged."""
        os.kill(self.pid, signal.SIGKILL)
        while self.take():
            pass
        os.close(self._pipe)
        os.waitpid(self.pid, 0)
        return self.acks


def _live(work: Callable[[Ack], None], writing: int) -> None:
    try:
        work(lambda word: _say(writing, word))
    except BaseException as wrong:
        _say(writing, f"DIED {wrong!r}".replace("\n", " "))
    os._exit(0)


def _say(writing: int, word: str) -> None:
    os.write(writing, word.encode() + b"\n")


def killed_at_random(work: Callable[[Ack], None], chance: random.Random) -> list[str]:
    """Run a victim and kill it: one time in four at any moment from its start, else some time after its first word."""
    victim = Victim(work)
    if chance.random() < 0.25:
        victim.listen(chance.uniform(0, 0.06))
    else:
        victim.first_ack()
        victim.listen(chance.uniform(0, 0.03))
    acks = victim.kill()
    died = [word for word in acks if word.startswith("DIED")]
    assert not died, died
    return acks
