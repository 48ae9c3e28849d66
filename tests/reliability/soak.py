"""The reliability tests at the sizes of a release: `python -m tests.reliability.soak [pytest options]`."""

import os
import sys
from pathlib import Path


def main() -> int:
    """Run them all in a fresh process, so that the sizes are read with the level set."""
    folder = str(Path(__file__).parent)
    command = [sys.executable, "-m", "pytest", folder, "--durations=20", *sys.argv[1:]]
    os.execve(sys.executable, command, {**os.environ, "MUDDAY_SOAK": "1"})


if __name__ == "__main__":
    sys.exit(main())
