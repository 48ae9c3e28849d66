"""Counts the checks by where their value comes from, and says so at the end of the run."""

from collections import Counter

import pytest

TALLY: pytest.StashKey[Counter[tuple[str, bool]]] = pytest.StashKey()
ORIGINS = {
    "published": "published value",
    "memory": "recalled from memory",
    "calculated": "calculated from a standard's or handbook's formula (no published check)",
    "practice": "common practice, no source",
}


@pytest.fixture
def tally(request: pytest.FixtureRequest) -> Counter[tuple[str, bool]]:
    """Counts (origin, did it agree?) of this run."""
    return request.config.stash.setdefault(TALLY, Counter())


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    counted = config.stash.get(TALLY, Counter())
    if not counted:
        return
    terminalreporter.write_sep("-", "checks by source")
    for origin, says in ORIGINS.items():
        agreed, missed = counted[origin, True], counted[origin, False]
        terminalreporter.write_line(f"{agreed:4d} of {agreed + missed:3d} agree: {says}")
