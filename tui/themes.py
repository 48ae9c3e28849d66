"""The looks: dark, light and strong. Hues from the Okabe-Ito set; nothing is told by color alone, green is not used."""

from collections.abc import Mapping

from textual.theme import Theme

COLORS = ("dim", "alarm", "mark", "dry", "off", "noway", "flood", "key")

_DARK = ("#a8a8a8", "#ffb000", "#f0e442", "#56b4e9", "#e69f00", "#c08a2e", "#6aa9ff", "#f0e442")
_LIGHT = ("#555555", "#a33b00", "#7a3e00", "#00567f", "#8a4b00", "#7a5a20", "#0b5394", "#5a4a00")
_STRONG = ("#ffffff", "#ffff00", "#ffff00", "#00ffff", "#ffff00", "#ffff00", "#00ffff", "#ffff00")


def _theme(name: str, dark: bool, back: str, fore: str, colors: tuple[str, ...]) -> Theme:
    return Theme(
        name=name, primary=fore, background=back, foreground=fore, surface=back, panel=back, dark=dark,
        variables={f"mud-{each}": color for each, color in zip(COLORS, colors, strict=True)},
    )  # fmt: skip


THEMES: tuple[Theme, ...] = (
    _theme("mud-dark", True, "#0c0c0c", "#f2f2f2", _DARK),
    _theme("mud-light", False, "#ffffff", "#101010", _LIGHT),
    _theme("mud-strong", True, "#000000", "#ffffff", _STRONG),
)

LIGHT_GROUNDS = frozenset(("7", "15"))
FEW_COLORS = ("linux", "vt", "ansi", "xterm-16color", "screen-16color")


def theme_of_terminal(environ: Mapping[str, str]) -> str:
    """The look that fits the terminal, as far as it says: few colors, a light ground, or dark.

    Many terminals set COLORFGBG ("0;15": black on white); those that say nothing are taken for dark.
    """
    named = environ.get("TERM", "")
    few = environ.get("TEXTUAL_COLOR_SYSTEM") == "standard" or named in FEW_COLORS or named.startswith("vt")
    if few and not environ.get("COLORTERM"):
        return "mud-strong"
    return "mud-light" if environ.get("COLORFGBG", "").rpartition(";")[2] in LIGHT_GROUNDS else "mud-dark"
