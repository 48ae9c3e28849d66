"""Figures and letters five rows high, drawn here for reading from ten feet."""

from collections.abc import Sequence

from planning.job.words import Minutes
from tui.widgets.lines import Line, fitted, line

ROWS = 5
SHAPES: dict[str, tuple[str, str, str, str, str]] = {
    "0": (" ████ ", "██  ██", "██  ██", "██  ██", " ████ "),
    "1": ("  ██  ", " ███  ", "  ██  ", "  ██  ", " ████ "),
    "2": ("█████ ", "    ██", " ████ ", "██    ", "██████"),
    "3": ("█████ ", "    ██", "  ███ ", "    ██", "█████ "),
    "4": ("██  ██", "██  ██", "██████", "    ██", "    ██"),
    "5": ("██████", "██    ", "█████ ", "    ██", "█████ "),
    "6": (" ████ ", "██    ", "█████ ", "██  ██", " ████ "),
    "7": ("██████", "    ██", "   ██ ", "  ██  ", "  ██  "),
    "8": (" ████ ", "██  ██", " ████ ", "██  ██", " ████ "),
    "9": (" ████ ", "██  ██", " █████", "    ██", " ████ "),
    ":": ("  ", "██", "  ", "██", "  "),
    " ": ("   ", "   ", "   ", "   ", "   "),
    "-": ("      ", "      ", "██████", "      ", "      "),
    ".": ("  ", "  ", "  ", "  ", "██"),
    "A": (" ████ ", "██  ██", "██████", "██  ██", "██  ██"),
    "B": ("█████ ", "██  ██", "█████ ", "██  ██", "█████ "),
    "C": (" █████", "██    ", "██    ", "██    ", " █████"),
    "D": ("█████ ", "██  ██", "██  ██", "██  ██", "█████ "),
    "E": ("██████", "██    ", "████  ", "██    ", "██████"),
    "F": ("██████", "██    ", "████  ", "██    ", "██    "),
    "G": (" █████", "██    ", "██ ███", "██  ██", " █████"),
    "H": ("██  ██", "██  ██", "██████", "██  ██", "██  ██"),
    "I": ("██", "██", "██", "██", "██"),
    "J": ("    ██", "    ██", "    ██", "██  ██", " ████ "),
    "K": ("██  ██", "██ ██ ", "████  ", "██ ██ ", "██  ██"),
    "L": ("██    ", "██    ", "██    ", "██    ", "██████"),
    "M": ("██   ██", "███ ███", "███████", "██ █ ██", "██   ██"),
    "N": ("██  ██", "███ ██", "██████", "██ ███", "██  ██"),
    "O": (" ████ ", "██  ██", "██  ██", "██  ██", " ████ "),
    "P": ("█████ ", "██  ██", "█████ ", "██    ", "██    "),
    "Q": (" ████ ", "██  ██", "██  ██", "██ ██ ", " ███ █"),
    "R": ("█████ ", "██  ██", "█████ ", "██ ██ ", "██  ██"),
    "S": (" █████", "██    ", " ████ ", "    ██", "█████ "),
    "T": ("██████", "  ██  ", "  ██  ", "  ██  ", "  ██  "),
    "U": ("██  ██", "██  ██", "██  ██", "██  ██", " ████ "),
    "V": ("██  ██", "██  ██", "██  ██", " ████ ", "  ██  "),
    "W": ("██   ██", "██ █ ██", "███████", "███ ███", "██   ██"),
    "X": ("██  ██", " ████ ", "  ██  ", " ████ ", "██  ██"),
    "Y": ("██  ██", "██  ██", " ████ ", "  ██  ", "  ██  "),
    "Z": ("██████", "   ██ ", "  ██  ", " ██   ", "██████"),
}
"""Every shape is one cell pair thick, so that 16 colors and any font show it."""


def big(text: str) -> list[str]:
    """The text five rows high; what has no shape is a gap."""
    shapes = [SHAPES.get(each, SHAPES[" "]) for each in text.upper()]
    return ["  ".join(shape[row] for shape in shapes).rstrip() for row in range(ROWS)]


def big_width(text: str) -> int:
    """How many cells it takes."""
    shapes = [SHAPES.get(each, SHAPES[" "]) for each in text.upper()]
    return sum(len(shape[0]) for shape in shapes) + 2 * max(0, len(shapes) - 1)


def figure(minutes: Minutes) -> tuple[str, str]:
    """Time left (or, below nothing, gone) as a figure and its unit: ("12", "min"), ("1:52", "h"), ("6", "min LATE")."""
    size = abs(minutes)
    late = " LATE" if minutes < 0 else ""
    if size < 60:
        return str(size), f"min{late}"
    if size <= 48 * 60:
        return f"{size // 60}:{size % 60:02d}", f"h{late}"
    return str(-(-size // (24 * 60))), f"days{late}"


def big_left(minutes: Minutes) -> list[str]:
    """The figure with its unit beside the first row."""
    number, unit = figure(minutes)
    rows = ["  " + row for row in big(number)]
    rows[0] = f"{rows[0].ljust(4 + big_width(number))}{unit}"
    return rows


def seconds_figure(seconds: int) -> list[str]:
    """Seconds left, with their word beside the first row."""
    rows = ["  " + row for row in big(str(seconds))]
    rows[0] = f"{rows[0].ljust(4 + big_width(str(seconds)))}sec"
    return rows


def taller(text: str) -> list[str]:
    """The text nine rows high and twice as wide, for a tall screen."""
    return ["".join(char * 2 for char in row) for row in big(text) for _ in range(2)][: 2 * ROWS - 1]


def join(left: Sequence[Line], right: Sequence[Line], at: int) -> list[Line]:
    """Two blocks of lines side by side, the right one from cell `at`."""
    rows = max(len(left), len(right))
    empty = line("")
    return [
        (*fitted(left[n] if n < len(left) else empty, at), *(right[n] if n < len(right) else ())) for n in range(rows)
    ]
