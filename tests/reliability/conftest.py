"""Figures that the reliability tests count, printed at the end of the run."""

import shutil
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest


@pytest.fixture
def tell(request: pytest.FixtureRequest) -> Callable[[str], None]:
    """Print a line of figures at the end of the run; the test's report carries it, maybe from another process."""
    return lambda line: request.node.user_properties.append(("figure", line))


@pytest.fixture
def memory_folder() -> Iterator[Path]:
    """A folder on a disk in memory where there is one: many small files, none worth keeping."""
    shm = Path("/dev/shm")
    folder = Path(tempfile.mkdtemp(dir=shm if shm.is_dir() else None))
    yield folder
    shutil.rmtree(folder, ignore_errors=True)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    ended = [report for report in terminalreporter.getreports("") if report.when == "teardown"]
    figures = [line for report in ended for name, line in report.user_properties if name == "figure"]
    if figures:
        terminalreporter.section("reliability figures")
    for line in figures:
        terminalreporter.write_line(line)
