"""What may be seen by anybody on any terminal: contrast, no cell of one color, every size, no color at all."""

from pathlib import Path

import pytest
from rich.color import Color as RichColor
from rich.color import ColorSystem
from textual.color import Color

from tests.tui.pages_shown import SHOWN
from tests.tui.screen_bench import clock, grid, opened, press, settle, still_app
from tui.app import MuddayApp
from tui.screens.lanes import RunKind, draw_run
from tui.themes import THEMES, theme_of_terminal
from tui.widgets.lines import LOOKS, Lines

TEXT = 4.5
BLOCKS = 3.0
"""WCAG 2.2: 1.4.3 for text, 1.4.11 for graphics."""
BLOCK_LOOKS = frozenset(("noway",))


Rgb = tuple[int, int, int]


def rgb(color: RichColor | None, fallback: Color) -> Rgb:
    if color is None or color.triplet is None:
        return fallback.rgb
    return color.triplet.red, color.triplet.green, color.triplet.blue


def luminance(color: Rgb) -> float:
    """Relative luminance of WCAG 2.2."""
    parts = [c / 255 for c in color]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Rgb, other: Rgb) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


async def looks_of(theme: str, folder: Path) -> list[tuple[str, Rgb, Rgb]]:
    """Every look as it is painted in a theme: its name, its color, its ground."""
    app = still_app(folder, clock())
    async with app.run_test(size=(80, 24)) as pilot:
        app.theme = theme
        await settle(app, pilot)
        painter, screen = app.query_one("#body", Lines), app.screen.styles
        styles = [(look, painter.look(look)) for look in LOOKS]
        return [(look, rgb(s.color, screen.color), rgb(s.bgcolor, screen.background)) for look, s in styles]


@pytest.mark.parametrize("theme", [theme.name for theme in THEMES])
async def test_every_look_can_be_read_in_every_theme(theme: str, tmp_path: Path) -> None:
    for look, fore, ground in await looks_of(theme, tmp_path):
        seen = contrast(fore, ground)
        assert seen >= (BLOCKS if look in BLOCK_LOOKS else TEXT), (look, seen)


def same_colored(app: MuddayApp) -> list[str]:
    found = []
    for strip in app.screen._compositor.render_strips():
        for text, style, _ in strip:
            if style is not None and text.strip() and style.color is not None and style.color == style.bgcolor:
                found.append(text)
    return found


@pytest.mark.parametrize("theme", [theme.name for theme in THEMES])
@pytest.mark.parametrize("no_color", [False, True], ids=["color", "NO_COLOR"])
async def test_no_cell_is_written_in_the_color_of_its_ground(
    theme: str, no_color: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if no_color:
        monkeypatch.setenv("NO_COLOR", "1")
    frozen = clock()
    app = still_app(tmp_path, frozen)
    async with app.run_test(size=(120, 40)) as pilot:
        app.theme = theme
        await settle(app, pilot)
        for keys in ("", "r", "c", "d", "enter", "f1"):
            await press(app, pilot, frozen, keys)
            assert same_colored(app) == []


SIZES = ((1, 1), (20, 5), (40, 10), (59, 17), (80, 16), (100, 30), (250, 80))


async def test_no_size_of_the_window_brings_any_page_down(tmp_path: Path) -> None:
    frozen = clock()
    app = still_app(tmp_path, frozen)
    async with opened(app) as pilot:
        for keys in ("m", "r", "c", "f", "p", "e", "d", "a", "w", "j", "v", "escape j g", "j i 1 1 escape", "o", "f1"):
            await press(app, pilot, frozen, keys)
            for width, height in SIZES:
                await pilot.resize_terminal(width, height)
                await pilot.pause()
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert grid(app).splitlines()[1].startswith("NEXT DUE")


async def test_without_any_style_the_text_says_how_every_step_of_the_day_stands(tmp_path: Path) -> None:
    frozen = clock()
    app = still_app(tmp_path, frozen)
    async with opened(app, (120, 40)):
        rows = [row for row in grid(app).splitlines() if row[:3].strip(" >").isdigit()]
        words = ("WAIT", "READY", "HANDS", "CURING", "DONE", "HOLD", "MISSED")
        assert len(rows) >= 4
        assert all(any(word in row for word in words) for row in rows)


def test_every_page_has_a_scene() -> None:
    from tui.commands import PAGES

    assert {name for name, _, _ in PAGES} <= set(SHOWN)


@pytest.mark.parametrize("theme", [theme.name for theme in THEMES])
async def test_with_sixteen_colors_no_look_melts_into_its_ground(theme: str, tmp_path: Path) -> None:
    for look, fore, ground in await looks_of(theme, tmp_path):
        few = [RichColor.from_rgb(*each).downgrade(ColorSystem.STANDARD).number for each in (fore, ground)]
        assert few[0] != few[1], look


def test_work_drying_open_stay_off_no_way_and_flood_are_told_apart_without_any_color() -> None:
    kinds: tuple[RunKind, ...] = ("hands", "dry", "open", "off", "noway", "flood")
    for width in range(2, 30):
        assert len({draw_run(kind, "", width) for kind in kinds}) == len(kinds), width


@pytest.mark.parametrize(
    ("environ", "look"),
    [
        ({"TERM": "xterm-256color"}, "mud-dark"),
        ({"TERM": "xterm-256color", "COLORFGBG": "0;15"}, "mud-light"),
        ({"TERM": "xterm", "COLORFGBG": "15;default;0"}, "mud-dark"),
        ({"TERM": "linux"}, "mud-strong"),
        ({"TERM": "xterm-16color"}, "mud-strong"),
        ({"TERM": "linux", "COLORTERM": "truecolor"}, "mud-dark"),
    ],
)
def test_the_look_follows_what_the_terminal_says_of_itself(environ: dict[str, str], look: str) -> None:
    assert theme_of_terminal(environ) == look
