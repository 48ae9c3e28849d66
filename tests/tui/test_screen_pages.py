"""Every page as text at three sizes, from one stored plan; write the goldens anew with MUDDAY_GOLDEN=write."""

import os
from pathlib import Path

import pytest

from tests.tui.pages_shown import SHOWN, SIZES, shown

GOLDEN = Path(__file__).parent / "golden"


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", sorted(SHOWN))
async def test_the_page_looks_as_it_did(name: str, size: tuple[int, int], tmp_path: Path) -> None:
    text, _ = await shown(name, size, tmp_path)
    lines = text.splitlines()
    assert len(lines) == size[1]
    assert max(map(len, lines)) <= size[0]
    assert lines[0].startswith("guest house")
    assert lines[1].startswith("NEXT DUE")
    assert "F1 all keys" in lines[-1]
    golden = GOLDEN / f"{name}-{size[0]}x{size[1]}.txt"
    if os.environ.get("MUDDAY_GOLDEN") == "write":
        golden.write_text(text + "\n", encoding="utf-8")
    assert text + "\n" == golden.read_text(encoding="utf-8")
