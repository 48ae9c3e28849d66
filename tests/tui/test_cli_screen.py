import sys
from pathlib import Path
from types import ModuleType

import pytest

from tui.__main__ import main


@pytest.fixture
def opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[tuple[Path | None, bool]]:
    """What the screen was opened on, in a folder of its own; no screen is drawn."""
    calls: list[tuple[Path | None, bool]] = []
    screen = ModuleType("tui.app")

    def run(path: Path | None, demo: bool) -> int | None:
        calls.append((path, demo))
        return None

    screen.run = run  # type: ignore[attr-defined]  # a stand-in for the module
    monkeypatch.setitem(sys.modules, "tui.app", screen)
    monkeypatch.chdir(tmp_path)
    return calls


def test_alone_it_opens_the_first_page(opened: list[tuple[Path | None, bool]]) -> None:
    assert main([]) == 0
    assert opened == [(None, False)]


def test_a_job_file_is_opened_with_or_without_its_ending(opened: list[tuple[Path | None, bool]]) -> None:
    Path("mine.toml").write_text("[job]\n", encoding="utf-8")
    assert main(["mine"]) == 0
    assert main(["mine.toml"]) == 0
    assert opened == [(Path("mine.toml"), False)] * 2


def test_a_folder_is_no_job_file(opened: list[tuple[Path | None, bool]], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["."]) == 2
    assert opened == []
    assert "is a folder; give the job file in it" in capsys.readouterr().err


def test_a_job_file_that_is_not_there_opens_nothing(opened: list[tuple[Path | None, bool]]) -> None:
    assert main(["yours"]) == 2
    assert opened == []


def test_a_demo_is_copied_here_and_opened(
    opened: list[tuple[Path | None, bool]], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--demo", "two-room-rush"]) == 0
    assert opened == [(Path.cwd() / "two-room-rush.toml", True)]
    assert Path("two-room-rush.toml").exists()
    assert "is now two-room-rush.toml here" in capsys.readouterr().err
    assert main(["--demo"]) == 0
    assert opened[-1] == (Path.cwd() / "guest-house.toml", True)
    assert main(["--demo", "nothing-like-it-xyz"]) == 2
