"""Run a piece of a test as a user who may not write: root may write anywhere, so as root nothing would be tested."""

import os
import pickle
from collections.abc import Callable
from typing import Any

NOBODY = 65534


def run_unprivileged(work: Callable[[], Any]) -> Any:
    """The result of `work`, run in a forked process as nobody when we are root, and as ourselves when not."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        _in_child(work, writing)
    os.close(writing)
    with os.fdopen(reading, "rb") as stream:
        told = stream.read()
    os.waitpid(child, 0)
    worked, result = pickle.loads(told)
    if not worked:
        raise AssertionError(f"in the unprivileged process: {result}")
    return result


def _in_child(work: Callable[[], Any], writing: int) -> None:
    try:
        if os.getuid() == 0:
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        told = pickle.dumps((True, work()))
    except BaseException as wrong:
        told = pickle.dumps((False, repr(wrong)))
    os.write(writing, told)
    os._exit(0)
