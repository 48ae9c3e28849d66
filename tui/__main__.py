"""The command `mudday`. Imports nothing heavy before it must: `mudday --version` answers at once."""

import sys
from collections.abc import Sequence


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 done, 1 no plan, 2 bad input. Never a traceback."""
    words = list(sys.argv[1:] if argv is None else argv)
    if words in (["--version"], ["-V"]):
        from tui.version import VERSION

        print(f"mudday {VERSION}")
        return 0
    from tui.cli.run import run

    return run(words)


if __name__ == "__main__":
    raise SystemExit(main())
