"""Every test begins without label numbers: the file of whoever runs the tests is neither read nor written."""

import os
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

_folder = TemporaryDirectory(prefix="labels-")
_number = count(1)


def pytest_runtest_setup(item: pytest.Item) -> None:
    """A fresh name for each test, not there yet; processes that the test starts inherit it."""
    os.environ["MUDDAY_LABELS"] = str(Path(_folder.name) / str(next(_number)) / "labels.toml")
