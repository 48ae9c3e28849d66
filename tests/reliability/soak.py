"""The reliability tests at the sizes of a release: `python -m tests.reliability.soak [LEVEL] [pytest options]`.

LEVEL 1 (when left out) is a whole release: 75 minutes of one core. With `-n 2` two cores share it.
"""

import os
import sys
from pathlib import Path


def main(words: list[str]) -> None:
    """Run them all in a fresh process, so that the sizes are read with the level set."""
    level = words.pop(0) if words and words[0].replace(".", "", 1).isdigit() else "1"
    command = [sys.executable, "-m", "pytest", str(Path(__file__).parent), "--durations=20", *words]
    os.execve(sys.executable, command, {**os.environ, "MUDDAY_SOAK": level})


if __name__ == "__main__":
    main(sys.argv[1:])
