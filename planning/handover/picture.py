"""The progress picture: each room's floor as a plan of twenty tiles, laid as its labour is done. SVG, no script.

Black, white and hatching only, so that it says the same on paper and to every eye; every number stands in words too.
"""

from collections.abc import Sequence
from html import escape

from planning.handover.note import RoomShare

WIDE = 360
"""Units across: the picture is laid out for a phone held upright, and grows with the page."""
ROW = 86
FLOOR_WIDE, FLOOR_HIGH = 104, 66
"""The largest floor; every room keeps its own proportions inside it."""
TEXT_AT = 124
TILES = 20
NARROW = 0.45
"""No floor is drawn narrower than this share of its length: tiles stay big enough to be counted."""

FILLS = {"before": "#444", "today": "url(#today)", "left": "#fff"}
DEFS = (
    '<defs><pattern id="today" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width="5" height="5" fill="#fff"/><rect width="2.5" height="5" fill="#444"/></pattern></defs>'
)
MOST_LETTERS = 26


def progress_picture(shares: Sequence[RoomShare]) -> str:
    """The picture as one <svg> element; "" without rooms. Every name is escaped."""
    if not shares:
        return ""
    longest = max(max(each.length_m, each.width_m) for each in shares)
    rows = [_room(share, n, longest) for n, share in enumerate(shares)]
    high = ROW * len(shares) + 30
    said = "; ".join(f"{each.name} {each.done} of 100" for each in shares)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {high}" role="img" aria-label="{escape(said)}" '
        f'font-family="sans-serif" font-size="14" fill="#111">{DEFS}{"".join(rows)}{_legend(high - 22)}</svg>'
    )


def _room(share: RoomShare, n: int, longest: float) -> str:
    top = n * ROW + 6
    long, short = max(share.length_m, share.width_m), min(share.length_m, share.width_m)
    scale = (0.55 + 0.45 * long / longest) if longest > 0 else 1.0
    wide = FLOOR_WIDE * scale
    high = min(FLOOR_HIGH, wide * max(NARROW, short / long if long > 0 else 1.0))
    floor = f'<g transform="translate(2 {top})">{_tiles(share, wide, high)}{_tape(share, wide, high)}</g>'
    return floor + _words(share, top)


def _tiles(share: RoomShare, wide: float, high: float) -> str:
    """Twenty tiles of five parts each, laid row by row from the far wall; a tile counts once it is whole."""
    across, down = 5, 4
    laid, new = share.before * TILES // 100, share.done * TILES // 100
    cells = []
    for tile in range(TILES):
        x, y = tile % across * wide / across, tile // across * high / down
        fill = FILLS["before" if tile < laid else "today" if tile < new else "left"]
        cells.append(f'<rect x="{x:.1f}" y="{y:.1f}" width="{wide / across:.1f}" height="{high / down:.1f}" '
                     f'fill="{fill}" stroke="#111" stroke-width="1"/>')  # fmt: skip
    return "".join(cells)


def _tape(share: RoomShare, wide: float, high: float) -> str:
    """Barrier tape around a floor that nobody may walk on."""
    if not share.off:
        return ""
    edge = f'<rect x="-1" y="-1" width="{wide + 2:.1f}" height="{high + 2:.1f}" fill="none"'
    return f'{edge} stroke="#fff" stroke-width="5"/>{edge} stroke="#111" stroke-width="4" stroke-dasharray="8 6"/>'


def _words(share: RoomShare, top: int) -> str:
    done = "all done" if share.done == 100 else f"{share.done} of 100 parts done"
    today = f", {share.today} today" if share.today else ""
    lines = [f"{done}{today}", *(["STAY OFF", escape(share.off)] if share.off else [])]
    rows = [f'<text x="{TEXT_AT}" y="{top + 33 + 18 * n}">{line}</text>' for n, line in enumerate(lines)]
    return f'<text x="{TEXT_AT}" y="{top + 14}" font-weight="bold">{escape(_cut(share.name))}</text>{"".join(rows)}'


def _legend(top: int) -> str:
    found, x = [], 2
    for fill, words in (("before", "done before"), ("today", "done today"), ("left", "to do")):
        found.append(f'<rect x="{x}" y="{top}" width="14" height="14" fill="{FILLS[fill]}" stroke="#111"/>'
                     f'<text x="{x + 20}" y="{top + 12}" font-size="13">{words}</text>')  # fmt: skip
        x += 128 if fill == "before" else 118
    return "".join(found)


def _cut(name: str) -> str:
    return name if len(name) <= MOST_LETTERS else name[: MOST_LETTERS - 1].rstrip() + "…"
