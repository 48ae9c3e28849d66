"""Pictures of every page at three sizes: `python -m tests.bench.screen_pictures FOLDER`.

Writes SVG, and PNG where resvg_py can be imported. The pages show the stored plan of tests.tui.screen_bench.
"""

import asyncio
import sys
import tempfile
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

from tests.tui.pages_shown import SHOWN, SIZES, shown

FONTS = ["/usr/share/fonts/truetype/dejavu"]


def png_of(svg: str) -> bytes | None:
    """The picture as PNG; None without resvg_py. Its web font is replaced by one that is there."""
    if find_spec("resvg_py") is None:
        return None
    local = svg.replace("Fira Code, monospace", "DejaVu Sans Mono").replace("Fira Code", "DejaVu Sans Mono")
    local = local.replace("arial", "DejaVu Sans")
    return bytes(import_module("resvg_py").svg_to_bytes(svg_string=local, font_dirs=FONTS))


async def write_all(folder: Path) -> int:
    """Write every picture; returns how many."""
    folder.mkdir(parents=True, exist_ok=True)
    count = 0
    for name in SHOWN:
        for width, height in SIZES:
            with tempfile.TemporaryDirectory() as work:
                _, svg = await shown(name, (width, height), Path(work))
            target = folder / f"{name}-{width}x{height}.svg"
            target.write_text(svg, encoding="utf-8")
            png = png_of(svg)
            if png is not None:
                target.with_suffix(".png").write_bytes(png)
            count += 1
    return count


if __name__ == "__main__":
    print(f"{asyncio.run(write_all(Path(sys.argv[1])))} pictures in {sys.argv[1]}")
