"""The real program in a real terminal (tmux on its own socket): keys in, screen out, no sleeping."""

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
PATIENCE_S = 60.0
PRESS_AGAIN_S = 1.0
"""The drip guard lets a key through when it was quiet for so long: a press that came too early is made again."""


def tmux_there() -> bool:
    """Is tmux on this machine?"""
    return shutil.which("tmux") is not None


class Terminal:
    """One window of a tmux server of its own."""

    def __init__(
        self, name: str, width: int, height: int, job: Path | None, extra: dict[str, str] | None = None
    ) -> None:
        self.socket = f"mudday-{os.getpid()}-{name}"
        self.size = (width, height)
        self.job = job
        self.extra = extra or {}
        self.last = ""

    def start(self) -> None:
        """Open the window with mudday in it. What the program leaves with is shown after it."""
        width, height = self.size
        self._tmux("-f", os.devnull, "new-session", "-d", "-x", str(width), "-y", str(height), self._command())

    def start_again(self) -> None:
        """The program once more in the same window."""
        self._tmux("respawn-pane", "-k", self._command())

    def _command(self) -> str:
        named = "" if self.job is None else str(self.job)
        set_first = " ".join(f"{key}={value}" for key, value in self.extra.items() if key != "FOLDER")
        folder = self.extra.get("FOLDER", str(ROOT))
        # A test process that is one of several has a size in its environment; it would hide the window's own.
        around = f"env -u COLUMNS -u LINES {set_first}"
        return f"cd {folder}; {around} {sys.executable} -m tui {named}; echo LEFT WITH $?; read -r _"

    def resize(self, width: int, height: int) -> None:
        """Another size of the window."""
        self._tmux("resize-window", "-x", str(width), "-y", str(height))

    def type(self, text: str) -> None:
        """Type words, letter by letter as they are."""
        self._tmux("send-keys", "-l", text)

    def close(self) -> None:
        """End the server with all that runs in it."""
        subprocess.run(["tmux", "-L", self.socket, "kill-server"], check=False, capture_output=True)

    def screen(self) -> str:
        """What stands on the screen."""
        self.last = self._tmux("capture-pane", "-p")
        return self.last

    def press(self, *keys: str) -> None:
        """Send keys by tmux's names for them."""
        self._tmux("send-keys", *keys)

    def sees(self, words: str) -> str:
        """Look until the words are on the screen."""
        return self._until(lambda shown: words in shown, words)

    def press_till(self, key: str, words: str) -> str:
        """Press a key until the words are there: one press, and again only when nothing came of it."""
        pressed = 0.0

        def done(shown: str) -> bool:
            nonlocal pressed
            if words in shown:
                return True
            if time.monotonic() - pressed > PRESS_AGAIN_S:
                pressed = time.monotonic()
                self.press(key)
            return False

        return self._until(done, f"{words} after {key}")

    def kill(self) -> None:
        """Kill the program in the window (and only it) with no warning."""
        shell = self._tmux("display", "-p", "#{pane_pid}").strip()
        listed = subprocess.run(
            ["ps", "-o", "pid=,args=", "--ppid", shell], check=True, capture_output=True, text=True
        ).stdout
        for line in listed.splitlines():
            pid, _, args = line.strip().partition(" ")
            if "-m tui" in args:
                os.kill(int(pid), 9)

    def _until(self, true: Callable[[str], bool], what: str) -> str:
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            shown = self.screen()
            if true(shown):
                return shown
        raise AssertionError(f"{what!r} did not come within {PATIENCE_S:g} s; the screen was\n{self.last}")

    def _tmux(self, *words: str) -> str:
        done = subprocess.run(
            ["tmux", "-L", self.socket, *words], check=True, capture_output=True, text=True, cwd=ROOT,
            env={**os.environ, "COLORTERM": "truecolor", "PYTHONPATH": str(ROOT)},
        )  # fmt: skip
        return done.stdout
