"""Lines of styled text: what every page is made of, and the widget that paints them. No markup is ever read."""

from collections.abc import Callable, Iterable, Sequence
from typing import ClassVar

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

Span = tuple[str, str]
"""Text and the name of its look, "" for plain: see LOOKS."""
Line = tuple[Span, ...]

LOOKS: tuple[str, ...] = (
    "bold", "dim", "head", "alarm", "mark", "hands", "dry", "open", "off", "noway", "flood", "visit", "now", "key",
    "big", "entry",
)  # fmt: skip
"""Every look a span may have; look.tcss says how each is painted. A look never says anything that the words do not."""


def line(*spans: Span | str) -> Line:
    """A line of spans; a bare text is plain. Control characters in it become spaces."""
    made = [(each, "") if isinstance(each, str) else each for each in spans]
    return tuple((_clean(text), look) for text, look in made if text)


def _clean(text: str) -> str:
    return text if text.isprintable() else "".join(c if c.isprintable() else " " for c in text)


def plain(of: Line) -> str:
    """The text of a line without its looks."""
    return "".join(text for text, _ in of)


def width_of(of: Line) -> int:
    """Cells a line takes."""
    return sum(cell_len(text) for text, _ in of)


def fitted(of: Line, width: int) -> Line:
    """The line cut or filled up to exactly `width` cells."""
    spans: list[Span] = []
    room = width
    for text, look in of:
        cells = cell_len(text)
        if cells > room:
            spans.append((set_cell_size(text, room), look))
            room = 0
            break
        spans.append((text, look))
        room -= cells
    if room > 0:
        spans.append((" " * room, ""))
    return tuple(spans)


def both_ends(left: Line, right: Line, width: int) -> Line:
    """Two lines at both ends of one; the left one is cut when there is no room for both."""
    rest = max(0, width - width_of(right))
    return (*fitted(left, rest), *fitted(right, min(width, width_of(right))))


def texts(lines: Iterable[str], look: str = "") -> list[Line]:
    """Plain texts as lines of one look."""
    return [line((text, look)) if text else () for text in lines]


def _line_at(lines: Sequence[Line], y: int) -> Line:
    return lines[y] if y < len(lines) else ()


class Lines(Widget):
    """Paints the lines that `source(width, height)` gives, top line first. Asks again after each `refresh`."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"look--{name}" for name in LOOKS}

    def __init__(self, source: Callable[[int, int], Sequence[Line]], id: str | None = None) -> None:
        super().__init__(id=id)
        self._source = source
        self._made: tuple[tuple[int, int], Sequence[Line]] | None = None
        self._styles: dict[str, Style] = {}

    def look(self, name: str) -> Style:
        """The style of a look under the theme in force."""
        if name not in self._styles:
            self._styles[name] = self.get_component_rich_style(f"look--{name}") if name else self.rich_style
        return self._styles[name]

    def notify_style_update(self) -> None:
        """The theme changed: nothing painted before counts."""
        self._styles.clear()
        super().notify_style_update()

    def repaint(self) -> None:
        """Ask the source again, and paint the lines that are not as they were."""
        before, size = self._made, (self.size.width, self.size.height)
        if before is None or before[0] != size:
            self._made = None
            self.refresh()
            return
        self._made = (size, self._source(*size))
        old, new = before[1], self._made[1]
        changed = [y for y in range(size[1]) if _line_at(old, y) != _line_at(new, y)]
        if changed:
            self.refresh(*(Region(0, y, size[0], 1) for y in changed))

    def lines(self) -> Sequence[Line]:
        """The lines as painted now."""
        size = (self.size.width, self.size.height)
        if self._made is None or self._made[0] != size:
            self._made = (size, self._source(*size))
        return self._made[1]

    def render_line(self, y: int) -> Strip:
        """One painted line."""
        width = self.size.width
        made = self.lines()
        spans = fitted(made[y], width) if y < len(made) else ((" " * width, ""),)
        return Strip([Segment(text, self.look(name)) for text, name in spans], width)
