"""Sheets and what holds them: lath with its laps, boards, screws, perimeter foam.

Counts are arithmetic; the patterns are common practice unless said.
"""

from dataclasses import dataclass

from planning.quantities.si import FOOT_M, INCH_M, whole

LATH_LENGTH_M, LATH_WIDTH_M = 96 * INCH_M, 27 * INCH_M
LATH_LAP_M = 2 * INCH_M
"""Tile trade; ASTM C1063 asks at least 1 in at ends and 1/2 in at sides."""
SCREW_EDGE_M, SCREW_FIELD_M = 6 * INCH_M, 8 * INCH_M
FOAM_WASTE = 0.05


def lath_net_m2(length_m: float = LATH_LENGTH_M, width_m: float = LATH_WIDTH_M, lap_m: float = LATH_LAP_M) -> float:
    """What one sheet of lath covers when it laps the next one both ways."""
    if min(length_m, width_m) <= lap_m:
        raise ValueError("a lath sheet is larger than its lap")
    return (length_m - lap_m) * (width_m - lap_m)


def sheet_count(area_m2: float, net_m2: float, waste: float = 0.0) -> int:
    """Whole sheets for an area."""
    return whole(area_m2 * (1 + waste) / net_m2)


@dataclass(frozen=True, slots=True)
class Screws:
    """Screws of one sheet: round its edges, and in its field."""

    edges: int
    field: int

    @property
    def total(self) -> int:
        """All of them."""
        return self.edges + self.field


def sheet_screws(
    length_m: float, width_m: float, edge_m: float = SCREW_EDGE_M, field_m: float = SCREW_FIELD_M
) -> Screws:
    """Screws of a wood sheet on a grid: every `edge_m` round it, every `field_m` inside it both ways."""
    edges = 2 * whole(length_m / edge_m) + 2 * whole(width_m / edge_m)
    field = max(0, whole(length_m / field_m) - 1) * max(0, whole(width_m / field_m) - 1)
    return Screws(edges, field)


def joist_screws(length_m: float, width_m: float, joists_m: float = 16 * INCH_M) -> Screws:
    """Screws of a sheet whose field is held on the joists only, which run across its length."""
    edges = sheet_screws(length_m, width_m).edges
    inner_joists = max(0, whole(length_m / joists_m) - 1)
    return Screws(edges, inner_joists * max(0, whole(width_m / SCREW_FIELD_M) - 1))


def board_screws(length_m: float, width_m: float, every_m: float = SCREW_FIELD_M) -> int:
    """Screws of a cement board on an even grid with a row on each edge."""
    return (whole(length_m / every_m) + 1) * (whole(width_m / every_m) + 1)


def foam_m(perimeter_m: float, waste: float = FOAM_WASTE) -> float:
    """Perimeter foam for a pour."""
    return perimeter_m * (1 + waste)


def height_points(length_m: float, width_m: float, every_m: float = 3 * FOOT_M) -> int:
    """Height points of a grid that covers a floor, its edges included."""
    return (whole(length_m / every_m) + 1) * (whole(width_m / every_m) + 1)
