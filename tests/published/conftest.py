"""Counts the checks by where their value comes from, and says so at the end of the run."""

from collections import Counter
from collections.abc import Iterator

import pytest

ORIGINS = {
    "published": "published value",
    "memory": "recalled from memory",
    "calculated": "calculated from a standard's or handbook's formula (no published check)",
    "practice": "common practice, no source",
}


@pytest.fixture
def tally(request: pytest.FixtureRequest) -> Iterator[Counter[tuple[str, bool]]]:
    """Counts (origin, did it agree?) of this test; carried by its report, which may come from another process."""
    counted: Counter[tuple[str, bool]] = Counter()
    yield counted
    request.node.user_properties.append(("checks", [[*key, times] for key, times in counted.items()]))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    counted: Counter[tuple[str, bool]] = Counter()
    for report in terminalreporter.getreports(""):
        for origin, agreed, times in (
            dict(report.user_properties).get("checks", ()) if report.when == "teardown" else ()
        ):
            counted[origin, agreed] += times
    if not counted:
        return
    terminalreporter.write_sep("-", "checks by source")
    for origin, says in ORIGINS.items():
        agreed, missed = counted[origin, True], counted[origin, False]
        terminalreporter.write_line(f"{agreed:4d} of {agreed + missed:3d} agree: {says}")
